"""Slots: where each copy stands from when to when, or the proof that there is no placing."""

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise, permutations

from ortools.sat.python import cp_model

from app.planning.day import Shelf, Stage
from app.planning.draft import Draft, Item, Made
from app.planning.plan import Standing
from app.planning.raw import may_stand_above
from app.planning.scope import Scope

PLACING_WORK, MOST_SEARCHED = 5.0, 150
LATEST = 10**9
Place = tuple[Shelf, int, int]
Options = list[tuple[Place, cp_model.IntVar]]


@dataclass
class Stay:
    """A slot-full of copies that stand together from when to when.

    One that is `fixed` stands there already, whatever else does; `wish` is where it had better be,
    above all if it is `firm`: it was to stand there from and to these very minutes.
    """

    zone: str
    stage: Stage
    starts: int
    ends: int
    slots: int
    items: list[tuple[Item, int, int]] = field(default_factory=list)
    phase: tuple[Made, int] | None = None
    copies: int = 0
    place: Place | None = None
    wish: Place | None = None
    firm: bool = False
    fixed: bool = False


def stays_of(scope: Scope, draft: Draft) -> list[Stay]:
    """Return every stay of a plan: copies that wait, and phases that take room."""
    zones = {shelf.zone for shelf in scope.day.kitchen.shelves}
    stays = [stay for made in draft.made for stay in _phases(scope, made)]
    waits: dict[tuple[object, ...], list[tuple[Item, int, int]]] = {}
    for item in draft.items:
        for starts, ends, since in _waits(scope, item):
            if ends > starts:
                waits.setdefault((_together(item), since, starts), []).append((item, starts, ends))
    for together in waits.values():
        stays += _slotfuls(scope, together)
    return [stay for stay in stays if stay.zone in zones]


def _together(item: Item) -> tuple[object, ...]:
    """Return what copies must have in common to share a slot."""
    if item.batch is not None:
        return item.stage, item.batch.id or item.batch.name
    return item.stage, item.stock if item.stock else item.left


def _waits(scope: Scope, item: Item) -> list[tuple[int, int, int]]:
    """Return each wait of a copy: from when, until when, since which use (or -1)."""
    waits = []
    at, since = item.back if item.batch else max(item.back, scope.prep_from), -1
    for taker in item.takers:
        if isinstance(taker, Made):
            waits.append((at, taker.starts, since))
        else:
            same_run = since >= 0 and scope.needs.uses[since].run == taker.run
            backed = max((use.start for use in item.backs), default=0) if since < 0 else 0
            on_set = since < 0 and item.stays_on_set and not backed
            if not same_run and not on_set:
                waits.append((at, max(taker.due, backed), since))
            at, since = item.back_from(taker), taker.index
    if not item.takers:
        waits.append((at, _last_minute(scope, item), since))
    return waits


def _last_minute(scope: Scope, item: Item) -> int:
    if item.spare:
        keeps_min = scope.makings[item.stage].stage.keeps_min
        return min(item.staged + keeps_min, scope.needs.end)
    return max(use.start for use in item.backs) if item.backs else item.staged


def _slots(stage: Stage) -> tuple[int, int]:
    """Return the copies that share a slot, and the slots of one copy."""
    return stage.copies_per_slot or 1, stage.slots or 1


def _slotfuls(scope: Scope, together: list[tuple[Item, int, int]]) -> list[Stay]:
    """Return the stays of copies that come together: those that leave last share a slot."""
    stage = scope.makings[together[0][0].stage].stage
    shared, slots = _slots(stage)
    by_end = sorted(together, key=lambda each: -each[2])
    stays = []
    for i in range(0, len(by_end), shared):
        full = by_end[i : i + shared]
        stays.append(Stay(stage.zone, stage, full[0][1], full[0][2], slots, full))
    return stays


