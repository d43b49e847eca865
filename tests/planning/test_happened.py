"""What has begun, which copies there are, and where they are: small examples."""

from typing import Any

import pytest

from app.planning.begun import Begun
from app.planning.happened import Happened, Known, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan
from tests.planning import drafts
from tests.planning.drafts import Draft, at
from tests.planning.told import log

CLOCK = Clock("Europe/Lisbon")
Told = tuple[str, str, dict[str, Any]]


def _draft() -> Draft:
    """Two runs: each kneads a dough, hands it back, leaves a scrap, and shows a loaf."""
    stages = [
        drafts.stage("dough", drafts.way(10)),
        drafts.stage("baked", drafts.way(30, hands=0), **{"from": [{"stage": "dough"}]}),
        drafts.stage("scrap", **{"from": [{"stage": "dough"}]}),
    ]
    beats = [
        drafts.beat("knead", 30, 60, {"dough": 1}, {"dough": 1, "scrap": 2}),
        drafts.beat("show", 120, 60, {"baked": {"count": 1, "backups": 1}}, {}),
    ]
    kitchen = {
        "crew": [drafts.cook()],
        "shelves": [{"id": "rack", "zone": "ambient", "levels": [4, 4]}],
    }
    runs = [drafts.run("one", "14:00"), drafts.run("two", "15:00")]
    draft = Draft(drafts.day(stages, beats, runs, kitchen=kitchen))
    draft.batch("b1", "loaf/dough", "d1 d2 d3", ("11:00", "11:10", "ada"))
    draft.batch("b2", "loaf/baked", "k1 k2", ("12:00", "12:30"), takes="d1 d2")
    draft.place("d3", "rack/1/2", "11:10", "13:50").place("d3", "rack/1/3", "14:07", "14:50")
    draft.left("s1", "loaf/scrap", "one/knead", "14:02")
    draft.use("one/knead/dough", "d3").use("two/knead/dough", "d3")
    draft.use("one/show/baked", "k1", "k2").use("two/show/baked", "k2")
    return draft


def _state(now: str, *told: Told) -> Happened:
    draft = _draft()
    plan = Plan.model_validate(draft.document())
    return happened(draft.day, plan, log(*told), CLOCK.minute(at(now)))


def _hours(begun: Begun) -> list[tuple[str, str]]:
    return [(CLOCK.hour(starts), CLOCK.hour(ends)) for starts, ends in begun.spans]


def _ready(known: Known) -> str:
    return CLOCK.hour(known.ready)


STAGED: list[Told] = [("staged", "11:10", {"batch": "b1"}), ("staged", "12:30", {"batch": "b2"})]


def test_nothing_told_is_nothing_begun() -> None:
    """Even when the planned time has passed."""
    state = _state("11:05")
    assert (state.begun, state.copies, state.uses) == ({}, {}, {})


@pytest.mark.parametrize(
    ("now", "ends"), [("11:07", "11:15"), ("11:15", "11:15"), ("11:20", "11:20")]
)
def test_a_batch_that_began_late_ends_late(now: str, ends: str) -> None:
    """By its length; nobody has staged it, so it lasts until now at least."""
    state = _state(now, ("started", "11:05", {"batch": "b1"}))
    assert _hours(state.begun["b1"]) == [("11:05", ends)]
    assert not state.begun["b1"].is_staged
    assert {copy: known.state for copy, known in state.copies.items()} == dict.fromkeys(
        ("d1", "d2", "d3"), "coming"
    )


@pytest.mark.parametrize(("now", "ends"), [("11:07", "11:25"), ("11:30", "11:30")])
def test_a_batch_is_expected_when_somebody_says_so(now: str, ends: str) -> None:
    """It began, if nobody said that; nobody has staged it, so it lasts until now at least."""
    state = _state(now, ("expected", "11:05", {"batch": "b1", "ends": "11:25"}))
    assert _hours(state.begun["b1"]) == [("11:00", ends)]
    assert not state.begun["b1"].is_staged


