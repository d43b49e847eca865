"""What is still to come, given what has happened: what is there, what is gone, what is over."""

import pytest

from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.words import Wording
from tests.planning.drafts import Draft, at, beat, cook, day, run, stage, way
from tests.planning.risk.moments import (
    BEGUN,
    SHOWN,
    Told,
    hours,
    one_dough,
    risk_at,
    state_of,
    two_runs,
)
from tests.planning.risk.odds import spreading, use_of


def test_what_is_staged_is_there() -> None:
    """However late it was, and whatever is lost on average: nobody lost any."""
    draft = one_dough(60, loss=0.5)
    draft.batch("b1", "loaf/dough", "d1 d2", *hours(60)).use(SHOWN, "d1")
    state = state_of(draft, "11:56", [BEGUN, ("staged", "11:55", {"batch": "b1"})])
    plan = Plan.model_validate(draft.document())
    risk = risk_of(spreading(state.day, 0.3), plan, 1_000, state=state)
    assert (use_of(risk, SHOWN).chance, risk.whole_day.chance) == (1, 1)


def test_a_copy_that_is_lost_lacks() -> None:
    """Its use goes without, and is told why; a backup steps in where there is one."""
    staged = ("staged", "11:50", {"batch": "b1"})
    lost = ("lost", "11:52", {"copy": "d1", "why": "dropped"})
    alone = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    use = use_of(risk_at(alone, "11:55", BEGUN, staged, lost, plays=100), SHOWN)
    assert (use.chance, use.lost, use.blame) == (0, 1, "b1")


STAGED: Told = ("staged", "11:50", {"batch": "b1"})


def test_a_backup_stands_in_for_a_copy_that_is_lost() -> None:
    """It is one of what is there."""
    lost = ("lost", "11:52", {"copy": "d1", "why": "dropped"})
    risk = risk_at(two_runs(), "11:55", STAGED, lost, plays=100)
    assert [use.chance for use in risk.uses] == [1, 1]
    lost_too = ("lost", "11:52", {"copy": "d3", "why": "dropped"})
    risk = risk_at(two_runs(), "11:55", STAGED, lost, lost_too, plays=100)
    assert [use.chance for use in risk.uses] == [1, 0]


def test_a_use_that_is_over_is_not_asked_for_any_more() -> None:
    """It is told as over; the rest has its chance, and nothing dies by a run that is over."""
    risk = risk_at(two_runs(), "12:30", STAGED, plays=100)
    assert [use.key for use in risk.uses] == [("t2", "show", "dough")]
    assert risk.so_far is not None
    assert risk.so_far.over == (("t1", "show", "dough"),)
    assert [each.run for each in risk.overruns] == ["t2"]
    over = risk_at(two_runs(), "15:00", STAGED, plays=100)
    assert (over.uses, over.weakest, over.whole_day.chance) == ((), None, 1)


def one_cook() -> Draft:
    """Return a draft of two batches that one cook does one after the other."""
    side = {"id": "side", "keeps_min": 240, "ways": [way(30)]}
    needs = {each: {"count": 1, "ready_margin_min": 10} for each in ("dough", "side")}
    facts = day(
        [stage("dough", way(30)), side],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00")],
        kitchen={"crew": [cook()]},
    )
    draft = Draft(facts)
    draft.batch("b1", "loaf/side", "s1", ("10:50", "11:20", "ada"))
    draft.batch("b2", "loaf/dough", "d1", ("11:20", "11:50", "ada"))
    return draft.use(SHOWN, "d1").use("t1/show/side", "s1")


def test_the_next_batch_waits_for_who_is_with_the_one_under_way() -> None:
    """It should be over by now; with no spread it is over now, and the next takes half an hour."""
    for now, ready in (("11:30", 1), ("11:31", 0)):
        risk = risk_at(one_cook(), now, BEGUN, spread=0, plays=5)
        assert use_of(risk, SHOWN).chance == ready


@pytest.mark.parametrize(("back", "ready"), [("11:30", 1), ("11:31", 0), ("20:00", 0)])
def test_work_waits_for_who_has_gone_away(back: str, ready: int) -> None:
    """The cook is back for the last half hour, later, or not at all; nobody mends the plan."""
    away = ("absent", "10:40", {"crew": "ada", "from": "11:20", "to": back})
    begun: list[Told] = [BEGUN, ("staged", "11:20", {"batch": "b1"})]
    use = use_of(risk_at(one_cook(), "11:21", away, *begun, spread=0, plays=5), SHOWN)
    assert (use.chance, use.late) == (ready, 1 - ready)


