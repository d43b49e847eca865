"""What must stand in a zone at one minute is counted; more than fits is told as a clash."""

from typing import Any

from ortools.sat.python import cp_model

from app.planning.blockers.asking import Asking
from app.planning.blockers.case import Case
from app.planning.blockers.crowding import Crowding, is_crowded
from app.planning.blockers.deciding import Decider
from app.planning.blockers.facts import Fact, facts_of
from app.planning.blockers.looking import hindrances_of
from app.planning.blockers.rooms import Rooms
from app.planning.day import Day, Leaving
from app.planning.descent import SOLVED
from app.planning.model.build import Wanted, build
from app.planning.plan import Lack, Objective, Plan
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import nobody, still
from app.planning.watch import Watch, never
from tests.planning.blockers.looked import clashes, told
from tests.random_days import tiny_day

Document = dict[str, Any]
SEEDS = 400
TAKES = ("10:00", "10:20", "10:40", "11:00")
LATE = ("16:00", "16:20", "16:40", "17:00")


def _day(slots: int, leaves: bool = False, **stage: Any) -> Day:
    """A parfait that freezes for two hours and is shown four times within one."""
    way = {"id": "freezer", "phases": [{"lasts_min": 120, "zone": "frozen"}]}
    frozen = {"id": "hard", "keeps_min": 600, "zone": "frozen", "ways": [way], **stage}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "hard"}]}
    if leaves:
        beat["leaves"] = [{"stage": "hard"}]
    run = {"demonstration": "parfait", "kind": "take"}
    return Day.model_validate(
        {
            "title": "Parfaits",
            "timezone": "Europe/Lisbon",
            "prep_from": "2027-03-04T06:00",
            "kitchen": {"shelves": [{"id": "freezer", "zone": "frozen", "levels": [slots]}]},
            "demonstrations": [
                {"id": "parfait", "title": "Parfait", "stages": [frozen], "beats": [beat]}
            ],
            "runs": [
                {**run, "id": f"take-{i}", "starts": f"2027-03-04T{at}"}
                for i, at in enumerate(TAKES, start=1)
            ],
        }
    )


def test_four_copies_that_must_freeze_at_once_clash_with_three_slots() -> None:
    """The takes, what they need, how long it freezes and the shelf are told, and nothing else."""
    (facts,) = [told(clash) for clash in clashes(_day(3))]
    assert {(kind, ids) for kind, ids, _ in facts if kind not in ("run", "need")} == {
        ("way", ("parfait", "hard", "freezer")),
        ("shelf", ("freezer",)),
    }
    assert {ids[0] for kind, ids, _ in facts if kind == "need"} == {
        f"take-{i}" for i in (1, 2, 3, 4)
    }
    assert {ids[0] for kind, ids, _ in facts if kind == "run"} == {
        f"take-{i}" for i in (1, 2, 3, 4)
    }


def test_a_slot_for_each_is_enough() -> None:
    """Four slots hold four copies, and so do two where two copies share one."""
    assert not is_crowded(Scope(_day(4)))
    assert not is_crowded(Scope(_day(2, copies_per_slot=2)))
    assert is_crowded(Scope(_day(1, copies_per_slot=3)))


def test_a_copy_that_is_handed_back_is_counted_once() -> None:
    """What a take gives back may serve the next one, so that one slot might do."""
    assert not is_crowded(Scope(_day(1, leaves=True)))


def test_each_crowd_of_a_day_is_told() -> None:
    """In the morning two dishes are too many together, in the afternoon two others."""
    dishes = {"parfait": TAKES[:2], "sorbet": TAKES[2:], "gelee": LATE[:2], "cream": LATE[2:]}
    found = clashes(_dishes(dishes))
    assert [{fact.ids[0].split("-")[0] for fact in clash.needs} for clash in found] == [
        {"parfait", "sorbet"},
        {"gelee", "cream"},
    ]


def test_whoever_crowds_the_same_shelf_with_those_that_are_told_is_told_with_them() -> None:
    """Six takes of two dishes are within one hour: four of them are told, the other two as well."""
    day = _dishes({"parfait": TAKES[:3], "sorbet": TAKES[1:]})
    rooms, lacking = _rooms(day)
    bound = dict(rooms.bound(lacking))
    assert set(bound) == set(lacking)
    for need, crowd in bound.items():
        assert need in crowd.needs
        assert len(crowd.needs) == 4
    nothing = Plan.model_construct(
        objective=Objective.model_construct(unmet=6),
        unmet=tuple(
            Lack(run=run, beat=beat, stage=stage, kind="copies", count=1)
            for run, beat, stage in (need.ids for need in lacking)
        ),
    )
    found = hindrances_of(day, nothing, Watch(None, still, never, nobody))
    assert found.untold == found.excesses == ()
    (clash,) = found.clashes
    assert len(clash.needs) == 4
    assert len(clash.also) + len(clash.akin) == 2