def _phases(scope: Scope, made: Made) -> list[Stay]:
    stage = scope.makings[made.stage].stage
    shared, slots = _slots(stage)
    stays = []
    for i, phase in enumerate(made.method.way.phases):
        if phase.zone is None:
            continue
        work, left = made.work[i], made.started
        while left > 0:
            stay = Stay(phase.zone, stage, work.starts, work.ends, slots, phase=(made, i))
            stay.copies = min(shared, left)
            stays.append(stay)
            left -= shared
    return stays


Order = Callable[[Stay], tuple[int, ...]]
ORDERS: tuple[Order, ...] = (
    lambda stay: (stay.starts, -stay.slots, -stay.ends),
    lambda stay: (-stay.slots, stay.starts, -stay.ends),
    lambda stay: (not stay.stage.raw_animal, -stay.slots, stay.starts - stay.ends),
)


def place(scope: Scope, stays: list[Stay], most: int = MOST_SEARCHED) -> set[str]:
    """Give every stay its place; return the zones for which no placing was found.

    There, some stand in each other's way. What had a place before keeps it, if it can. Over up to
    `most` stays, search has the last word.
    """
    failed = set()
    for zone in sorted({stay.zone for stay in stays}):
        shelves = [shelf for shelf in scope.day.kitchen.shelves if shelf.zone == zone]
        fixed = [stay for stay in stays if stay.zone == zone and stay.fixed]
        moving = [stay for stay in stays if stay.zone == zone and not stay.fixed]
        if any(stay.wish for stay in moving) and _place_as_wished(moving, fixed, shelves):
            continue
        if any(_stuck(moving, fixed, shelves, order) is None for order in ORDERS):
            continue
        if len(moving) > most or not _place_exactly(moving, fixed, shelves):
            failed.add(zone)
            for stay in moving:
                stay.place = stay.place or _spots(stay, shelves)[0]
    return failed


def _place_as_wished(stays: list[Stay], fixed: list[Stay], shelves: list[Shelf]) -> bool:
    """Place all where they had better be but for what clashes; tell whether it went.

    What is as long as it was comes first. As little as will do makes way for what has no place.
    """
    placed, clashing = list(fixed), []
    for stay in sorted(stays, key=lambda each: (not each.firm, each.starts, -each.ends)):
        if stay.wish is not None and _holds(stay, stay.wish) and is_free(stay, stay.wish, placed):
            stay.place = stay.wish
            placed.append(stay)
        else:
            clashing.append(stay)
    stuck: list[Stay] = []
    for order in ORDERS:
        one = _stuck(clashing, placed, shelves, order)
        if one is None:
            return True
        stuck.append(one)
    moving = [stay for stay in placed if not stay.fixed and any(_meet(stay, one) for one in stuck)]
    still = [stay for stay in placed if stay.fixed or not any(_meet(stay, one) for one in stuck)]
    moving += clashing
    return len(moving) <= MOST_SEARCHED and _place_exactly(moving, still, shelves)


def _holds(stay: Stay, spot: Place) -> bool:
    """Tell whether a spot is of the stay's zone and wide enough."""
    shelf, level, slot = spot
    return (
        shelf.zone == stay.zone
        and 1 <= level <= len(shelf.levels)
        and 1 <= slot <= shelf.levels[level - 1] - stay.slots + 1
    )


def _stuck(
    stays: list[Stay], placed: list[Stay], shelves: list[Shelf], order: Order
) -> Stay | None:
    """Place one after another at the first place that is free; return what finds none."""
    placed = list(placed)
    for stay in sorted(stays, key=order):
        beside = [other for other in placed if _meet(stay, other)]
        stay.place = next(
            (spot for spot in _spots(stay, shelves) if is_free(stay, spot, beside)), None
        )
        if stay.place is None:
            return stay
        placed.append(stay)
    return None


def _spots(stay: Stay, shelves: list[Shelf]) -> list[Place]:
    """Return every place that is wide enough, food that must not drip on others lowest first."""
    spots = [
        (shelf, level, slot)
        for shelf in shelves
        for level, width in enumerate(shelf.levels, 1)
        for slot in range(1, width - stay.slots + 2)
    ]
    if stay.stage.raw_animal:
        spots.sort(key=lambda spot: -spot[1])
    return [stay.wish, *spots] if stay.wish and _holds(stay, stay.wish) else spots


