"""Every golden day gives its proven figures; `golden/expected.json` tells the proof of each."""

import json
from pathlib import Path
from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.reading import read_day
from app.planning.solve import solve

GOLDEN = Path(__file__).parents[1] / "golden"
EXPECTED: dict[str, dict[str, Any]] = json.loads((GOLDEN / "expected.json").read_text("utf-8"))
GOALS = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")


@pytest.mark.parametrize("name", EXPECTED)
def test_a_golden_day_gives_its_proven_figures(name: str) -> None:
    """Tests goals, status and every rule of the best plan of a day within the default limit."""
    day = read_day(json.loads((GOLDEN / f"{name}.day.json").read_text("utf-8")))
    plan, figures = solve(day), EXPECTED[name]
    assert audit(day, plan) == []
    for goal in GOALS:
        told = getattr(plan.objective, goal)
        if figures.get(goal) == ">0":
            assert told > 0
            assert getattr(plan.bounds, goal) > 0
        elif goal in figures:
            assert told == figures[goal], goal
            if "status" in figures:
                assert getattr(plan.bounds, goal) == figures[goal], goal
    if "status" in figures:
        assert plan.status == figures["status"]
