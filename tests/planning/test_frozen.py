"""What a search for the rest of the day must take as it is."""

from typing import Any

from app.planning.crew import begun_by
from app.planning.frozen import Frozen, Lit, Uncovered, frozen_of
from app.planning.happened import Happened, happened
from app.planning.holds import Hold
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.supplies import Supply
from tests.planning import drafts
from tests.planning.drafts import Draft, at
from tests.planning.told import log

CLOCK = Clock("Europe/Lisbon")
Told = tuple[str, str, dict[str, Any]]
BEGUN: list[Told] = [
    ("staged", "11:10", {"batch": "b1"}),
    ("started", "12:05", {"batch": "b2"}),
]


def _draft(loss: float = 0) -> Draft:
    """Return a day of one oven, in which two of three doughs are baked, one is kneaded."""
    bake = {
        "id": "way",
        "batch_max": 4,
        "phases": [
            {"lasts_min": 5, "hands": 1, "skill": "oven"},
            {
                "lasts_min": 30,
                "equipment": [{"kind": "oven", "per_batch": 1, "setting": 200}],
                "zone": "hot",
            },
            {"lasts_min": 2, "hands": 1},
        ],
    }
    stages = [
        drafts.stage("dough", drafts.way(10)),
        drafts.stage("baked", bake, loss=loss, **{"from": [{"stage": "dough"}]}),
        drafts.stage("scrap", **{"from": [{"stage": "dough"}]}),
    ]
    beats = [
        drafts.beat("knead", 30, 60, {"dough": 1}, {"dough": 1, "scrap": 2}),
        drafts.beat("show", 120, 60, {"baked": 1}, {}),
    ]
    kitchen = {
        "crew": [drafts.cook("ada", skills=["oven"]), drafts.cook("ben")],
        "equipment": [{"id": "oven", "kind": "oven", "units": 2, "settings": {"change_min": 15}}],
        "shelves": [
            {"id": "rack", "zone": "ambient", "levels": [4]},
            {"id": "box", "zone": "hot", "levels": [4]},
        ],
    }
    stock = [
        {"id": "old", "demonstration": "loaf", "stage": "scrap", "count": 3, "staged": at("09:00")}
    ]
    runs = [drafts.run("one", "14:00"), drafts.run("two", "15:00")]
    draft = Draft(drafts.day(stages, beats, runs, kitchen=kitchen, stock=stock))
    draft.batch("b1", "loaf/dough", "d1 d2 d3", ("11:00", "11:10", "ben"))
    phases = (
        ("12:00", "12:05", "ada"),
        ("12:05", "12:35", "", {"oven": 1}),
        ("12:35", "12:37", "ben"),
    )
    draft.batch("b2", "loaf/baked", "k1 k2", *phases, takes="d1 d2")
    draft.heat("oven", 200, "11:50", "12:05")
    draft.in_phase("b2", 1, "box/1/1", 2)
    draft.batch("b3", "loaf/dough", "d4", ("14:20", "14:30", "ben"))
    draft.place("d3", "rack/1/2", "11:10", "13:50").place("d4", "rack/1/1", "14:30", "14:50")
    draft.stock("o1", "loaf/scrap", "old", "09:00")
    draft.use("one/knead/dough", "d3").use("two/knead/dough", "d4")
    draft.use("one/show/baked", "k1").use("two/show/baked", "k2")
    return draft


def _known(now: str, *told: Told, loss: float = 0) -> tuple[Happened, Frozen]:
    draft = _draft(loss)
    plan = Plan.model_validate(draft.document())
    state = happened(draft.day, plan, log(*told), CLOCK.minute(at(now)))
    return state, frozen_of(state, plan)


def _frozen(now: str, *told: Told, loss: float = 0) -> Frozen:
    return _known(now, *told, loss=loss)[1]


def _supply(frozen: Frozen, stage: str, number: int = 0) -> Supply:
    return [each for each in frozen.supplies if each.stage == ("loaf", stage)][number]


def _minute(clock: str) -> int:
    return CLOCK.minute(at(clock))


def test_nothing_has_happened_and_only_the_stock_is_there() -> None:
    """All batches can still be anything; what is soon weighs double."""
    frozen = _frozen("10:30")
    assert [(each.origin.stock, each.count) for each in frozen.supplies] == [("old", 1), ("old", 2)]
    assert (frozen.holds, frozen.uncovered, frozen.taken, frozen.aired) == ((), (), (), frozenset())
    assert [(each.batch, each.weight) for each in frozen.published] == [
        ("b1", 2),
        ("b2", 2),
        ("b3", 1),
    ]
    assert frozen.day == _draft().day