def is_free(stay: Stay, spot: Place, placed: list[Stay]) -> bool:
    """Tell whether a stay can be at a spot beside those that are placed."""
    for other in placed:
        if other.place is None or not _meet(stay, other):
            continue
        if spot[0] is other.place[0]:
            if spot[1] == other.place[1] and _cover(spot[2], stay, other.place[2], other):
                return False
            if spot[1] < other.place[1] and not may_stand_above(stay.stage, other.stage):
                return False
            if other.place[1] < spot[1] and not may_stand_above(other.stage, stay.stage):
                return False
    return True


def _meet(one: Stay, other: Stay) -> bool:
    return one.starts < other.ends and other.starts < one.ends


def _cover(slot: int, one: Stay, other_slot: int, other: Stay) -> bool:
    return slot < other_slot + other.slots and other_slot < slot + one.slots


def _place_exactly(stays: list[Stay], placed: list[Stay], shelves: list[Shelf]) -> bool:
    """Place all by search beside what is placed, as many as can be where they had better be."""
    model = cp_model.CpModel()
    options: list[Options] = []
    for stay in stays:
        beside = [other for other in placed if _meet(stay, other)]
        free = [spot for spot in _spots(stay, shelves) if is_free(stay, spot, beside)]
        options.append([(spot, model.new_bool_var("")) for spot in free])
        model.add_exactly_one(chosen for _, chosen in options[-1])
    _one_in_a_slot(model, stays, options)
    for i, k in permutations(range(len(stays)), 2):
        if _meet(stays[i], stays[k]) and not may_stand_above(stays[i].stage, stays[k].stage):
            _never_above(model, options[i], options[k], shelves)
    every = [each for some in options for each in some]
    wishes = {id(stay.wish) for stay in stays}
    model.maximize(sum(chosen for spot, chosen in every if id(spot) in wishes))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_deterministic_time = 1, PLACING_WORK
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return False
    for stay, some in zip(stays, options, strict=True):
        stay.place = next(spot for spot, chosen in some if solver.value(chosen))
    return True


def _one_in_a_slot(model: cp_model.CpModel, stays: list[Stay], options: list[Options]) -> None:
    """Let no two stand in one slot, at each minute at which as many as can be are there."""
    for at, then in pairwise([*sorted({stay.starts for stay in stays}), LATEST]):
        there = [i for i, stay in enumerate(stays) if stay.starts <= at < stay.ends]
        if all(stays[i].ends > then for i in there):
            continue
        in_slot: dict[tuple[str, int, int], list[cp_model.IntVar]] = {}
        for i in there:
            for (shelf, level, first), chosen in options[i]:
                for slot in range(first, first + stays[i].slots):
                    in_slot.setdefault((shelf.id, level, slot), []).append(chosen)
        for some in in_slot.values():
            model.add_at_most_one(some)


def _never_above(
    model: cp_model.CpModel, upper: Options, lower: Options, shelves: list[Shelf]
) -> None:
    """Keep one stay from standing above another in any unit."""
    for shelf in shelves:
        for level in range(1, len(shelf.levels)):
            above = [lit for (unit, at, _), lit in upper if unit is shelf and at <= level]
            below = [lit for (unit, at, _), lit in lower if unit is shelf and at > level]
            if above and below:
                model.add_at_most_one([*above, *below])


def standing(scope: Scope, stay: Stay, starts: int, ends: int, copies: int | None) -> Standing:
    """Return a stay as the plan tells it."""
    assert stay.place is not None
    shelf, level, slot = stay.place
    since, until = scope.clock.text(starts), scope.clock.text(ends)
    return Standing(shelf=shelf.id, level=level, slot=slot, copies=copies, from_=since, to=until)
