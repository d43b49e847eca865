"""The chance of what is still to come, given what is known: against closed forms, and told."""

from collections.abc import Iterable
from math import erf, exp, log, sqrt
from typing import Any

import pytest
from scipy.stats import norm

from app.planning.happened import Happened, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.found import Risk
from app.planning.risk.words import Wording
from tests.planning.drafts import Draft, at, beat, cook, day, run, stage, way
from tests.planning.risk.odds import length, spreading, sum_within, use_of
from tests.planning.told import log as told

PLAYS, SIGMAS = 100_000, 3
CLOCK = Clock("Europe/Lisbon")
SHOWN, AGAIN = "t1/show/dough", "t2/show/dough"
BEGUN = ("started", "10:50", {"batch": "b1"})
Told = tuple[str, str, dict[str, Any]]


def one_dough(*phases: int, **of_stage: Any) -> Draft:
    """Return a draft of one batch that is due at 12:00, ten minutes after it should be staged."""
    method = {"id": "way", "batch_max": 4, "phases": [{"lasts_min": each} for each in phases]}
    needs = {"dough": {"count": 1, "ready_margin_min": 10}}
    facts = day(
        [stage("dough", method, **of_stage)],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00")],
    )
    return Draft(facts)


def hours(*phases: int) -> list[tuple[str, str]]:
    """Return phases in a row of which the last ends at 11:50."""
    ends = 11 * 60 + 50
    starts = [ends - sum(phases[number:]) for number in range(len(phases))]
    each = zip(starts, phases, strict=True)
    return [(_hour(start), _hour(start + lasts)) for start, lasts in each]