def _rooms(day: Day) -> tuple[Rooms, list[Fact]]:
    """Return the crowds of a day, and all its needs."""
    case = Case(day, backups=False)
    return Rooms(Asking(case, Decider(Watch(None, still, never, nobody), 4.0))), case.needs


def _dishes(dishes: dict[str, tuple[str, ...]]) -> Day:
    """Return a day of dishes as the parfait is, one take for each time."""
    told = _day(3).model_dump(mode="json", by_alias=True, exclude_defaults=True)
    one, take = told["demonstrations"][0], told["runs"][0]
    told["demonstrations"] = [{**one, "id": dish, "title": dish.title()} for dish in dishes]
    told["runs"] = [
        {**take, "id": f"{dish}-{i}", "demonstration": dish, "starts": f"2027-03-04T{at}"}
        for dish, times in dishes.items()
        for i, at in enumerate(times, start=1)
    ]
    return Day.model_validate(told)


def test_what_a_beat_leaves_too_late_serves_none_of_those_before() -> None:
    """The last take leaves a copy, which is there after all takes: four must freeze at once."""
    day = _day(3)
    shown = day.demonstrations[0]
    beat = shown.beats[0].model_copy(update={"id": "last", "kinds": ("stills",)})
    leaving = beat.model_copy(update={"needs": (), "leaves": (Leaving(stage="hard"),)})
    takes = shown.beats[0].model_copy(update={"kinds": ("take",)})
    late = day.runs[0].model_copy(
        update={"id": "stills", "kind": "stills", "starts": "2027-03-04T12:00"}
    )
    dish = shown.model_copy(update={"beats": (takes, leaving)})
    with_late = day.model_copy(update={"demonstrations": (dish,), "runs": (*day.runs, late)})
    assert is_crowded(Scope(with_late))


def test_those_alike_are_named_first() -> None:
    """Of seven takes within one hour, a crowd is of the four of one dish."""
    rooms, lacking = _rooms(_dishes({"parfait": TAKES, "sorbet": TAKES[:3]}))
    crowd = next(rooms.apart(lacking, set()))
    assert {need.ids[0].split("-")[0] for need in crowd.needs} == {"parfait"}
    assert len(crowd.needs) == 4


def test_none_of_a_crowd_can_be_spared() -> None:
    """Holds each crowd of random days with hardly any shelves against its own count."""
    seen = 0
    for seed in range(SEEDS):
        scope = _asked(_cramped(seed))
        crowding = Crowding(scope)
        for use in scope.needs.uses:
            found = crowding.around(use, scope.needs.uses)
            if found is None:
                continue
            seen += 1
            _, uses = found
            assert use in uses
            assert crowding.around(use, uses) is not None
            for other in uses[1:]:
                assert crowding.around(use, [each for each in uses if each != other]) is None
    assert seen >= 10


def test_a_crowded_day_can_never_be_served() -> None:
    """Holds the count against the model of the shelves, on random days with hardly any."""
    scopes = [_asked(_cramped(seed)) for seed in range(SEEDS)]
    crowded = [scope for scope in scopes if is_crowded(scope)]
    assert len(crowded) >= 10
    for scope in crowded:
        zones = frozenset(shelf.zone for shelf in scope.day.kitchen.shelves)
        wanted = Wanted(tuple(scope.makings), 1, shelves=zones, kitchen="endless", times=False)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = 1
        assert solver.solve(build(scope, wanted).sheet.model) not in SOLVED


def _asked(day: Day) -> Scope:
    """Return a day in which all facts hold, and no backups are asked for."""
    case = Case(day, backups=False)
    return case.eased([*case.needs, *facts_of(day, case.demonstrations(case.needs))])


def _cramped(seed: int) -> Day:
    """Return a random day in which copies stand where they wait while they are made, on one shelf
    as wide as a copy.
    """
    document = tiny_day(seed)
    stages = [stage for each in document["demonstrations"] for stage in each["stages"]]
    for stage in stages:
        for way in stage.get("ways", ()):
            way["phases"][-1]["zone"] = stage.get("zone", "ambient")
    widest = max(stage.get("slots", 1) for stage in stages)
    zones = sorted({stage.get("zone", "ambient") for stage in stages})
    document["kitchen"]["shelves"] = [
        {"id": zone, "zone": zone, "levels": [widest]} for zone in zones
    ]
    return read_day(document)
