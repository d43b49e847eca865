"""On a larger day a remedy is shown by mending the plan: all that can stay does."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from app.planning.advice import planned
from app.planning.audit import audit
from app.planning.canonical import document
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.remedies.mended import mended_for
from app.planning.remedies.patch import patched
from app.planning.remedies.trying import NEAR_ENOUGH, SMALL_USES
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never

Document = dict[str, Any]
TAKES = 14


def _dish(name: str, setting: int) -> Document:
    phase = {"lasts_min": 20, "equipment": [{"kind": "oven", "per_batch": 1, "setting": setting}]}
    stage = {"id": "baked", "keeps_min": 30, "ways": [{"id": "deck", "phases": [phase]}]}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "baked"}]}
    return {"id": name, "title": name.capitalize(), "stages": [stage], "beats": [beat]}


def _run(name: str, dish: str, minute: int) -> Document:
    starts = f"2027-03-04T{minute // 60:02d}:{minute % 60:02d}"
    return {"id": name, "demonstration": dish, "kind": "take", "starts": starts}


def _document() -> Document:
    """Return a day of many takes of buns, and one of a pie right beside the fifth of them."""
    runs = [_run(f"bun-{i}", "bun", 540 + 45 * i) for i in range(TAKES)]
    return {
        "format": "day/1",
        "title": "Many buns",
        "timezone": "Europe/Lisbon",
        "prep_from": "2027-03-04T07:00",
        "kitchen": {
            "equipment": [{"id": "oven", "kind": "oven", "settings": {"change_min": 10}}],
        },
        "demonstrations": [_dish("bun", 200), _dish("pie", 160)],
        "runs": [*runs, _run("pie", "pie", 540 + 45 * 4 + 5)],
    }


@pytest.fixture(scope="module")
def advised() -> tuple[Day, Plan]:
    """Return that day and its plan, with advice."""
    day = read_day(_document())
    return day, planned(day)


def test_the_day_is_a_larger_one_and_told_impossible(advised: tuple[Day, Plan]) -> None:
    """The pie wants the oven when a bun is in it, or when it is not yet at its setting."""
    _, plan = advised
    assert len(plan.uses) > SMALL_USES
    assert (plan.status, plan.objective.unmet, len(plan.blockers)) == ("impossible", 1, 1)


def test_each_remedy_works_when_the_day_is_solved_anew(advised: tuple[Day, Plan]) -> None:
    """What is told of its cost is that of a plan that is there: the best is no dearer."""
    day, plan = advised
    assert len(plan.remedies) >= 3
    for remedy in plan.remedies:
        changed = read_day(patched(document(day), remedy.change))
        again = solve(changed)
        assert audit(changed, again) == []
        assert again.objective.unmet == 0, remedy.words
        assert again.objective.cost <= remedy.cost, remedy.words


def test_a_run_is_moved_hardly_later_than_it_must_be(advised: tuple[Day, Plan]) -> None:
    """All else being as it is planned, so much less as NEAR_ENOUGH does not do."""
    _, plan = advised
    pie = next(each for each in plan.remedies if each.words.startswith("Start pie"))
    (operation,) = pie.change
    told = _document()
    starts = datetime.fromisoformat(operation["value"]) - timedelta(minutes=NEAR_ENOUGH)
    told["runs"][-1]["starts"] = starts.isoformat(timespec="minutes")
    less = mended_for(read_day(told), plan, {"pie"}, Watch(None, still, never, nobody))
    assert less.objective.unmet > 0


def test_what_is_not_touched_stays_as_it_was(advised: tuple[Day, Plan]) -> None:
    """The pie is shown an hour after the last bun: nothing else moves, and all names are in
    order."""
    day, plan = advised
    told = _document()
    told["runs"][-1]["starts"] = "2027-03-04T20:00"
    later = read_day(told)
    found = mended_for(later, plan, {"pie"}, Watch(None, still, never, nobody))
    assert audit(later, found) == []
    assert found.objective.unmet == 0
    buns = [
        [batch.starts for batch in each.batches if batch.demonstration == "bun"]
        for each in (plan, found)
    ]
    if not any(lack.run.startswith("bun") for lack in plan.unmet):
        assert buns[0] == buns[1]
    assert [batch.id for batch in found.batches] == [
        f"b{i}" for i in range(1, len(found.batches) + 1)
    ]
    assert day.run("pie").starts != later.run("pie").starts


def test_what_stands_ready_by_a_milder_rule_backs_what_lacked_a_backup() -> None:
    """The oven takes one bun at a time: the second bun is out at the minute of the first take.

    With ten minutes of margin it comes too late to stand beside it, without it does not.
    """
    told = _document() | {"prep_from": "2027-03-04T08:10"}
    told["runs"] = [_run("a", "bun", 540), _run("b", "bun", 550), _run("pie", "pie", 720)]
    told["demonstrations"][0]["beats"][0]["needs"][0]["backups"] = 1
    strict, mild = (read_day(told | {"policy": {"ready_margin_min": each}}) for each in (10, 0))
    before = solve(strict)
    after = mended_for(mild, before, {"pie"}, Watch(None, still, never, nobody))
    assert audit(mild, after) == []
    backups = [{use.run: len(use.backups) for use in plan.uses} for plan in (before, after)]
    assert [each["a"] for each in backups] == [0, 1]


def test_a_remedy_that_helps_in_part_says_what_lacks_still() -> None:
    """Two pies are wanted while the buns need the oven: what helps only one of them says so."""
    told = _document()
    told["runs"].append(_run("pie-2", "pie", 540 + 45 * 4 + 5))
    plan = planned(read_day(told))
    for remedy in plan.remedies:
        changed = solve(read_day(patched(document(read_day(told)), remedy.change)))
        assert changed.objective.unmet < plan.objective.unmet, remedy.words
        if changed.objective.unmet:
            assert "still" in remedy.words
    assert plan.remedies
