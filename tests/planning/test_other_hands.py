"""Who does what stays where it is, when somebody goes."""

from app.planning.frozen import frozen_of
from app.planning.happened import happened
from app.planning.mending import mend
from app.planning.minutes import Clock
from app.planning.other_hands import OtherHands
from app.planning.plan import Plan
from app.planning.replan import replan
from tests.planning import drafts
from tests.planning.drafts import Draft, at
from tests.planning.told import log

CLOCK = Clock("Europe/Lisbon")
GONE = ("absent", "10:30", {"crew": "ada", "from": "10:30", "to": "20:00"})
BATCHES = (("b1", "11:00", "11:30"), ("b2", "11:20", "11:50"), ("b3", "13:40", "14:10"))


def _draft(*crew: str, by: tuple[str, str, str], skill: str | None = None) -> Draft:
    """Return a day of a dough and two glazes for three runs: who makes them, the cooks there are.

    If the dough asks for a skill, Ada and Cy alone can make it.
    """
    stages = [
        drafts.stage("dough", drafts.way(30, skill=skill)),
        drafts.stage("glaze", drafts.way(30)),
    ]
    beats = [
        drafts.beat("bake", 0, 60, {"dough": 1}, {}) | {"kinds": ["take"]},
        drafts.beat("shine", 0, 60, {"glaze": 1}, {}) | {"kinds": ["pickup"]},
    ]
    pickup = {"kind": "pickup"}
    runs = [
        drafts.run("one", "13:00"),
        drafts.run("two", "13:30", **pickup),
        drafts.run("three", "14:30", **pickup),
    ]
    skilled = [
        drafts.cook(each, skills=["knead"] if each in ("ada", "cy") else []) for each in crew
    ]
    draft = Draft(drafts.day(stages, beats, runs, kitchen={"crew": skilled}))
    for (batch, starts, ends), cook in zip(BATCHES, by, strict=True):
        made = "loaf/dough" if batch == "b1" else "loaf/glaze"
        draft.batch(batch, made, f"d{batch}", (starts, ends, cook))
    draft.use("one/bake/dough", "db1").use("two/shine/glaze", "db2")
    return draft.use("three/shine/glaze", "db3")


def _crews(draft: Draft) -> tuple[str, frozenset[str]]:
    """Return who makes what when Ada has gone, and of what one is left with nobody."""
    plan = Plan.model_validate(draft.document())
    state = happened(draft.day, plan, log(GONE), CLOCK.minute(at("10:30")))
    hands = OtherHands(state, plan, frozen_of(state, plan))
    given = hands.given()
    told = [" and ".join(batch.phases[0].crew) or "nobody" for batch in given.batches]
    return ", ".join(told), hands.left


def test_somebody_free_takes_over_and_all_others_stay() -> None:
    """Cy is free: nobody else changes."""
    told = _crews(_draft("ada", "bo", "cy", by=("ada", "bo", "bo")))
    assert told == ("cy, bo, bo", frozenset())


def test_others_exchange_where_that_frees_somebody_who_can() -> None:
    """Cy can make the dough, and is with a glaze, which Bo can make."""
    told = _crews(_draft("ada", "bo", "cy", by=("ada", "cy", "bo"), skill="knead"))
    assert told == ("cy, bo, bo", frozenset())
    told = _crews(_draft("ada", "bo", by=("ada", "bo", "bo"), skill="knead"))
    assert told == ("nobody, bo, bo", {"loaf"})


def test_what_starts_soon_is_left_with_nobody_last() -> None:
    """Bo alone can make one of the two that meet; both start within two hours."""
    crews, left = _crews(_draft("ada", "bo", by=("ada", "bo", "ada")))
    assert crews in ("nobody, bo, bo", "bo, nobody, bo")
    assert left == {"loaf"}


def test_a_plan_in_which_all_are_there_is_not_touched() -> None:
    """Nobody is exchanged without need."""
    assert _crews(_draft("ada", "bo", by=("bo", "bo", "bo"))) == ("bo, bo, bo", frozenset())


def test_nothing_moves_where_others_can_take_over() -> None:
    """The mended plan keeps every minute, and tells who does what now."""
    draft = _draft("ada", "bo", "cy", by=("ada", "bo", "ada"))
    plan = Plan.model_validate(draft.document())
    mended = replan(draft.day, plan, log(GONE), at("10:30"), mend)
    assert mended.weight == 0
    assert {change.kind for change in mended.changes} == {"staffed"}


def test_who_works_two_shifts_that_touch_goes_on_from_one_into_the_other() -> None:
    """A dough that begins late lasts beyond 11:15, where Ada's next shift begins: it stays hers."""
    draft = _draft("ada", "ben", by=("ada", "ben", "ben"))
    shifts = (at("06:00"), at("11:15")), (at("11:15"), at("20:00"))
    crew = draft.day.kitchen.crew
    ada = crew[0].model_copy(update={"shifts": shifts})
    kitchen = draft.day.kitchen.model_copy(update={"crew": (ada, *crew[1:])})
    draft.day = draft.day.model_copy(update={"kitchen": kitchen})
    assert draft.broken() == set()
    plan = Plan.model_validate(draft.document())
    told = log(("started", "11:05", {"batch": "b1"}))
    mended = replan(draft.day, plan, told, at("11:05"), mend)
    assert [change.kind for change in mended.changes] == []
