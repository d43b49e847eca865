"""The smallest sets of facts that stand in the way, and nothing beside them."""

import json
from pathlib import Path
from typing import Any

import pytest

from app.planning.day import Day
from app.planning.solve import solve
from tests.planning.blockers.dropping import without
from tests.planning.blockers.looked import Told, clashes, told

GOLDEN = Path(__file__).parents[2] / "golden"
SHOW = ("need", ("t1", "show", "baked"), "")
MARGIN = ("policy", ("ready_margin_min",), "")
EXPECTED: dict[str, tuple[bool, set[Told]]] = {
    # bread out by 10:50 and not before 10:30, tart out 10:54 to 11:14: 20 min between two ovens'
    # worth of 30 + 15 min.
    "setting-change-impossible": (
        False,
        {
            ("run", ("b1",), ""), ("run", ("t1",), ""),
            ("need", ("b1", "show", "baked"), ""), ("need", ("t1", "show", "baked"), ""),
            ("way", ("tart", "baked", "deck"), ""),
            ("keeps", ("bread", "baked"), ""), ("keeps", ("tart", "baked"), ""),
            ("equipment", ("oven-1",), "change"), ("equipment", ("oven-1",), "settings"), MARGIN,
        },
    ),
    "oven-not-shared-setting": (
        False,
        {
            ("run", ("b1",), ""), ("run", ("g1",), ""),
            ("need", ("b1", "show", "baked"), ""), ("need", ("g1", "show", "baked"), ""),
            ("way", ("bread", "baked", "deck"), ""), ("way", ("gratin", "baked", "deck"), ""),
            ("keeps", ("bread", "baked"), ""), ("keeps", ("gratin", "baked"), ""),
            ("equipment", ("oven-1",), "settings"),
        },
    ),
    # 21:00 to 06:00 over the change of the clocks is 480 min, less the margin 470; the way 471.
    "spring-missed": (
        True,
        {
            ("run", ("t1",), ""), ("need", ("t1", "show", "set"), ""),
            ("way", ("brine", "set", "night"), ""), ("prep_from", (), ""), MARGIN,
        },
    ),
    # Backups lack alone: three in an oven of two, all within the last 15 min.
    "copy-before-backup": (
        False,
        {
            ("run", ("a",), ""), ("run", ("b",), ""),
            ("need", ("a", "show", "baked"), ""), ("need", ("b", "show", "baked"), ""),
            ("way", ("bun", "baked", "deck"), ""), ("way", ("pie", "baked", "deck"), ""),
            ("keeps", ("bun", "baked"), ""), ("keeps", ("pie", "baked"), ""),
            ("equipment", ("oven-1",), "units"),
        },
    ),
    # Two doughs of 20 min from 09:30 to 10:00 by one cook: even without a margin.
    "partly-met-leaves-nothing-new": (
        False,
        {
            ("run", ("a",), ""), ("need", ("a", "shape", "dough"), ""),
            ("way", ("loaf", "dough", "mix"), ""), ("crew", ("cook-1",), "hands"),
            ("prep_from", (), ""),
        },
    ),
    # Ready 10 min before, keeps 4: whenever the run is.
    "margin-policy": (True, {SHOW, ("keeps", ("s", "baked"), ""), MARGIN}),
    "pickup-from-the-top": (
        False,
        {
            ("run", ("pk",), ""), ("need", ("pk", "show", "cut"), ""),
            ("keeps", ("p", "cut"), ""),
            ("crew", ("cook-1",), "shifts"), ("crew", ("cook-2",), "shifts"),
        },
    ),
    "slack-missed": (
        True,
        {
            ("run", ("t1",), ""), ("need", ("t1", "show", "b"), ""),
            ("way", ("k", "a", "w"), ""), ("way", ("k", "b", "w"), ""), ("prep_from", (), ""),
            MARGIN, ("policy", ("step_slack_min",), ""),
        },
    ),
}  # fmt: skip


def _document(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((GOLDEN / f"{name}.day.json").read_text("utf-8"))
    return found


@pytest.mark.parametrize("name", EXPECTED)
def test_the_blockers_of_a_golden_day_are_the_facts_that_clash(name: str) -> None:
    """Tests each set whole, and whether any kitchen could do it."""
    (clash,) = clashes(Day.model_validate(_document(name)))
    anyway, facts = EXPECTED[name]
    assert told(clash) == facts
    assert clash.anyway == anyway


# What stands in the way doubly: the shift begins with the prep; a dish that bakes in no time
# still wants its own setting, and the time to get there, which clashes even if it is nought.
DOUBLY_HELD = {
    "partly-met-leaves-nothing-new": {"prep_from"},
    "oven-not-shared-setting": {"way"},
}


@pytest.mark.parametrize("name", EXPECTED)
def test_without_any_one_of_its_facts_the_whole_day_is_possible(name: str) -> None:
    """Tests with facts dropped from the day file by hand, and the planner asked anew."""
    document = _document(name)
    backups = name == "copy-before-backup"
    for kind, ids, part in EXPECTED[name][1]:
        if kind in DOUBLY_HELD.get(name, ()):
            continue
        plan = solve(Day.model_validate(without(document, kind, ids, part)))
        assert plan.objective.unmet == 0, (kind, ids, part)
        assert plan.objective.unbacked == 0 or not backups, (kind, ids, part)


def test_a_day_that_can_be_served_has_no_blockers(knots_day: Day) -> None:
    """Nothing stands in the way of what is possible."""
    assert clashes(knots_day) == []
