"""Job shops: served at the published optimum, and not one minute earlier.

Source: ft06 (55), Fisher and Thompson 1963; la01 (666), la05 (593), Lawrence 1984. ft10 (930)
is in `tests/bench/shops.py`; la19 (842, Lawrence 1984) is refused here as well, as one on which the
order of what is on a full machine must be proven.
"""

import pytest

from app.planning.audit import audit
from app.planning.solve import solve
from tests.published.shops import SHOPS, shop_day

QUICK = ("ft06", "la01", "la05")


@pytest.mark.parametrize("name", QUICK)
def test_a_shop_is_served_at_its_published_optimum(name: str) -> None:
    """Tests that the planner finds a schedule of the published length."""
    day = shop_day(name, SHOPS[name]["optimum"])
    plan = solve(day)
    assert plan.objective.unmet == 0
    assert audit(day, plan) == []


@pytest.mark.parametrize("name", [*QUICK, "la19"])
def test_a_shop_is_not_served_a_minute_under_its_optimum(name: str) -> None:
    """Tests that the planner proves what the literature proves."""
    plan = solve(shop_day(name, SHOPS[name]["optimum"] - 1))
    assert plan.status == "impossible"
    assert plan.bounds.unmet is not None
    assert plan.bounds.unmet > 0