def _hour(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"


def state_of(draft: Draft, now: str, events: Iterable[Told]) -> Happened:
    """Return how things stand."""
    plan = Plan.model_validate(draft.document())
    return happened(draft.day, plan, told(*events), CLOCK.minute(at(now)))


def risk_at(draft: Draft, now: str, *events: Told, spread: float = 0.2, plays: int = PLAYS) -> Risk:
    """Return the risk of what is to come of a draft that keeps every rule."""
    assert draft.broken() == set()
    state, plan = state_of(draft, now, events), Plan.model_validate(draft.document())
    return risk_of(spreading(state.day, spread), plan, plays, state=state)


def is_share(share: float, chance: float) -> bool:
    """Tell whether a share of the plays is a chance, within three standard errors."""
    return abs(share - chance) <= SIGMAS * sqrt(chance * (1 - chance) / PLAYS) + 1e-9


def within(minutes: float, mean_min: float, spread: float) -> float:
    """Return the chance that a phase takes at most so long."""
    return (1 + erf(_sigmas(minutes, mean_min, spread) / sqrt(2))) / 2


def _sigmas(minutes: float, mean_min: float, spread: float) -> float:
    variance = log(1 + spread**2)
    return (log(minutes / mean_min) + variance / 2) / sqrt(variance)


@pytest.mark.parametrize("spread", [0.1, 0.2, 0.6])
@pytest.mark.parametrize("lasted_min", [1, 45, 61, 74])
def test_a_batch_under_way_is_ready_as_often_as_what_is_left_of_its_length(
    lasted_min: int, spread: float
) -> None:
    """An hour with a quarter more until its use: (F(due) - F(t)) / (1 - F(t)) after t minutes."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    started = ("started", "10:45", {"batch": "b1"})
    risk = risk_at(draft, _hour(645 + lasted_min), started, spread=spread)
    before, due = within(lasted_min, 60, spread), within(75, 60, spread)
    assert is_share(use_of(risk, SHOWN).chance, (due - before) / (1 - before))


@pytest.mark.parametrize("phases", [(60, 10), (30, 30), (10, 60), (20, 30, 20), (5, 10, 25, 30)])
@pytest.mark.parametrize("lasted_min", [20, 65, 78])
def test_phases_under_way_are_over_as_often_as_what_is_left_of_their_sum(
    phases: tuple[int, ...], lasted_min: int
) -> None:
    """Nobody ticks a phase: all that is known is that the batch is not staged yet."""
    draft = one_dough(*phases).batch("b1", "loaf/dough", "d1", *hours(*phases)).use(SHOWN, "d1")
    starts = 710 - 70
    risk = risk_at(draft, _hour(starts + lasted_min), ("started", _hour(starts), {"batch": "b1"}))
    before, due = (sum_within(phases, each, 0.2) for each in (lasted_min, 80))
    chance = (due - before) / (1 - before)
    assert is_share(use_of(risk, SHOWN).chance, chance)


@pytest.mark.parametrize("spread", [0.03, 0.2])
def test_what_should_long_be_staged_is_not_staged_before_now(spread: float) -> None:
    """Ten hours for one, far out where the chance of each such length is next to nothing."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    started = ("started", "07:00", {"batch": "b1"})
    moved = ("moved", "11:50", {"run": "t1", "starts": "17:02"})
    use = use_of(risk_at(draft, "17:00", started, moved, spread=spread), SHOWN)
    logs = [norm.logsf(_sigmas(each, 60, spread)) for each in (600, 602)]
    assert abs(use.chance - (1 - exp(logs[1] - logs[0]))) < 0.005


def test_a_length_that_does_not_vary_is_over_when_it_is_over() -> None:
    """With no spread: ten minutes late is just in time, and late where it is not staged by then."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    started = ("started", "11:00", {"batch": "b1"})
    assert use_of(risk_at(draft, "11:59", started, spread=0, plays=10), SHOWN).chance == 1
    late = ("started", "11:05", {"batch": "b1"})
    assert use_of(risk_at(draft, "11:59", late, spread=0, plays=10), SHOWN).late == 1


def test_who_expects_it_later_is_heard() -> None:
    """Half an hour that is said to take an hour is played as an hour."""
    draft = one_dough(30).batch("b1", "loaf/dough", "d1", *hours(30)).use(SHOWN, "d1")
    begun: list[Told] = [("started", "11:20", {"batch": "b1"})]
    begun.append(("expected", "11:30", {"batch": "b1", "ends": "12:20"}))
    before, due = within(10, 60, 0.2), within(40, 60, 0.2)
    use = use_of(risk_at(draft, "11:30", *begun), SHOWN)
    assert is_share(use.chance, (due - before) / (1 - before))


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


def two_runs() -> Draft:
    """Return a draft of two runs: one takes a dough and hands it back, with a backup beside."""
    needs = {"dough": {"count": 1, "backups": 1, "ready_margin_min": 10}}
    facts = day(
        [stage("dough", way(10, hands=0), keeps_min=400)],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00"), run("t2", "14:00")],
    )
    draft = Draft(facts)
    draft.batch("b1", "loaf/dough", "d1 d2 d3", ("11:40", "11:50"))
    return draft.use(SHOWN, "d1", "d2").use(AGAIN, "d2", "d3")


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


def test_a_copy_that_was_used_in_place_of_another_leaves_the_other() -> None:
    """The first run took the second's copy: the first's own serves the second."""
    used = ("used", "12:00", {"run": "t1", "beat": "show", "copies": ["d2"]})
    risk = risk_at(two_runs(), "12:30", STAGED, used, plays=100)
    assert use_of(risk, AGAIN).chance == 1
    gone = ("lost", "12:10", {"copy": "d1", "why": "dropped"})
    gone_too = ("lost", "12:10", {"copy": "d3", "why": "dropped"})
    risk = risk_at(two_runs(), "12:30", STAGED, used, gone, gone_too, plays=100)
    assert use_of(risk, AGAIN).lost == 1


def test_a_copy_that_was_sent_in_place_of_another_is_taken_there() -> None:
    """The two are exchanged: what was not sent serves the later run."""
    sent = ("sent", "11:55", {"copies": ["d2"], "run": "t1", "beat": "show"})
    risk = risk_at(two_runs(), "11:56", STAGED, sent, plays=100)
    assert [use.chance for use in risk.uses] == [1, 1]
    gone = ("lost", "11:56", {"copy": "d1", "why": "dropped"})
    risk = risk_at(two_runs(), "11:56", STAGED, sent, gone, plays=100)
    assert [use.chance for use in risk.uses] == [1, 1]


def test_what_has_not_begun_starts_no_earlier_than_now() -> None:
    """An hour that should have begun, of which nobody spoke: it is told, and 65 min are left."""
    draft = one_dough(60).batch("b1", "loaf/dough", "d1", *hours(60)).use(SHOWN, "d1")
    risk = risk_at(draft, "10:55")
    assert is_share(use_of(risk, SHOWN).chance, float(length(60, 0.2).cdf(65)))
    assert risk.so_far is not None
    assert risk.so_far.not_begun == ("b1",)


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
