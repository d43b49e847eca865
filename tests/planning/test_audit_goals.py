"""The figures, bounds, status, counts and times that a plan tells."""

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.auditing.goals import figures
from app.planning.auditing.ledger import Ledger
from app.planning.day import Day
from app.planning.plan import Plan
from tests.planning.drafts import Draft, Facts, beat, codes, cook, day, run, stage, way

GOALS = ("unmet", "unbacked", "cost", "hands_min", "waiting_min", "early_min")


def _figures(draft: Draft) -> tuple[float, ...]:
    found: Facts = draft.document()["objective"]
    return tuple(found[goal] for goal in GOALS)


def test_waiting_counts_from_staging_to_the_margin() -> None:
    """Tests one dough of 10 min for 10:00 (margin 10) that waits 30, and ends the day 10:01."""
    show = beat("show", 0, 60, {"dough": 1}, {})
    facts = day([stage("dough", cost=2.5)], [show], [run("t1", "10:00")])
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:10", "09:20", "ada"))
    assert _figures(draft.use("t1/show/dough", "d1")) == (0, 0, 2.5, 10, 30, 51)


def test_a_copy_handed_on_within_its_run_does_not_wait_but_to_another_run_it_does() -> None:
    """Tests 10:00 (waits 30), 10:01 on set (nothing), 12:00 (150 from the first staging)."""
    show = beat("show", 0, 60, {"dough": 1}, {"dough": 1})
    then = beat("then", 60, 60, {"dough": 1}, {"dough": 1})
    runs = [run("t1", "10:00"), run("t2", "12:00", beats=["show"])]
    draft = Draft(day([stage("dough")], [show, then], runs))
    draft.batch("b1", "loaf/dough", "d1", ("09:10", "09:20", "ada")).use("t1/show/dough", "d1")
    draft.use("t1/then/dough", "d1").use("t2/show/dough", "d1")
    assert _figures(draft) == (0, 0, 1, 10, 30 + 150, 171)


def test_what_a_beat_left_waits_from_the_end_of_that_beat() -> None:
    """Tests a dough left 10:01 and due 11:50, as in the example of the edge of the return."""
    mix = beat("mix", 0, 60, {}, {"dough": 1})
    show = beat("show", 0, 60, {"dough": 1}, {})
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", "12:00", beats=["show"])]
    draft = Draft(day([stage("dough")], [mix, show], runs))
    draft.left("d1", "loaf/dough", "t1/mix", "10:01").use("t2/show/dough", "d1")
    assert _figures(draft) == (0, 0, 0, 0, 109, 0)


def test_stock_waits_from_long_ago_and_costs_nothing() -> None:
    """Tests stock of the day before, 16:00, that is due at 09:50: 1070 min."""
    entry = {"id": "old", "demonstration": "loaf", "stage": "dough", "count": 1}
    show = beat("show", 0, 60, {"dough": 1}, {})
    facts = day([stage("dough", keeps_min=1440)], [show], [run("t1", "10:00")])
    draft = Draft(facts | {"stock": [entry | {"staged": "2027-03-03T16:00"}]})
    draft.stock("d1", "loaf/dough", "old", "2027-03-03T16:00").use("t1/show/dough", "d1")
    assert _figures(draft) == (0, 0, 0, 0, 1070, 0)


def test_hands_count_each_pair_for_each_minute_and_spares_cost() -> None:
    """Tests two cooks for 10 min, one for 3 min a copy, and 2 of 6 copies as spares at .5."""
    phases = [{"lasts_min": 10, "hands": 2}, {"per_copy_min": 3, "hands": 1}, {"lasts_min": 5}]
    bake = {"id": "way", "batch_max": 9, "phases": phases, "cost": 0.5, "loss": 0.1}
    show = beat("show", 0, 60, {"dough": 4}, {})
    kitchen = {"crew": [cook(), cook("bea")]}
    facts = day([stage("dough", bake)], [show], [run("t1", "10:00")], kitchen=kitchen)
    draft = Draft(facts).use("t1/show/dough", "d1 d2 d3 d4")
    spans = [("09:00", "09:10", "ada bea"), ("09:10", "09:28", "ada"), ("09:28", "09:33")]
    draft.batch("b1", "loaf/dough", "d1 d2 d3 d4 d5 d6", *spans)
    assert draft.broken() == set()
    assert _figures(draft) == (0, 0, 3, 38, 4 * 17, 61)


