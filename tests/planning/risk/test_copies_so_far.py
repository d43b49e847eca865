"""Copies that were sent, used, handed back or lost: who has them, and who goes without."""

from typing import Any

from tests.planning.drafts import Draft, at, beat, cook, day, run, stage, way
from tests.planning.risk.moments import (
    AGAIN,
    BEGUN,
    SHOWN,
    Told,
    hours,
    one_dough,
    risk_at,
    two_runs,
)
from tests.planning.risk.odds import use_of

STAGED: Told = ("staged", "11:50", {"batch": "b1"})
TO_FIRST: dict[str, Any] = {"run": "t1", "beat": "show"}


def lost(copy: str, when: str = "11:55") -> Told:
    """Return that a copy is lost."""
    return "lost", when, {"copy": copy, "why": "dropped"}


def chances(draft: Draft, now: str, *events: Told) -> list[float]:
    """Return the chances of the needs to come, with no spread."""
    return [use.chance for use in risk_at(draft, now, *events, spread=0, plays=5).uses]


def handed_back() -> Draft:
    """Return a draft of two runs that take the same dough, one after the other."""
    needs = {"dough": {"count": 1, "ready_margin_min": 10}}
    facts = day(
        [stage("dough", way(10, hands=0), keeps_min=400)],
        [beat("show", 0, 60, needs, {"dough": 1})],
        [run("t1", "12:00"), run("t2", "14:00")],
    )
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("11:40", "11:50"))
    return draft.use(SHOWN, "d1").use(AGAIN, "d1")


def test_what_was_not_taken_serves_where_its_place_was_taken() -> None:
    """The first run took the second's copy: the first's own is free, and serves the second."""
    used = ("used", "12:00", {**TO_FIRST, "copies": ["d2"]})
    assert chances(two_runs(), "12:30", STAGED, used, lost("d3", "12:10")) == [1]
    both = lost("d1", "12:10"), lost("d3", "12:10")
    assert chances(two_runs(), "12:30", STAGED, used, *both) == [0]


def test_what_was_sent_in_place_of_another_is_taken_and_the_other_takes_its_part() -> None:
    """A dough for the oven has gone to the set: the oven has what was left, if it is not lost."""
    needs = {each: {"count": 1, "ready_margin_min": 0} for each in ("dough", "baked")}
    baked = stage("baked", way(30, hands=0), **{"from": [{"stage": "dough"}]})
    facts = day(
        [stage("dough", way(10, hands=0)), baked],
        [beat("show", 0, 60, {"dough": needs["dough"]}, {}),
         beat("serve", 3600, 60, {"baked": needs["baked"]}, {})],
        [run("t1", "12:00")],
        policy={"step_slack_min": 0},
    )  # fmt: skip
    draft = Draft(facts)
    draft.batch("b1", "loaf/dough", "d1 d2", ("11:50", "12:00"))
    draft.batch("b2", "loaf/baked", "k2", ("12:30", "13:00"), takes="d2")
    draft.kin["k2"] = "d2"
    draft.use(SHOWN, "d1").use("t1/serve/baked", "k2")
    staged = ("staged", "11:56", {"batch": "b1"})
    sent = ("sent", "11:57", {**TO_FIRST, "copies": ["d2"]})
    assert chances(draft, "11:58", staged, sent) == [1, 1]
    assert chances(draft, "11:58", staged, sent, lost("d1", "11:58")) == [1, 0]


def test_what_was_sent_along_is_out_until_it_is_back() -> None:
    """A backup is on set with the first run: the second, now five minutes later, can't have it."""
    sent = ("sent", "11:55", {**TO_FIRST, "copies": ["d1", "d2"]})
    moved = ("moved", "11:56", {"run": "t2", "starts": "12:05"})
    gone = lost("d3", "11:56")
    assert chances(two_runs(), "11:57", STAGED, sent, moved, gone) == [1, 0]
    later = ("moved", "11:56", {"run": "t2", "starts": "12:06"})
    assert chances(two_runs(), "11:57", STAGED, sent, later, gone) == [1, 1]


def test_what_is_on_its_way_back_is_late_unless_it_went_straight_on() -> None:
    """It is back five minutes after the beat; carried over to the next set it is there."""
    moved = ("moved", "12:02", {"run": "t2", "starts": "12:05"})
    use = use_of(risk_at(handed_back(), "12:02", STAGED, moved, spread=0, plays=5), AGAIN)
    assert (use.chance, use.late) == (0, 1)
    straight = ("sent", "12:03", {"run": "t2", "beat": "show", "copies": ["d1"]})
    assert chances(handed_back(), "12:03", STAGED, moved, straight) == [1]


def test_a_copy_that_is_lost_while_its_batch_is_under_way_is_never_staged() -> None:
    """The other of the batch is, and serves in its place."""
    one = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    assert chances(one, "11:00", BEGUN, lost("d1", "11:00")) == [0]
    two = two_runs()
    begun = ("started", "11:40", {"batch": "b1"})
    assert chances(two, "11:45", begun, lost("d1", "11:44")) == [1, 1]
    three = [lost(each, "11:44") for each in ("d1", "d3")]
    assert chances(two, "11:45", begun, *three) == [1, 0]


def test_what_comes_after_a_batch_begun_out_of_turn_waits_for_what_was_skipped() -> None:
    """Three of one cook, the second begun first: the third comes after the first all the same."""
    stages = [{"id": each, "keeps_min": 240, "ways": [way(20)]} for each in ("one", "two", "three")]
    needs = {each: {"count": 1, "ready_margin_min": 10} for each in ("one", "two", "three")}
    facts = day(
        stages,
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00")],
        kitchen={"crew": [cook()]},
    )
    draft = Draft(facts)
    spans = (("10:50", "11:10"), ("11:10", "11:30"), ("11:30", "11:50"))
    for number, (each, span) in enumerate(zip(needs, spans, strict=True)):
        draft.batch(f"b{number + 1}", f"loaf/{each}", f"c{number}", (*span, "ada"))
        draft.use(f"t1/show/{each}", f"c{number}")
    begun = ("started", "11:10", {"batch": "b2"})
    assert chances(draft, "11:20", begun) == [1, 1, 0]
    early = ("started", "10:50", {"batch": "b2"})
    assert chances(draft, "10:55", early) == [1, 1, 1]


def test_one_more_backup_needs_inputs_that_can_still_be_made() -> None:
    """The oven has room for one more, the dough for it has none: its batch has begun."""
    needs = {"baked": {"count": 1, "ready_margin_min": 10}}
    baked = stage("baked", way(30, hands=0), **{"from": [{"stage": "dough"}]})
    facts = day(
        [stage("dough", way(10, hands=0)), baked],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00")],
    )
    draft = Draft(facts)
    draft.batch("b1", "loaf/dough", "d1", ("11:10", "11:20"))
    draft.batch("b2", "loaf/baked", "k1", ("11:20", "11:50"), takes="d1")
    draft.kin["k1"] = "d1"
    draft.use("t1/show/baked", "k1")
    before, begun = (
        risk_at(draft, now, *told, spread=0.5, plays=500)
        for now, told in (("11:00", ()), ("11:11", [("started", "11:10", {"batch": "b1"})]))
    )
    assert before.one_more_backup is not None
    assert begun.one_more_backup is None
    assert begun.so_far is not None
    assert begun.so_far.now == at("11:11")
