"""Slots: what stood somewhere keeps its slot, and what has no slot is proven to have none."""

import random
from itertools import product
from pathlib import Path

import pytest

from app.exchange.dayfile import load_plan
from app.planning.audit import audit
from app.planning.day import Day
from app.planning.mending import mend
from app.planning.minutes import Clock
from app.planning.places import Place, Stay, is_free, place
from app.planning.plan import Copy, Plan, Standing
from app.planning.reading import read_day
from app.planning.replan import replan
from app.planning.scope import Scope
from tests.bench.mending import after
from tests.planning.drafts import cook, day, stage

SEED_DEMO = Path(__file__).parents[2] / "seed_demo"


def _scope(*levels: int) -> Scope:
    """Return a day with a rack, a dough, raw meat and something ready to eat."""
    stages = [stage("dough"), stage("meat", raw_animal=True), stage("cake", ready_to_eat=True)]
    rack = {"id": "rack", "zone": "ambient", "levels": list(levels)}
    return Scope(read_day(day(stages, [], []) | {"kitchen": {"crew": [cook()], "shelves": [rack]}}))


def _stay(
    scope: Scope, starts: int, ends: int, wish: tuple[int, int] | None = None, of: str = "dough"
) -> Stay:
    rack = scope.day.kitchen.shelves[0]
    found = Stay("ambient", scope.day.stage("loaf", of), starts, ends, 1)
    found.wish = (rack, *wish) if wish else None
    found.firm = wish is not None
    return found


def _spot(stay: Stay) -> tuple[int, int]:
    assert stay.place is not None
    return stay.place[1:]


def test_what_stood_somewhere_stays_there() -> None:
    """Whatever else comes, and whichever is first."""
    scope = _scope(2, 2)
    old = [_stay(scope, 10, 50, (2, 2)), _stay(scope, 20, 30, (1, 2))]
    new = [_stay(scope, 0, 60), _stay(scope, 5, 25)]
    assert place(scope, [*new, *old]) == set()
    assert [_spot(stay) for stay in old] == [(2, 2), (1, 2)]


def test_only_what_clashes_moves() -> None:
    """It stands longer than planned, in the slot of what comes then: this one takes another."""
    scope = _scope(3)
    longer, then = _stay(scope, 0, 40, (1, 1)), _stay(scope, 30, 60, (1, 1))
    longer.firm, beside = False, _stay(scope, 0, 60, (1, 2))
    assert place(scope, [longer, then, beside]) == set()
    assert [_spot(stay) for stay in (longer, then, beside)] == [(1, 3), (1, 1), (1, 2)]


def test_as_little_as_will_do_makes_way() -> None:
    """Three slots, a wide one comes: of what stands singly one moves, the other stays."""
    scope = _scope(3, 1)
    first, second, alone = (_stay(scope, 0, 60, (1, slot)) for slot in (1, 2, 3))
    alone.wish = alone.place = (scope.day.kitchen.shelves[0], 1, 3)
    wide = _stay(scope, 10, 20)
    wide.slots = 2
    assert place(scope, [first, alone, wide]) == set()
    assert sum(_spot(stay) != (1, slot) for stay, slot in ((first, 1), (alone, 3))) == 1
    assert place(scope, [first, second, alone, wide]) == {"ambient"}


def _can_be_placed(stays: list[Stay], spots: list[Place]) -> bool:
    """Try everything."""
    for chosen in product(spots, repeat=len(stays)):
        for stay, spot in zip(stays, chosen, strict=True):
            stay.place = spot
        if _is_placed(stays):
            return True
    return False


def _is_placed(stays: list[Stay]) -> bool:
    return all(
        stay.place is not None and is_free(stay, stay.place, [*stays[:i], *stays[i + 1 :]])
        for i, stay in enumerate(stays)
    )


@pytest.mark.parametrize("seed", range(60))
def test_a_placing_is_found_if_there_is_one(seed: int) -> None:
    """On tight shelves, wished or not, with raw meat that must not drip on what is eaten."""
    roll, scope = random.Random(seed), _scope(1, 2)
    spots = [(scope.day.kitchen.shelves[0], *at) for at in ((1, 1), (2, 1), (2, 2))]
    stays = []
    for _ in range(5):
        starts, wish = roll.randint(0, 8), roll.choice((None, (1, 1), (2, 1), (2, 2)))
        ends, of = starts + roll.randint(1, 5), roll.choice(("dough", "meat", "cake"))
        stays.append(_stay(scope, starts, ends, wish, of))
    found = place(scope, stays)
    assert found or _is_placed(stays)
    assert bool(found) != _can_be_placed(stays, spots)


@pytest.mark.parametrize(("accident", "seed"), [("a run moves", 0), ("a batch is staged early", 0)])
def test_a_mended_plan_leaves_copies_in_their_slots(
    example_day: Day, accident: str, seed: int
) -> None:
    """What stands as long as it was to stand moves only where another stands in its slot."""
    plan = load_plan((SEED_DEMO / "studio.plan.json").read_bytes())
    walk = after(example_day, plan, accident, seed)
    assert walk is not None
    now = walk.clock.text(walk.now)
    mended = replan(walk.day, plan, walk.events, now, mend)
    assert audit(mended.day, mended.plan, walk.events, now) == []
    moved = list(_moved(plan, mended.plan, Clock(example_day.timezone), walk.now))
    stands = [(copy.id, where) for copy in mended.plan.copies for where in copy.places]
    for copy, published in moved:
        assert any(
            other != copy.id and _slot(where) == _slot(published) and _meet(where, published)
            for other, where in stands
        ), (copy.id, published)


def _moved(plan: Plan, mended: Plan, clock: Clock, now: int):  # type: ignore[no-untyped-def]
    """Yield the copies that stand for the same minutes in another slot, with the published one."""
    known: dict[str, Copy] = {copy.id: copy for copy in plan.copies}
    for copy in mended.copies:
        for where in copy.places if copy.id in known else ():
            for published in known[copy.id].places:
                same = (where.from_, where.to) == (published.from_, published.to)
                if same and clock.minute(where.to) > now and _slot(where) != _slot(published):
                    yield copy, published


def _slot(where: Standing) -> tuple[str, int, int]:
    return where.shelf, where.level, where.slot


def _meet(one: Standing, other: Standing) -> bool:
    return one.from_ < other.to and other.from_ < one.to
