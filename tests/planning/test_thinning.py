"""Leaving out lots that are not needed changes no floor: against every lot counted for itself."""

from dataclasses import replace

import pytest

from app.planning.day import Day
from app.planning.fewest import floor_in_lots
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.reading import read_day
from app.planning.rough import kin_of, unlimited
from app.planning.scope import Scope
from app.planning.thinning import each_serving_all, thin
from tests.bench.productions import production
from tests.bench.rough import with_every_lot
from tests.random_days import FURTHER_FROM, tiny_day
from tests.rich_days import rich_day

WORK = 4.0


def floors(day: Day, demonstration: str) -> tuple[int | None, int | None]:
    """Return the floor of a demonstration, and the one where no lot is left out.

    First nothing may lack; None tells that then there is no answer.
    """
    scope = Scope(unlimited(day, demonstration)[0])
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), kitchen="endless", times=False)
    every = frozenset(key[0] for key in scope.makings)
    for may in (wanted, replace(wanted, bare=every, short=every)):
        floor = floor_in_lots(scope, may, WORK)
        plain = with_every_lot(scope, may)
        if floor is not None or plain is not None:
            break
    found = None if floor is None or floor.fewest is None else floor.fewest.goal
    return found, plain


def agree(day: Day) -> None:
    """Hold the two floors of each family of a day against each other."""
    for family in {kin_of(day, run.demonstration) for run in day.runs}:
        thinned, plain = floors(day, min(family))
        assert thinned == plain


@pytest.mark.parametrize("first", range(0, 300, 50))
def test_random_days_have_the_floor_of_every_lot(first: int) -> None:
    """Tests every family of fifty tiny days, those included that cannot have all."""
    for seed in range(first, first + 50):
        agree(read_day(tiny_day(seed)))


@pytest.mark.parametrize("first", range(FURTHER_FROM, FURTHER_FROM + 100, 50))
def test_later_and_rich_days_have_the_floor_of_every_lot(first: int) -> None:
    """Tests days whose ways have inputs of their own, and days with all words."""
    for seed in range(first, first + 50):
        agree(read_day(tiny_day(seed)))
        agree(read_day(rich_day(seed)))


@pytest.mark.parametrize("nature", ["cured", "jelly", "noodles", "loaf", "tart"])
def test_dishes_have_the_floor_of_every_lot(nature: str) -> None:
    """Tests dishes of five and more stages that are shown four times."""
    day = read_day(production(12, 1))
    shown = next(each.id for each in day.demonstrations if each.id.startswith(nature))
    thinned, plain = floors(day, shown)
    assert thinned == plain is not None


def test_most_lots_of_a_dish_are_left_out() -> None:
    """Tests that a custard, the hardest to count, needs few of its lots."""
    day = read_day(production(12, 5))
    shown = next(each.id for each in day.demonstrations if each.id.startswith("custard"))
    wide = each_serving_all(Scope(unlimited(day, shown)[0]))
    wanted = Wanted(tuple(wide.makings), 1, kitchen="endless", times=False, lots=True)
    model = build(wide, wanted)
    rules = len(model.sheet.model.proto.constraints)
    thin(wide, model)
    lots = sum(len(some) for some in model.batches.values())
    left_out = len(model.sheet.model.proto.constraints) - rules
    assert 0.5 * lots < left_out < lots
