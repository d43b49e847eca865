"""Another shape for a dish: looked for at the floor of its cost, and near to it."""

from concurrent.futures import ThreadPoolExecutor
from threading import Event

import pytest

from app.planning.day import Day
from app.planning.descent import Answer
from app.planning.fitting import Fitting
from app.planning.model.build import Wanted
from app.planning.model.goals import cost_scale
from app.planning.scope import Scope
from app.planning.watch import Watch

TOO_LOW, A_LITTLE_TOO_LOW = 0.5, 0.9
LONG_S = 20.0


def reshaped(day: Day, floor: float, lanes: ThreadPoolExecutor | None = None) -> Answer:
    """Return another shape for all of a day, given a part of its least cost as the floor."""
    scope = Scope(day)
    wanted = Wanted(tuple(scope.makings), cost_scale(scope))
    everybody = frozenset(scope.kin)
    fitting = Fitting(scope, Watch(None, lambda: 0.0, lambda: False, lambda _: None), lanes=lanes)
    floors = {"unmet": 0, "unbacked": 0}
    least = fitting.reshaped(wanted, Answer(), everybody, floors, at_once=True)
    floors["cost"] = int(least.figures["cost"] * floor)
    return fitting.reshaped(wanted, Answer(), everybody, floors, at_once=True)


@pytest.mark.parametrize(("floor", "is_found"), [(A_LITTLE_TOO_LOW, True), (TOO_LOW, False)])
def test_a_shape_is_found_near_a_floor_that_nothing_reaches(
    knots_day: Day, floor: float, is_found: bool
) -> None:
    """Tests that a little more than the least is tried, and not much more."""
    assert (reshaped(knots_day, floor).values is not None) == is_found


def test_a_shape_is_found_though_no_lane_ever_becomes_free(knots_day: Day) -> None:
    """Tests that nobody waits for a lane: what did not begin there is done here."""
    is_done = Event()
    with ThreadPoolExecutor(1) as lanes:
        busy = lanes.submit(is_done.wait, LONG_S)
        answer = reshaped(knots_day, A_LITTLE_TOO_LOW, lanes)
        waited = busy.done()
        is_done.set()
    assert answer.values is not None
    assert not waited
