"""What else could be done about an accident, with a search that needs no time."""

from types import SimpleNamespace
from typing import Any

import pytest

from app.planning.day import Day, Run
from app.planning.events import Added
from app.planning.minutes import Clock
from app.planning.plan import Lack, Plan
from app.web import offers
from app.web.mending import mends_of

ON = "2027-03-04T"
NOW = f"{ON}12:05"
MORE = Run(id="more", demonstration="knots", kind="take", starts=f"{ON}13:30")
LACK = Lack(run="knots-take-1", beat="tie", stage="rested", kind="copies", count=1)


def _short(plan: Plan) -> Plan:
    figures = plan.objective.model_copy(update={"unmet": 1})
    return plan.model_copy(update={"unmet": (LACK,), "objective": figures})


@pytest.mark.parametrize(("from_min", "told"), [(20, "20 min later"), (500, None)])
def test_a_run_that_was_added_may_wait_where_it_takes_what_another_lacks(
    monkeypatch: pytest.MonkeyPatch,
    knots_day: Day,
    knots_plan: Plan,
    from_min: int,
    told: str | None,
) -> None:
    """The take that everybody waits for need not be the one that slips."""
    monkeypatch.setattr(offers, "PlanJob", lambda day, **_: SimpleNamespace(day=day))
    clock = Clock(knots_day.timezone)

    def mended(job: Any) -> Plan:
        later = clock.minute(job.day.run("more").starts) - clock.minute(MORE.starts)
        return knots_plan if later >= from_min else _short(knots_plan)

    added = Added(n=1, at=NOW, once="a", by="Ada", run=MORE)
    mends = mends_of(knots_day, knots_day, knots_plan, [added], NOW, told=1)
    found = list(offers.offers_of(mends, _short(knots_plan), "Ada", mended))
    assert [each.words for each in found] == ([f"Let more start {told}"] if told else [])
    if told:
        assert found[0].moved is not None
        assert (found[0].moved.run, found[0].moved.starts) == ("more", f"{ON}13:50")
