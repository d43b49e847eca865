"""Where no single change serves everything, it is told how much more of the kitchen would."""

import pytest

from app.planning.advice import planned
from app.planning.audit import audit
from app.planning.blockers.looking import hindrances_of
from app.planning.blockers.words import more_may
from app.planning.canonical import document
from app.planning.day import Day
from app.planning.reading import read_day
from app.planning.remedies.altogether import Altogether
from app.planning.remedies.enlarged import Enlarging, Part, things
from app.planning.remedies.offer import Change, DayFile
from app.planning.remedies.patch import patched
from app.planning.solve import nobody, served, solve, still
from app.planning.watch import Watch, never
from tests.planning.drafts import Facts, at, beat, cook, day, run, stage, way

PATIENT = Watch(None, still, never, nobody)
ADA = {"crew": [cook("ada", ("08:00", "11:58"))]}
DECK = {"equipment": [{"id": "deck", "kind": "oven"}]}
RACK = {"shelves": [{"id": "rack", "zone": "ambient", "levels": [1, 2]}]}


def _day(*kitchen: Facts, needs: int = 4) -> Day:
    """Return a day of which some loaves are shown at noon, made one by one, each in an hour."""
    told: Facts = {name: things for each in kitchen for name, things in each.items()}
    zone = {"zone": "ambient"} if "shelves" in told else {}
    held = {"equipment": [{"kind": "oven", "per_batch": 1}]} if "equipment" in told else {}
    made = way(60, most=1, hands=int("crew" in told), **zone, **held)
    beats = [beat("show", 0, 60, {"loaf": needs}, {})]
    stages = [stage("loaf", made, keeps_min=40, **zone)]
    return read_day(day(stages, beats, [run("take", "12:00")], kitchen=told))


def short_of_two_things() -> Facts:
    """Return a day of two dishes, of which one lacks hands and the other an oven."""
    crewed, baked = document(_day(ADA, needs=2)), document(_day(DECK, needs=2))
    pie = baked["demonstrations"][0] | {"id": "pie", "title": "Pie", "code": "P"}
    return crewed | {
        "kitchen": ADA | DECK,
        "demonstrations": [*crewed["demonstrations"], pie],
        "runs": [*crewed["runs"], run("other", "12:00", "pie")],
    }


def _found(told: Day) -> tuple[tuple[Part, ...], Change]:
    """Return of what it takes more, and the change, which is held against a plan of the day."""
    file, plan = DayFile(told), solve(told)
    clashes = hindrances_of(told, plan, PATIENT).causes
    whole = Altogether(file, file.clock.minute(at("12:00")), PATIENT).found(clashes)
    assert whole is not None
    parts, shown = whole
    assert _lacking(told, shown.change) == 0
    return parts, shown.change


def _lacking(told: Day, change: Change) -> int:
    changed = read_day(patched(document(told), change.operations))
    plan = solve(changed)
    assert audit(changed, plan) == []
    return plan.objective.unmet


def test_as_many_cooks_are_told_as_it_takes_for_as_long_as_they_work() -> None:
    """Four loaves take four pairs of hands in the hour before noon."""
    told = _day(ADA)
    parts, change = _found(told)
    assert change.words == "Have 3 more cooks, 10:50 to 11:50"
    assert [*things(parts)] == ["hands"]
    assert _lacking(told, Change(change.operations[:-1], "")) == 1


def test_as_many_items_are_told_as_it_takes() -> None:
    told = _day(DECK)
    parts, change = _found(told)
    assert (change.words, [*things(parts)]) == ("Have 3 more like deck", ["oven"])
    assert _lacking(told, Change(change.operations[:-1], "")) == 1


def test_of_shelves_no_level_is_told_that_the_plan_does_not_need() -> None:
    """Three slots are there; two of the new level are enough for the five loaves."""
    parts, change = _found(_day(RACK, needs=5))
    assert change.words == "Have one more level in rack: 2 slots more"
    assert [*things(parts)] == ["shelves in ambient"]


def test_several_things_are_told_at_once() -> None:
    """Neither cooks nor ovens nor levels will do without the others."""
    _, change = _found(_day(ADA, DECK, RACK))
    assert change.words == (
        "Have 3 more cooks, 10:50 to 11:50; 3 more like deck; one more level in rack: 2 slots more"
    )


def test_where_no_kitchen_could_do_it_no_larger_one_is_told() -> None:
    """The loaves take an hour, and the prep begins half an hour before they are shown."""
    late = read_day(document(_day(ADA)) | {"prep_from": at("11:30")})
    assert not any("more cook" in each.words for each in planned(late).remedies)


def test_what_serves_everything_stands_before_what_serves_some() -> None:
    """Of two dishes one lacks hands and the other an oven: against each alone there is a change."""
    plan = planned(read_day(short_of_two_things()))
    words = [remedy.words for remedy in plan.remedies]
    assert words[0] == "Have one more cook, 10:50 to 11:50; one more oven like deck."
    assert all("lacks still" in each for each in words[1:])
    assert len(words) > 2


def test_a_day_that_cannot_be_served_ends_the_search_at_once() -> None:
    assert served(_day(ADA), PATIENT) is None
    found = served(_day({"crew": [cook(name) for name in "abcd"]}), PATIENT)
    assert found is not None
    assert found.plan().objective.unmet == 0


@pytest.mark.parametrize(
    ("shift", "hours"),
    [
        (("08:00", "11:58"), [(at("08:00"), at("12:00"))]),
        ((at("22:00").replace("04T", "03T"), at("06:30")), [(at("00:00"), "2027-03-05T00:00")]),
    ],
)
def test_more_cooks_are_there_whenever_anybody_may_be(
    shift: tuple[str, str], hours: list[tuple[str, str]]
) -> None:
    """By night too, where somebody works by night."""
    told = read_day(document(_day({"crew": [cook("ada", shift)]})))
    file = DayFile(told)
    assert [*Enlarging(file, file.clock.minute(at("12:00"))).hours] == hours


def test_what_all_is_about_is_said_with_what_stays_untold() -> None:
    parts = [Part("crew"), Part("equipment", "oven"), Part("shelf", "chill"), Part("shelf", "hot")]
    said = more_may(2, True, ["There is little room."], [*things(parts)])
    assert said.endswith(
        "There is little room. It is all about hands, oven and shelves in chill and hot: "
        "with more, as what would help tells, nothing lacks."
    )
