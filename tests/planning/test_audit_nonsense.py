"""Any plan of the right shape is answered with breaches, never with an exception."""

import random
from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

import pytest

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.plan import Plan
from tests.planning.drafts import NOTHING, Facts

TIMES = ["", "noon", "2027-03-04T12:00", "0001-01-01T00:00", "9999-12-31T23:59", "2027-13-40T99:99"]
TIMES += [
    "2027-03-28T01:30",
    "2027-10-31T01:30",
    "2027-03-04T12:00+05:00",
    "2027-3-4T1:2",
    "\ud800",
]
NUMBERS = [0, -1, 1, 2, 10**6, 10**30, -(10**30)]
IDS = ["", "b1", "b4", "knots/mixed/4", "knots/baked/1", "knots", "reveal", "none", "\n", "x" * 999]


def _spots(part: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of everything in a document."""
    inside = part.items() if isinstance(part, dict) else enumerate(part)
    for key, value in inside:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from _spots(value, (*path, key))


def _spoil(plan: Facts, chance: random.Random) -> None:
    """Change one thing somewhere: drop, double, exchange or replace it."""
    spots = list(_spots(plan))
    *path, key = chance.choice(spots)
    holder: Any = plan
    for step in path:
        holder = holder[step]
    value = holder[key]
    if isinstance(holder, list):
        at = chance.randrange(len(holder))
        move = chance.choice(["drop", "double", "exchange"])
        if move == "drop":
            del holder[key]
        elif move == "double":
            holder.insert(at, deepcopy(value))
        else:
            holder[key], holder[at] = holder[at], value
    elif isinstance(value, str):
        holder[key] = chance.choice(IDS + TIMES + [value])
    elif isinstance(value, int):
        holder[key] = chance.choice(NUMBERS)
    elif isinstance(value, list):
        holder[key] = []


def _valid(plan: Facts) -> Plan | None:
    try:
        return Plan.model_validate(plan)
    except ValueError:
        return None


@pytest.mark.parametrize("seed", range(8))
def test_a_spoiled_plan_is_answered(
    seed: int, knots_day: Day, golden: Callable[[str], Any]
) -> None:
    """Tests plans that are spoiled further and further, until little of them is left."""
    chance = random.Random(seed)
    for _ in range(6):
        plan = deepcopy(golden("knots.plan.json"))
        for _ in range(12):
            for _ in range(chance.choice([1, 1, 4, 20])):
                _spoil(plan, chance)
            read = _valid(plan)
            if read is not None:
                told = [str(breach) for breach in audit(knots_day, read)]
                assert all(line.isprintable() for line in told)


def test_an_empty_plan_lacks_everything(knots_day: Day) -> None:
    plan = Plan.model_validate({"status": "feasible", "objective": NOTHING, "bounds": {}})
    assert {breach.code for breach in audit(knots_day, plan)} >= {"unserved", "backups", "goals"}


def test_a_plan_for_a_day_without_anything(knots_plan: Plan) -> None:
    day = Day(title="empty", timezone="Europe/Lisbon", prep_from="2027-03-04T07:00")
    assert {breach.code for breach in audit(day, knots_plan)} >= {"unserved", "lineage", "goals"}
    nothing = {"status": "optimal", "objective": NOTHING, "bounds": NOTHING}
    assert audit(day, Plan.model_validate(nothing)) == []


def test_a_copy_that_is_made_from_itself(knots_day: Day, golden: Callable[[str], Any]) -> None:
    plan = deepcopy(golden("knots.plan.json"))
    for batch in plan["batches"]:
        batch["consumes"] = list(batch["copies"])
    told = {breach.code for breach in audit(knots_day, Plan.model_validate(plan))}
    assert told >= {"lineage", "late"}


def test_a_batch_repeated_many_times(knots_day: Day, golden: Callable[[str], Any]) -> None:
    """Tests that thousands of batches at once in one oven, by one cook, are told and end soon."""
    plan = deepcopy(golden("knots.plan.json"))
    bake = next(batch for batch in plan["batches"] if batch["id"] == "b8")
    plan["batches"] += [bake | {"id": f"x{n}"} for n in range(1500)]
    told = audit(knots_day, Plan.model_validate(plan))
    assert {breach.code for breach in told} >= {"double", "equipment", "crew"}
    assert len(told) < 200_000


FREE = {
    "number",
    "stopped_by",
    "bounds/early_min",
    "copies/*/places/*/level",
    "copies/*/places/*/slot",
    "copies/*/places/*/to",
    "batches/*/phases/*/places/*/level",
    "batches/*/phases/*/places/*/slot",
}


def _by_kind(plan: Facts) -> dict[str, list[tuple[Any, ...]]]:
    """Return the paths of all that a plan says, by what they say."""
    kinds: dict[str, list[tuple[Any, ...]]] = {}
    for path in _spots(plan):
        name = "/".join("*" if isinstance(step, int) else step for step in path)
        kinds.setdefault(name, []).append(path)
    return kinds


def _otherwise(value: Any) -> list[Any]:
    """Return a few other values of the same shape."""
    if isinstance(value, str) and value[:5] == "2027-":
        return [value[:-1] + str((int(value[-1]) + by) % 10) for by in (1, 9)]
    if isinstance(value, str):
        return ["none"]
    if isinstance(value, int):
        return [value + 1, value - 1]
    return [[], value[:-1], value + value[-1:]] if isinstance(value, list) and value else []


def test_hardly_anything_can_be_said_otherwise(
    knots_day: Day, golden: Callable[[str], Any]
) -> None:
    """Tests that of each kind of thing in a plan none can be changed alone, but for free places,
    how long a backup stands, and a bound that could be better.
    """
    chance = random.Random(7)
    for kind, paths in _by_kind(golden("knots.plan.json")).items():
        for path in chance.sample(paths, min(3, len(paths))):
            plan = deepcopy(golden("knots.plan.json"))
            holder: Any = plan
            for step in path[:-1]:
                holder = holder[step]
            for other in _otherwise(holder[path[-1]]):
                holder[path[-1]] = other
                read = _valid(plan)
                assert kind in FREE or read is None or audit(knots_day, read), (kind, other)
