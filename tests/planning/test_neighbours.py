"""Who may stay where a family takes its place, and who must make way."""

from collections.abc import Sequence

import pytest

from app.planning.descent import Answer
from app.planning.joining import Family
from app.planning.neighbours import who_may_stay

THOSE = [frozenset({f"dish-{number:02}"}) for number in range(40)]
STANDS, FINDS_NO_ROOM = Answer({}), Answer()


class Kitchen:
    """A kitchen in which a dish finds room unless one of some others stands; counts the asking."""

    def __init__(self, clashing: Sequence[Family]) -> None:
        self.clashing, self.asked = set(clashing), 0

    def fits(self, others: Sequence[Family]) -> Answer:
        """Return whether there is room beside some others."""
        self.asked += 1
        return FINDS_NO_ROOM if self.clashing & set(others) else STANDS


@pytest.mark.parametrize(
    "clashing", [[], [THOSE[-1]], [THOSE[0]], [THOSE[7], THOSE[30], THOSE[31]], THOSE]
)
def test_all_stay_but_those_who_clash(clashing: list[Family]) -> None:
    """Tests some of many, the first, the last, none, and all of them."""
    kitchen = Kitchen(clashing)
    answer, staying = who_may_stay(THOSE, kitchen.fits, lambda: False)
    assert answer is STANDS
    assert staying == [each for each in THOSE if each not in clashing]


def test_few_are_found_among_many_without_asking_each() -> None:
    """Tests that one who clashes is found by asking for many at a time."""
    kitchen = Kitchen([THOSE[33]])
    who_may_stay(THOSE, kitchen.fits, lambda: False)
    assert kitchen.asked < len(THOSE) / 2


def test_a_dish_for_which_there_is_no_room_at_all_drives_nobody_out() -> None:
    """Tests that others are not asked where the empty kitchen is too small."""
    answer, staying = who_may_stay(THOSE, lambda _: FINDS_NO_ROOM, lambda: False)
    assert (answer.values, staying) == (None, [])


def test_when_the_time_is_over_all_leave_who_were_not_asked() -> None:
    """Tests that what is found by then holds."""
    kitchen = Kitchen([THOSE[33]])
    answer, staying = who_may_stay(THOSE, kitchen.fits, lambda: kitchen.asked >= 4)
    assert answer is STANDS
    assert staying == THOSE[: len(staying)]
    assert 0 < len(staying) < 33
