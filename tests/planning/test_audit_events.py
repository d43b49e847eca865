"""The audit of a plan whose day is under way: what has begun is as it happened, nothing else."""

from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.plan import Plan
from tests.planning import drafts
from tests.planning.drafts import Draft, at
from tests.planning.told import log

Told = tuple[str, str, dict[str, Any]]
KNEAD, SHOW = "knead", "show"


def mended(
    dough: tuple[str, str] = ("11:00", "11:10"),
    baked: tuple[str, str] = ("12:00", "12:30"),
    *,
    shift: tuple[str, str] = ("06:00", "20:00"),
    closed: tuple[str, str] | None = None,
    starts: tuple[str, str] = ("14:00", "15:00"),
) -> Draft:
    """Return a plan of two takes: each kneads a dough, which comes back, and shows a loaf."""
    stages = [
        drafts.stage("dough", drafts.way(10)),
        drafts.stage(
            "baked",
            drafts.way(30, hands=0, equipment=[{"kind": "oven", "copies_per_unit": 2}]),
            **{"from": [{"stage": "dough"}]},
        ),
    ]
    beats = [
        drafts.beat(KNEAD, 30, 60, {"dough": 1}, {"dough": 1}),
        drafts.beat(SHOW, 120, 60, {"baked": {"count": 1, "backups": 1}}, {}),
    ]
    oven: dict[str, Any] = {"id": "oven", "kind": "oven"}
    if closed:
        oven["closed"] = [[at(closed[0]), at(closed[1])]]
    kitchen = {
        "crew": [drafts.cook(shift=shift)],
        "equipment": [oven],
        "shelves": [{"id": "rack", "zone": "ambient", "levels": [4, 4]}],
    }
    runs = [drafts.run("one", starts[0]), drafts.run("two", starts[1])]
    draft = Draft(drafts.day(stages, beats, runs, kitchen=kitchen))
    draft.kin = {"k1": "d1", "k2": "d2"}
    draft.batch("b1", "loaf/dough", "d1 d2 d3", (*dough, "ada"))
    draft.batch("b2", "loaf/baked", "k1 k2", (*baked, "", {"oven": 1}), takes="d1 d2")
    draft.place("d1", "rack/1/1", dough[1], baked[0])
    draft.place("d2", "rack/1/2", dough[1], baked[0])
    draft.place("d3", "rack/1/3", dough[1], "13:50").place("d3", "rack/1/3", "14:07", "14:50")
    draft.place("k1", "rack/2/1", baked[1], "13:52").place("k2", "rack/2/2", baked[1], "14:52")
    draft.use("one/knead/dough", "d3").use("two/knead/dough", "d3")
    draft.use("one/show/baked", "k1", "k2").use("two/show/baked", "k2")
    draft.lack("two/show/baked", "backups", 1)
    return draft


def without_k1() -> Draft:
    """Return the plan as mended once the first loaf is lost: the second serves take one."""
    draft = mended()
    draft.uses = draft.uses[:2]
    draft.unmet = []
    draft.use("one/show/baked", "k2").use("two/show/baked")
    draft.lack("one/show/baked", "backups", 1).lack("two/show/baked", "backups", 1)
    draft.lack("two/show/baked", "copies", 1)
    draft.copies["k1"]["places"], draft.copies["k2"]["places"] = [], []
    draft.place("k1", "rack/2/1", "12:30", "12:41").place("k2", "rack/2/2", "12:30", "13:52")
    return draft


def broken(draft: Draft, *told: Told, now: str | None = None) -> list[str]:
    """Return what a plan breaks in the light of what was told."""
    plan = Plan.model_validate(draft.document())
    until = None if now is None else at(now)
    return [str(breach) for breach in audit(draft.day, plan, log(*told), until)]


def codes(draft: Draft, *told: Told, now: str | None = None) -> set[str]:
    """Return the codes of the rules that a plan breaks."""
    return {each.split(":")[0] for each in broken(draft, *told, now=now)}


def started(clock: str, batch: str) -> Told:
    return "started", clock, {"batch": batch}


def staged(clock: str, batch: str, *lost: str) -> Told:
    return "staged", clock, {"batch": batch, "lost": list(lost)}


def told(kind: str, clock: str, **says: Any) -> Told:
    return kind, clock, {key.rstrip("_"): value for key, value in says.items()}


DOUGH, BAKED = staged("11:10", "b1"), staged("12:30", "b2")
K1_LOST = told("lost", "12:41", copy="k1")