def test_what_has_begun_holds_crew_equipment_and_slots() -> None:
    """The bake runs late; its crew have no shift while they are with it."""
    frozen = _frozen("12:20", *BEGUN)
    held = Hold("oven", _minute("12:10"), _minute("12:40"), 1, 200, batch="b2")
    assert frozen.holds == (held,)
    assert [[(a[11:], b[11:]) for a, b in cook.shifts] for cook in frozen.day.kitchen.crew] == [
        [("06:00", "20:00")],
        [("06:00", "12:40"), ("12:42", "20:00")],
    ]
    assert {(each.spot, each.copies, each.ends) for each in frozen.taken} == {
        (("rack", 1, 2), 1, None),
        (("box", 1, 1), 2, _minute("12:40")),
    }
    assert [each.batch for each in frozen.published] == ["b3"]


def test_an_oven_that_is_being_lit_is_hot_when_it_should_be() -> None:
    """From the minute after it was lit until the bake is in it; late, it is still hot."""
    for now, told, is_lit in (
        ("11:50", BEGUN[:1], False),
        ("11:51", BEGUN[:1], True),
        ("12:05", BEGUN[:1], True),
        ("14:05", BEGUN[:1], True),
        ("14:06", BEGUN[:1], False),
        ("12:05", [*BEGUN[:1], ("started", "12:00", {"batch": "b2"})], False),
    ):
        found = _frozen(now, *told).lit
        assert found == ((Lit("oven", 200, _minute("12:05")),) if is_lit else ())


def test_what_is_in_the_making_is_a_supply_to_come() -> None:
    """As many as surely come out."""
    baked = _supply(_frozen("12:20", *BEGUN), "baked")
    assert (baked.copies, baked.staged, baked.ready) == (("k1", "k2"), *(_minute("12:42"),) * 2)
    assert _supply(_frozen("12:20", *BEGUN, loss=0.1), "baked").copies == ("k1",)
    lost: Told = ("lost", "12:19", {"copy": "k1"})
    frozen = _frozen("12:20", *BEGUN, lost, loss=0.1)
    assert [each for each in frozen.supplies if each.stage == ("loaf", "baked")] == []
    staged: Told = ("staged", "12:44", {"batch": "b2", "lost": ["k2"]})
    assert _supply(_frozen("12:44", *BEGUN, staged, loss=0.1), "baked").copies == ("k1",)


def test_a_phase_to_come_may_lack_its_crew() -> None:
    """Somebody else has to take the bread out; who is with it now stays with it."""
    away: Told = ("absent", "12:07", {"crew": "ben", "from": "12:07", "to": "20:00"})
    frozen = _frozen("12:07", *BEGUN, away)
    assert frozen.uncovered == (Uncovered("b2", 2, _minute("12:40"), _minute("12:42"), 1, None),)
    ada = frozen.day.kitchen.crew[0]
    assert [(a[11:], b[11:]) for a, b in ada.shifts] == [("06:00", "12:07"), ("12:10", "20:00")]


def test_what_lacks_its_crew_is_done_by_nobody_yet() -> None:
    """Ben has made the dough; whether he takes the bread out is not said any more."""
    away: Told = ("absent", "12:07", {"crew": "ben", "from": "12:07", "to": "20:00"})
    done = begun_by(*_known("12:07", *BEGUN, away))
    assert {cook: [duty.key for duty in some] for cook, some in done.items()} == {
        "ben": [("b1", 0)],
        "ada": [("b2", 0)],
    }
    done = begun_by(*_known("12:07", *BEGUN))
    assert [duty.key for duty in done["ben"]] == [("b1", 0), ("b2", 2)]


def test_what_beats_left_can_serve_again() -> None:
    """The dough within its run at once, else when it is back; the scraps that nobody planned."""
    frozen = _frozen("14:03", *BEGUN, ("staged", "12:42", {"batch": "b2"}))
    assert frozen.aired == {("one", "knead"), ("one", "show")}
    dough = _supply(frozen, "dough")
    assert (dough.copies, dough.shown, dough.run) == (("d3",), True, "one")
    assert (CLOCK.hour(dough.ready), dough.free_s) == ("14:07", _minute("14:01") * 60 + 30)
    scrap = next(each for each in frozen.supplies if each.origin.use)
    assert (scrap.count, scrap.copies, scrap.shown) == (2, (), True)
    assert _supply(frozen, "baked").copies == ("k2",)


def test_what_has_gone_to_the_set_is_held_for_its_beat() -> None:
    """And nothing stands in its slot."""
    sent: Told = ("sent", "13:48", {"copies": ["d3"], "run": "one", "beat": "knead"})
    frozen = _frozen("13:49", *BEGUN, sent)
    assert _supply(frozen, "dough").held_for == ("one", "knead")
    assert ("rack", 1, 2) not in {each.spot for each in frozen.taken}