def test_what_needs_lack_counts() -> None:
    show = beat("show", 0, 60, {"dough": {"count": 3, "backups": 2}}, {})
    facts = day([stage("dough")], [show], [run("t1", "10:00")])
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", ("09:10", "09:20", "ada"))
    draft.use("t1/show/dough", "d1", "d2").lack("t1/show/dough", "copies", 2)
    draft.lack("t1/show/dough", "backups", 1)
    assert draft.broken() == set()
    assert _figures(draft)[:2] == (2, 1)


def test_the_figures_of_the_worked_example(knots_day: Day, knots_plan: Plan) -> None:
    """Tests the plan of the design against figures that were found by hand."""
    found = figures(Ledger(knots_day, knots_plan))
    assert found == dict(zip(GOALS, (0, 0, 48, 83, 872, 1574), strict=True))


Change = Callable[[Facts], Any]


def _told(**figures_told: Any) -> Change:
    def change(plan: Facts) -> None:
        for goal, (figure, bound) in figures_told.items():
            plan["objective"][goal] = figure
            plan["bounds"][goal] = bound

    return change


def _count(**columns: int) -> Change:
    return lambda plan: plan["counts"][1].update(columns)


WRONG: list[tuple[str, Change]] = [
    *((f"{goal} {by:+}", _told(**{goal: (figure + by, figure + by)}))
      for goal, figure in zip(GOALS, (0, 0, 48, 83, 872, 1574), strict=True) for by in (1, -1)),
    ("a bound above", _told(hands_min=(83, 84))),
    ("a bound after an open goal", lambda p: p["bounds"].update(cost=47)),
    ("a bound after no bound", lambda p: p["bounds"].update(cost=None)),
    ("not proven, yet optimal", lambda p: p["bounds"].update(waiting_min=871, early_min=None)),
    ("proven, yet feasible", lambda p: p.update(status="feasible")),
    ("proven, yet impossible", lambda p: p.update(status="impossible")),
    ("made one more", _count(made=4)),
    ("two numbers that cancel out", _count(made=4, carried_in=0)),
    ("a role that is another", _count(feeds=3, on_camera=1)),
    ("a count missing", lambda p: p["counts"].pop()),
    ("a count twice", lambda p: p["counts"].append(p["counts"][0])),
    ("a count of nothing known", lambda p: p["counts"].append(_zero("none"))),
    ("an offset that tells nothing", lambda p: p["heats"][0].update(ends="2027-03-04T13:36+00:00")),
    ("a time without noughts", lambda p: p["copies"][8].update(staged_at="2027-3-4T14:03")),
    ("not a number", lambda p: p["objective"].update(cost=float("nan"))),
    ("infinitely many", lambda p: p["objective"].update(cost=float("inf"))),
    ("very many", lambda p: p["objective"].update(cost=10**400)),
]  # fmt: skip


def _zero(stage_id: str) -> Facts:
    columns = ("made", "stock", "carried_in", "on_camera", "feeds", "backups", "spares")
    return {"demonstration": "knots", "stage": stage_id} | dict.fromkeys(columns, 0)


@pytest.mark.parametrize("change", [pytest.param(change, id=name) for name, change in WRONG])
def test_a_figure_that_is_not_the_plans_own(
    change: Change, knots_day: Day, golden: Callable[[str], Any]
) -> None:
    plan = deepcopy(golden("knots.plan.json"))
    change(plan)
    assert codes(knots_day, plan) == {"goals"}