def test_the_plan_keeps_every_rule_while_nothing_has_happened() -> None:
    """The same with and without the time now."""
    assert broken(mended()) == []
    assert broken(mended(), now="10:59") == []
    assert broken(mended(), now="11:00") == []


def test_the_plan_keeps_every_rule_when_all_goes_as_planned() -> None:
    """Each step told to the minute, until the end of the day."""
    steps = [started("11:00", "b1"), DOUGH, started("12:00", "b2"), BAKED]
    for number in range(len(steps) + 1):
        assert broken(mended(), *steps[:number]) == []
    assert broken(mended(), *steps, now="16:00") == []


def test_a_batch_keeps_its_real_times() -> None:
    """It began late, was cut short, or took long: the plan says when, whatever the way says."""
    late, short = [started("11:20", "b1"), staged("11:30", "b1")], staged("11:04", "b1")
    assert broken(mended(("11:20", "11:30")), *late) == []
    assert broken(mended(("11:00", "11:04")), short) == []
    assert broken(mended(("11:00", "11:25")), staged("11:25", "b1")) == []
    assert codes(mended(), *late) == {"phases"}
    assert codes(mended(), short) == {"phases"}
    assert codes(mended(("11:20", "11:30"))) == set()


def test_a_batch_in_the_making_lasts_until_now_at_least() -> None:
    """Nobody has staged it."""
    assert broken(mended(), started("11:00", "b1"), now="11:10") == []
    assert codes(mended(), started("11:00", "b1"), now="11:20") == {"phases"}
    assert broken(mended(("11:00", "11:20")), started("11:00", "b1"), now="11:20") == []
    assert codes(mended(("11:00", "11:20")), started("11:00", "b1"), now="11:15") == {"phases"}


def test_a_batch_in_the_making_ends_when_somebody_expects_it() -> None:
    """The last word holds, and nothing ends before now."""
    longer = [started("11:00", "b1"), told("expected", "11:05", batch="b1", ends="11:20")]
    shorter = [*longer, told("expected", "11:06", batch="b1", ends="11:15")]
    assert broken(mended(("11:00", "11:20")), *longer, now="11:06") == []
    assert codes(mended(), *longer, now="11:06") == {"phases"}
    assert broken(mended(("11:00", "11:15")), *shorter, now="11:06") == []
    assert broken(mended(("11:00", "11:17")), *shorter, now="11:17") == []


def test_what_has_not_begun_starts_later_than_now() -> None:
    """A minute that has passed cannot be planned any more."""
    assert codes(mended(), now="11:01") == {"before"}
    assert codes(mended(), DOUGH, now="12:01") == {"before"}
    assert codes(mended(), DOUGH, told("measured", "12:10", copy="d1", celsius=20)) == {"before"}


def test_a_batch_that_somebody_saw_the_copies_of_has_begun() -> None:
    """And so have the batches that it was made from."""
    seen = told("measured", "12:40", copy="k1", celsius=98)
    assert broken(mended(), seen) == []
    assert codes(mended(baked=("12:20", "12:50")), seen) == {"phases"}


def test_a_cook_may_be_away_from_what_has_begun() -> None:
    """The batch goes on; what has not begun needs somebody on shift, and the day tells it."""
    away = told("absent", "11:02", crew="ada", from_=at("11:02"), to=at("20:00"))
    assert broken(mended(shift=("06:00", "11:02")), started("11:00", "b1"), away) == []
    assert codes(mended(shift=("06:00", "11:02")), away, now="11:00") == {"crew"}
    assert codes(mended(), started("11:00", "b1"), away) == {"crew"}


def test_an_oven_may_be_down_around_what_has_begun() -> None:
    """The same for equipment."""
    down = told("closed", "12:05", equipment="oven", from_=at("12:05"), to=at("13:00"))
    begun = [DOUGH, started("12:00", "b2"), down]
    assert broken(mended(closed=("12:00", "13:00")), *begun) == []
    assert codes(mended(closed=("12:00", "13:00")), DOUGH, now="12:00") == {"equipment"}
    assert codes(mended(), *begun) == {"equipment"}


def test_a_lost_copy_serves_nobody() -> None:
    """Neither a use nor as a backup; told so, the plan that does without it is right."""
    assert broken(without_k1(), DOUGH, BAKED, K1_LOST) == []
    assert codes(mended(), DOUGH, BAKED, K1_LOST) == {"double"}
    assert codes(mended(), DOUGH, BAKED, told("lost", "12:41", copy="k2")) == {"double", "backups"}
    assert codes(mended(), DOUGH, staged("12:30", "b2", "k1")) == {"double"}
    assert broken(mended(), DOUGH, BAKED, told("lost", "14:03", copy="k1")) == []
    assert codes(mended(), DOUGH, BAKED, told("lost", "13:59", copy="k1"), now="14:10") == {
        "double"
    }


