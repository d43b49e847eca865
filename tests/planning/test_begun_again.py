"""A mending that is begun again, one dish first that lacked something behind others."""

import pytest

from app.planning.day import Day
from app.planning.happened import happened
from app.planning.mending import BEGUN_AGAIN, Mending
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.watch import Watch

FAMILIES = [frozenset({f"dish-{number}"}) for number in range(9)]


def lacking(plan: Plan, unmet: int) -> Plan:
    """Return a plan with other figures."""
    return plan.model_copy(update={"objective": plan.objective.model_copy(update={"unmet": unmet})})


def best_of(day: Day, plan: Plan, found: list[int], monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return what lacks in the best plan, and in those that were tried: one found after another."""
    begins = day.prep_from
    state = happened(day, plan, [], Clock(day.timezone).minute(begins))
    mending = Mending(state, plan, Watch(None, lambda: 0.0, lambda: False, lambda _: None))
    tried: list[int] = []

    def mended() -> Plan:
        mending.hemmed_in = FAMILIES[: len(tried) + 1] if found[len(tried)] else []
        tried.append(found[len(tried)])
        return lacking(plan, tried[-1])

    monkeypatch.setattr(mending, "mended", mended)
    return [mending.best().objective.unmet, *tried]


@pytest.mark.parametrize(
    ("found", "best", "tries"),
    [([0], 0, 1), ([2, 0], 0, 2), ([2, 3, 1], 1, 3), ([1, 2, 2], 1, 3), ([3, 3, 3, 0], 3, 3)],
)
def test_the_plan_that_lacks_least_holds(
    knots_day: Day,
    knots_plan: Plan,
    found: list[int],
    best: int,
    tries: int,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Tests that what is begun again is never worse, and begun again only so often."""
    assert tries <= 1 + BEGUN_AGAIN
    assert best_of(knots_day, knots_plan, found, monkeypatch) == [best, *found[:tries]]
