"""Of things that clash, the few are found that none can be spared of."""

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from app.planning.blockers.shrinking import smallest

THINGS = range(12)
SETS = st.sets(st.sampled_from(THINGS), min_size=1, max_size=5)


@given(st.lists(SETS, min_size=1, max_size=6))
def test_what_is_left_clashes_and_nothing_of_it_can_be_spared(clashing: list[set[int]]) -> None:
    """Tests against sets of which any that is there whole makes a clash."""

    def clash(some: Sequence[int]) -> bool:
        return any(each <= set(some) for each in clashing)

    few = smallest(THINGS, clash)
    assert clash(few)
    assert not any(clash([each for each in few if each != spared]) for spared in few)


def test_what_comes_first_stays_if_there_is_a_choice() -> None:
    """Either of two things clashes with a third: the one that is named first is told."""

    def clash(some: Sequence[str]) -> bool:
        return "oven" in some and ("take" in some or "shift" in some)

    assert sorted(smallest(("take", "oven", "shift"), clash)) == ["oven", "take"]
    assert sorted(smallest(("shift", "oven", "take"), clash)) == ["oven", "shift"]