def test_a_batch_is_staged_when_somebody_says_so() -> None:
    """Early or late, all but what was lost."""
    told: Told = ("staged", "11:07", {"batch": "b1", "lost": ["d2"]})
    state = _state("11:08", ("started", "11:01", {"batch": "b1"}), told)
    assert _hours(state.begun["b1"]) == [("11:01", "11:07")]
    assert {copy: known.state for copy, known in state.copies.items()} == {
        "d1": "kitchen",
        "d2": "lost",
        "d3": "kitchen",
    }
    assert _ready(state.copies["d1"]) == "11:07"


@pytest.mark.parametrize(("staged", "starts"), [("11:30", "11:00"), ("10:50", "10:40")])
def test_a_batch_that_nobody_started_began_as_planned(staged: str, starts: str) -> None:
    """Or, where it was staged before that, its length earlier."""
    state = _state("11:40", ("staged", staged, {"batch": "b1"}))
    assert _hours(state.begun["b1"]) == [(starts, staged)]


def test_whoever_sees_a_copy_says_that_it_was_staged() -> None:
    """And its batch took staged inputs: nobody ticked either of the two."""
    spot = {"copy": "k1", "shelf": "rack", "level": 1, "slot": 1}
    state = _state("12:45", ("placed", "12:40", spot))
    assert _hours(state.begun["b2"]) == [("12:00", "12:30")]
    assert _hours(state.begun["b1"]) == [("11:00", "11:10")]
    assert all(begun.is_staged for begun in state.begun.values())
    assert state.copies["d1"].state == "used"
    assert state.copies["k1"].spot == ("rack", 1, 1)


def test_a_copy_that_is_lost_before_it_was_staged_had_begun() -> None:
    """The others are still in the making."""
    state = _state("11:06", ("lost", "11:05", {"copy": "d1"}))
    assert _hours(state.begun["b1"]) == [("11:00", "11:10")]
    assert [state.copies[copy].state for copy in ("d1", "d2")] == ["lost", "coming"]


def test_what_is_undone_has_not_been() -> None:
    """Taken back, and the batch has not begun."""
    told: Told = ("started", "11:05", {"batch": "b1"})
    assert _state("11:20", told, ("undone", "11:06", {"undoes": 1})).begun == {}


def test_a_beat_whose_time_has_come_took_what_was_planned() -> None:
    """It hands its dough back, uses the loaf up, and leaves two scraps; the plan lists one."""
    state = _state("14:05", *STAGED)
    assert state.uses == {
        ("one", "knead", "dough"): ("d3",),
        ("one", "show", "baked"): ("k1",),
    }
    assert [(state.copies[c].state, _ready(state.copies[c])) for c in ("d3", "s1")] == [
        ("set", "14:07"),
        ("set", "14:07"),
    ]
    assert state.copies["k1"].state == "used"
    assert state.copies["k2"].state == "kitchen"
    assert state.left_more == {("one", "knead", "scrap"): 1}
    assert [state.copies[c].shown for c in ("d3", "s1", "k1", "k2")] == [True, True, True, False]


def test_what_a_beat_handed_back_is_back_by_the_clock() -> None:
    """Or when somebody says so; it stands where the plan puts it then."""
    assert _state("14:07", *STAGED).copies["d3"].state == "kitchen"
    assert _state("14:07", *STAGED).copies["d3"].spot == ("rack", 1, 3)
    early = _state("14:05", *STAGED, ("returned", "14:04", {"copies": ["d3"]})).copies["d3"]
    assert (early.state, _ready(early)) == ("kitchen", "14:04")


def test_a_backup_stands_in_for_what_is_lost() -> None:
    """Nobody said so; that is what it stood there for."""
    state = _state("14:05", *STAGED, ("lost", "13:58", {"copy": "k1"}))
    assert state.uses["one", "show", "baked"] == ("k2",)
    assert [state.copies[copy].state for copy in ("k1", "k2")] == ["lost", "used"]