RIGHT: list[tuple[str, Change]] = [
    ("last goal open", lambda p: p["bounds"].update(early_min=None)),
    ("last goal's bound lower", lambda p: p["bounds"].update(early_min=1000)),
    (
        "cost open",
        lambda p: p.update(
            status="feasible",
            bounds={"unmet": 0, "unbacked": 0, "cost": 40},
        ),
    ),
    ("nothing proven", lambda p: p.update(status="feasible", bounds={}, stopped_by="clock")),
    ("cost a float", lambda p: p["objective"].update(cost=48.0)),
]


@pytest.mark.parametrize("change", [pytest.param(change, id=name) for name, change in RIGHT])
def test_an_honest_plan(change: Change, knots_day: Day, golden: Callable[[str], Any]) -> None:
    plan = deepcopy(golden("knots.plan.json"))
    change(plan)
    assert codes(knots_day, plan) == set()


def _short() -> Draft:
    show = beat("show", 0, 60, {"dough": 1}, {})
    facts = day([stage("dough", way(10))], [show], [run("t1", "10:00")])
    return Draft(facts).lack("t1/show/dough", "copies", 1)


def test_what_cannot_be_served_is_impossible_only_if_proven() -> None:
    for bound, status in ((1, "impossible"), (0, "feasible"), (None, "feasible")):
        draft = _short()
        for told in ("impossible", "feasible", "optimal"):
            plan = draft.document() | {"status": told}
            plan["bounds"] = {"unmet": bound}
            assert codes(draft.day, plan) == (set() if told == status else {"goals"})


def test_waiting_may_go_before_hands() -> None:
    """Tests that with `fresh` an open waiting leaves hands without a bound, and not otherwise."""
    show = beat("show", 0, 60, {"dough": 1}, {})
    for prefer, expected in (("fresh", {"goals"}), ("hands", set())):
        policy = {"prefer": prefer}
        facts = day([stage("dough")], [show], [run("t1", "10:00")], policy=policy)
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:10", "09:20", "ada"))
        plan = draft.use("t1/show/dough", "d1").document()
        plan["bounds"] = plan["objective"] | {"waiting_min": 0, "early_min": None}
        assert codes(draft.day, plan) == expected


@pytest.mark.parametrize(
    ("staged", "expected"),
    [("2027-10-31T01:30+00:00", set()), ("2027-10-31T01:30+01:00", {"lineage", "goals"})],
)
def test_a_double_time_carries_its_offset(staged: str, expected: set[str]) -> None:
    """Tests a dough made over the hour that Lisbon's clocks show twice.

    Source: Portugal goes from 02:00 back to 01:00 on 2027-10-31 (tz database, Europe/Lisbon).
    """
    night = ("2027-10-30T20:00", "2027-10-31T12:00")
    show = beat("show", 0, 60, {"dough": 1}, {})
    runs = [run("t1", "2027-10-31T08:00")]
    facts = day([stage("dough", keeps_min=600)], [show], runs, prep_from="2027-10-30T12:00")
    facts["kitchen"]["crew"] = [cook(shift=night)]
    draft = Draft(facts).use("t1/show/dough", "d1")
    made = ("2027-10-31T01:20+00:00", "2027-10-31T01:30+00:00", "ada")
    plan = draft.batch("b1", "loaf/dough", "d1", made).document()
    plan["copies"][0]["staged_at"] = staged
    assert codes(draft.day, plan) <= expected
    assert bool(codes(draft.day, plan)) == bool(expected)


def test_the_sentence_names_the_code_and_is_one_line(knots_day: Day, knots_plan: Plan) -> None:
    batch = knots_plan.batches[0].model_copy(update={"id": "b\n1", "way": "steam\x07"})
    plan = knots_plan.model_copy(update={"batches": (batch, *knots_plan.batches[1:])})
    told = [str(breach) for breach in audit(knots_day, plan)]
    assert any(line.startswith("lineage: batch b?1 ") for line in told)
    assert all(line.isprintable() for line in told)