def test_a_lost_copy_is_not_forgotten() -> None:
    """What somebody spoke of, and what has begun, stays in the plan."""
    draft = mended()
    assert codes(draft, DOUGH, BAKED, told("lost", "12:41", copy="k9")) == {"lineage"}
    assert codes(draft, DOUGH, BAKED, started("13:00", "b9")) == {"lineage"}


def test_a_copy_is_back_when_somebody_says_so() -> None:
    """A dough that is back late is late for the next take; one that is back early stands longer."""
    late = told("returned", "14:55", copies=["d3"])
    assert codes(mended(), DOUGH, BAKED, late) == {"late", "shelf"}
    early, draft = told("returned", "14:05", copies=["d3"]), mended()
    assert codes(draft, DOUGH, BAKED, early) == {"shelf"}
    draft.copies["d3"]["places"].pop()
    draft.place("d3", "rack/1/3", "14:05", "14:50")
    assert broken(draft, DOUGH, BAKED, early) == []


def test_what_a_beat_used_is_what_somebody_said() -> None:
    """The plan that tells another copy is not what happened."""
    used = told("used", "14:03", run="one", beat=SHOW, copies=["k1"])
    assert broken(mended(), DOUGH, BAKED, used) == []
    other = told("used", "14:03", run="one", beat=SHOW, copies=["k2"])
    assert "unserved" in codes(mended(), DOUGH, BAKED, other)


def test_a_beat_that_has_begun_took_what_was_there() -> None:
    """Late for its margin, stale, or not there at all: only the last is no history."""
    assert codes(mended(baked=("13:20", "13:55")), DOUGH, staged("13:55", "b2")) == {
        "late",
        "backups",
        "shelf",
    }
    draft = mended(baked=("13:20", "13:55"))
    draft.copies["k1"]["places"] = []
    assert broken(draft, DOUGH, staged("13:55", "b2"), now="14:05") == []
    draft = mended(baked=("13:40", "14:04"))
    draft.copies["k1"]["places"] = []
    assert codes(draft, DOUGH, staged("14:04", "b2"), now="14:05") == {"late"}


def test_a_copy_on_the_set_is_not_in_the_kitchen() -> None:
    """It backs nothing else until it is back from the beat that it went to."""
    sent = told("sent", "13:45", copies=["k2"], run="two", beat=SHOW)
    assert codes(mended(), DOUGH, BAKED, sent) == {"backups"}
    back = told("returned", "13:46", copies=["k2"])
    assert broken(mended(), DOUGH, BAKED, sent, back) == []


def test_a_copy_stands_where_somebody_put_it() -> None:
    """The last word counts."""
    moved = told("placed", "13:00", copy="k1", shelf="rack", level=2, slot=3)
    again = told("placed", "13:05", copy="k1", shelf="rack", level=2, slot=1)
    assert codes(mended(), DOUGH, BAKED, moved) == {"shelf"}
    assert broken(mended(), DOUGH, BAKED, moved, again) == []


@pytest.mark.parametrize(
    ("event", "starts"),
    [
        (told("moved", "13:00", run="two", starts=at("15:30")), ("14:00", "15:00")),
        (told("dropped", "13:00", run="two"), ("14:00", "15:00")),
    ],
    ids=["moved", "dropped"],
)
def test_the_day_is_as_it_now_stands(event: Told, starts: tuple[str, str]) -> None:
    """A plan for the rundown of this morning is refused."""
    found = broken(mended(starts=starts), DOUGH, BAKED, event)
    assert [each for each in found if each.startswith("unserved: run two")]


def test_what_is_undone_has_not_been() -> None:
    """An undo of an undo undoes nothing."""
    undo, again = told("undone", "12:42", undoes=3), told("undone", "12:43", undoes=4)
    assert broken(mended(), DOUGH, BAKED, K1_LOST, undo) == []
    assert codes(mended(), DOUGH, BAKED, K1_LOST, undo, again) == {"double"}


def test_who_is_with_two_batches_that_have_begun_is_with_both() -> None:
    """It is as it is; a third one that has not begun may not join them."""
    draft = mended()
    draft.batch("b3", "loaf/dough", "d4", ("11:05", "11:15", "ada"))
    begun = [started("11:00", "b1"), started("11:05", "b3")]
    assert "crew" in codes(draft, *begun[:1], now="11:05")
    assert broken(draft, *begun) == []