def test_a_beat_that_took_of_a_batch_tells_that_it_was_staged() -> None:
    """Nobody ticked it; if it cannot have been ready for the beat, the beat went without."""
    begun: list[Told] = [
        ("started", "13:00", {"batch": "b1"}),
        ("started", "13:20", {"batch": "b2"}),
    ]
    state = _state("14:05", *begun)
    assert _hours(state.begun["b2"]) == [("13:20", "13:50")]
    assert state.begun["b2"].is_staged
    assert state.uses["one", "show", "baked"] == ("k1",)
    begun[1] = ("started", "13:40", {"batch": "b2"})
    state = _state("14:05", *begun)
    assert _hours(state.begun["b2"]) == [("13:40", "14:10")]
    assert not state.begun["b2"].is_staged
    assert state.uses["one", "show", "baked"] == ()


def test_a_beat_that_lacks_a_copy_leaves_nothing_new() -> None:
    """No dough was made at all."""
    state = _state(
        "14:05", ("started", "13:00", {"batch": "b1"}), ("lost", "13:10", {"copy": "d3"})
    )
    assert state.uses["one", "knead", "dough"] == ()
    assert "s1" not in state.copies
    assert state.left_more == {}


def test_what_was_used_is_what_somebody_says() -> None:
    """The other loaf, before the time of the beat; what is used later was not used up before."""
    used = {"run": "one", "beat": "show", "copies": ["k2"]}
    state = _state("13:55", *STAGED, ("used", "13:54", used))
    assert state.uses == {("one", "show", "baked"): ("k2",)}
    assert [state.copies[copy].state for copy in ("k1", "k2")] == ["kitchen", "used"]
    state = _state("15:05", *STAGED, ("used", "15:03", used | {"run": "two", "copies": ["k1"]}))
    assert state.uses["one", "show", "baked"] == ("k2",)
    assert state.uses["two", "show", "baked"] == ("k1",)


def test_what_is_sent_is_on_set_until_it_is_back() -> None:
    """For a beat to come it is held; after the beat it comes back like any other copy."""
    sent: Told = ("sent", "13:45", {"copies": ["k2"], "run": "one", "beat": "show"})
    state = _state("13:46", *STAGED, sent)
    assert state.sent == {("one", "show"): ("k2",)}
    assert state.copies["k2"].state == "set"
    state = _state("13:48", *STAGED, sent, ("returned", "13:47", {"copies": ["k2"]}))
    assert state.sent == {}
    assert state.copies["k2"].state == "kitchen"
    state = _state("14:05", *STAGED, sent)
    assert state.uses["one", "show", "baked"] == ("k2",)
    assert state.copies["k1"].state == "kitchen"


def test_a_run_that_was_moved_has_not_begun() -> None:
    """Its copies stand where they were."""
    state = _state("14:05", *STAGED, ("moved", "14:04", {"run": "one", "starts": "14:20"}))
    assert state.uses == {}
    assert state.copies["k1"].state == "kitchen"
    assert state.copies["d3"].spot == ("rack", 1, 2)


def test_a_run_that_is_dropped_took_nothing() -> None:
    """And one that is not there is told."""
    dropped: list[Told] = [("dropped", "14:04", {"run": each}) for each in ("one", "three")]
    state = _state("14:05", *STAGED, *dropped)
    assert [run.id for run in state.day.runs] == ["two"]
    assert state.uses == {}
    assert state.notices == ("There is no run “three” to drop.",)


def test_a_place_that_somebody_tells_counts_until_the_copy_goes() -> None:
    """When it is back from the set it stands elsewhere again."""
    spot: Told = ("placed", "11:20", {"copy": "d3", "shelf": "rack", "level": 2, "slot": 4})
    assert _state("13:00", *STAGED, spot).copies["d3"].spot == ("rack", 2, 4)
    assert _state("14:10", *STAGED, spot).copies["d3"].spot == ("rack", 1, 3)
