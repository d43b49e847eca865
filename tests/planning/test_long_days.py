"""Days too long to be open all at once: families are placed beside others that stand."""

from functools import cache

import pytest

from app.planning import again, joining
from app.planning import solve as solving
from app.planning.audit import audit
from app.planning.beside import occupied_by
from app.planning.day import Day
from app.planning.draft import Draft
from app.planning.finding_room import FindingRoom
from app.planning.holds import Hold, Occupied, together
from app.planning.joining import WHOLE, Family
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import solve
from tests.bench.productions import production
from tests.bench.spoilt import one_pair_of_hands

DEMONSTRATIONS, SEED = 8, 0
LITTLE_WORK, LEAST_WORK = 0.7, 0.1
NEAR = 1.05
NARROW = 2


def long_day(slots_of_a_level: int | None = None) -> Day:
    """Return a production of some days, its shelves as narrow as is told."""
    document = production(DEMONSTRATIONS, SEED)
    if slots_of_a_level is not None:
        for shelf in document["kitchen"]["shelves"]:
            shelf["levels"] = [slots_of_a_level for _ in shelf["levels"]]
    return read_day(document)


@cache
def planned() -> Plan:
    """Return the plan of a long day, for little work."""
    return solve(long_day(), work=LITTLE_WORK)


def test_the_day_is_a_long_one() -> None:
    """Tests that what follows tries what it means to try."""
    scope = Scope(long_day())
    assert sum(call.batches for _, call in scope.calls_of(scope.kin)) > WHOLE


def test_a_long_day_is_served_and_breaks_no_rule() -> None:
    """Tests placing, against the checker that shares no code with it."""
    plan = planned()
    assert audit(long_day(), plan) == []
    assert (plan.objective.unmet, plan.objective.unbacked) == (0, 0)


def test_a_long_day_is_near_to_its_bound() -> None:
    """Tests that copies are few: each family needs no more beside the others than alone."""
    plan = planned()
    assert plan.bounds.cost is not None
    assert plan.bounds.cost <= plan.objective.cost <= NEAR * plan.bounds.cost


def test_a_long_day_gives_the_same_plan_again() -> None:
    """Tests that nothing hangs on which family is first done alone."""
    assert solve(long_day(), work=LITTLE_WORK).model_dump_json() == planned().model_dump_json()


def test_a_long_day_keeps_to_shelves_that_are_too_small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests that copies lack rather than stand where there is no room."""
    monkeypatch.setattr(again, "AGAIN_WORK", LEAST_WORK)
    monkeypatch.setattr(solving, "FREE_SLOTS", solving.FREE_SLOTS[-1:])
    day = long_day(NARROW)
    assert audit(day, solve(day, work=LEAST_WORK)) == []


def test_a_dish_that_fits_no_kitchen_as_it_is_gets_another_shape(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Tests that a shape for ovens without end is not all that is tried: this loaf lacked all."""
    monkeypatch.setattr(joining, "WHOLE", 0)
    document = production(12, 38)
    document["demonstrations"] = [
        each for each in document["demonstrations"] if each["id"] in ("loaf-10", "roast-11")
    ]
    kept = {each["id"] for each in document["demonstrations"]}
    document["runs"] = [run for run in document["runs"] if run["demonstration"] in kept]
    document["stock"] = []
    assert solve(read_day(document), work=LITTLE_WORK).objective.unmet == 0


def test_a_dish_takes_the_room_of_one_that_finds_room_elsewhere(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Tests that two which change about like that both stand, and break no rule."""
    monkeypatch.setattr(joining, "WHOLE", 0)
    swaps, changed = FindingRoom._swaps, []

    def seen(room: FindingRoom, other: Family, family: Family) -> bool:
        both_stand = swaps(room, other, family)
        changed.extend([other, family] if both_stand else [])
        assert both_stand <= {other, family}.issubset(room.day.placed)
        return both_stand

    monkeypatch.setattr(FindingRoom, "_swaps", seen)
    day = read_day(production(6, 4))
    plan = solve(day, work=LITTLE_WORK)
    assert changed
    assert plan.objective.unmet == 0
    assert audit(day, plan) == []


def test_where_hands_are_far_too_few_nobody_looks_for_the_room_of_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Tests that run after run is served at once of what does not fit: none is driven about."""
    monkeypatch.setattr(FindingRoom, "tried_again", None)
    document = production(DEMONSTRATIONS, SEED)
    one_pair_of_hands(document)
    day = read_day(document)
    plan = solve(day, work=LITTLE_WORK)
    needed = sum(use.count for use in Scope(day).needs.uses)
    assert 0 < plan.objective.unmet < needed / 2
    assert audit(day, plan) == []


def test_what_stands_is_taken_together() -> None:
    """Tests that hands, items and slots of several families add up."""
    oven = Hold(item="oven", starts=0, ends=60, units=1, setting=None)
    one = Occupied((oven,), {"cooks": ((0, 5, 1),)}, {"chill": ((60, 90, 2),)})
    other = Occupied((), {"cooks": ((10, 12, 2),)})
    assert together((one, other)) == Occupied(
        (oven,), {"cooks": ((0, 5, 1), (10, 12, 2))}, {"chill": ((60, 90, 2),)}
    )


def test_nothing_takes_nothing() -> None:
    """Tests a family that makes nothing."""
    assert occupied_by(Scope(long_day()), Draft([], [], {}, {})) == Occupied()