def test_work_waits_for_what_is_closed() -> None:
    """A mixer that is down until half past is there for the last half hour."""
    mixer = [{"kind": "mixer", "per_batch": 1}]
    facts = day(
        [stage("dough", way(30, hands=0, equipment=mixer))],
        [beat("show", 0, 60, {"dough": {"count": 1, "ready_margin_min": 10}}, {})],
        [run("t1", "12:00")],
        kitchen={"equipment": [{"id": "mixer-a", "kind": "mixer"}]},
    )
    for back, ready in (("11:30", 1), ("11:31", 0)):
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("11:20", "11:50", "", {"mixer-a": 1}))
        draft.use(SHOWN, "d1")
        down = ("closed", "11:00", {"equipment": "mixer-a", "from": "11:10", "to": back})
        assert use_of(risk_at(draft, "11:05", down, spread=0, plays=5), SHOWN).chance == ready


def test_what_was_skipped_waits_for_what_was_begun_in_its_place() -> None:
    """The second is under way first: the first comes after it, when the cook is free."""
    begun = ("started", "11:00", {"batch": "b2"})
    for now, ready in (("11:05", 1), ("11:31", 0)):
        use = use_of(risk_at(one_cook(), now, begun, spread=0, plays=5), "t1/show/side")
        assert use.chance == ready
    late = ("started", "11:01", {"batch": "b2"})
    assert use_of(risk_at(one_cook(), "11:05", late, spread=0, plays=5), "t1/show/side").late == 1


def test_no_run_is_blamed_for_what_lacks_without_it() -> None:
    """A batch that starts an hour late is too late for its use, whether or not a run is longer."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    begun = ("started", "11:50", {"batch": "b1"})
    overrun = risk_at(draft, "11:55", begun, plays=10).overruns[0]
    assert (overrun.run, overrun.falls, overrun.short) == ("t1", (), ())


def test_before_anything_begins_nothing_is_otherwise() -> None:
    """All chances, gains and overruns are the same to the last digit."""
    draft = two_runs()
    plan = Plan.model_validate(draft.document())
    early = risk_at(draft, "06:00", plays=500)
    assert early.so_far is not None
    assert early.model_copy(update={"so_far": None}) == risk_of(
        spreading(draft.day, 0.2), plan, 500
    )


def test_one_more_backup_is_not_offered_of_what_has_begun() -> None:
    """A batch under way takes no copy more."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    assert risk_at(draft, "10:40", plays=500).one_more_backup is not None
    risk = risk_at(draft, "11:00", BEGUN, plays=500)
    assert risk.one_more_backup is None
    assert risk.ten_minutes_more is not None


def test_it_is_told_since_when_it_is_played_and_what_is_over() -> None:
    """In sentences; what should have begun is named."""
    draft = two_runs()
    state = state_of(draft, "12:30", [STAGED])
    plan = Plan.model_validate(draft.document())
    risk = risk_at(draft, "12:30", STAGED, plays=100)
    assert list(Wording(state.day, plan, risk).lines()) == [
        "Played 100 times from 12:30 on, with all that was told by then (seed 1; every length "
        "varies by 20 %): in 100 % of the plays nothing lacks from then on.",
        "t2 at 14:00, show: 1 dough: ready 100 %",
        "Over by then: t1 at 12:00, show: dough.",
        "No use ever lacked a copy, so there is no weakest link.",
        "Nothing dies if one of these takes 10 min longer: t2.",
    ]
    state, risk = state_of(draft, "15:00", []), risk_at(draft, "15:00", plays=100)
    assert list(Wording(state.day, plan, risk).lines())[:2] == [
        "At 15:00 all that the plan serves is over.",
        "1 batch should have started by then, and nobody said so, so it is taken as not begun: "
        "dough (way) at 11:40.",
    ]


def test_only_what_is_played_from_now_says_so_in_its_document() -> None:
    """Whoever reads risk/1 finds what was there before."""
    plan = Plan.model_validate(two_runs().document())
    assert "so_far" not in risk_of(two_runs().day, plan, 10).document()
    said = risk_at(two_runs(), "12:30", STAGED, plays=10).document()["so_far"]
    assert said == {"now": at("12:30"), "over": [["t1", "show", "dough"]], "not_begun": []}
