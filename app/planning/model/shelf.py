"""Rule `shelf`: what waits in a zone fits its shelves.

Two readings. The loose one counts slots of the whole zone and lets copies of a slot come and go
singly: it leaves out rules and adds none, so what it proves holds. The strict one keeps the copies
of each taker in slots of their own, on one level, raw below ready to eat: what it finds can stand.
"""

from itertools import combinations, pairwise
from math import lcm

from app.planning.day import Shelf
from app.planning.frozen import Shelved
from app.planning.model.batches import Maybe, rounded_up
from app.planning.model.flows import Flows
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.model.stays import MaybeStay, stays_in
from app.planning.needs import StageKey
from app.planning.raw import may_stand_above
from app.planning.scope import Scope

Unit = tuple[MaybeStay, Lit, list[Lit]]


def shelf_rule(
    sheet: Sheet,
    scope: Scope,
    flows: Flows,
    batches: dict[StageKey, list[Maybe]],
    zones: frozenset[str],
    strict: bool,
) -> None:
    """Keep what waits in each watched zone within its slots."""
    for zone in sorted(zones):
        shelves = [shelf for shelf in scope.day.kitchen.shelves if shelf.zone == zone]
        stays = stays_in(sheet, scope, flows, batches, zone, strict)
        room = sum(sum(shelf.levels) for shelf in shelves)
        if zone in scope.rooms:
            _beside_what_stands(sheet, scope.rooms[zone], stays, room)
        elif strict and _levels_matter(stays):
            _by_level(sheet, stays, shelves)
        else:
            _by_zone(sheet, stays, shelves, strict)


def _levels_matter(stays: list[MaybeStay]) -> bool:
    stages = {stay.stage.id: stay.stage for stay in stays}.values()
    wide = any((stage.slots or 1) > 1 for stage in stages)
    return wide or any(not may_stand_above(one, other) for one in stages for other in stages)


def _by_zone(sheet: Sheet, stays: list[MaybeStay], shelves: list[Shelf], strict: bool) -> None:
    """Count slots of the whole zone; and how many as wide as some copies are its levels have."""
    parts = 1 if strict else lcm(*(stay.shared for stay in stays))
    intervals = [_interval(sheet, stay, stay.some, stay.name) for stay in stays]
    filled = [
        _slotfuls(sheet, stay) if strict else (parts // stay.shared) * stay.copies for stay in stays
    ]
    for wide in sorted({1, *(stay.slots for stay in stays)}):
        some = [i for i, stay in enumerate(stays) if stay.slots >= wide]
        room = sum(slots // wide for shelf in shelves for slots in shelf.levels)
        if some:
            sheet.model.add_cumulative(
                [intervals[i] for i in some],
                [stays[i].slots // wide * filled[i] for i in some],
                room * parts,
            )


def _beside_what_stands(sheet: Sheet, here: Shelved, stays: list[MaybeStay], room: int) -> None:
    """Keep what waits on a day under way within the slots that are left, by count alone.

    What stands there may be more than fits; as many slots as the room says are left free.
    """
    intervals = [_interval(sheet, stay, stay.some, stay.name) for stay in stays]
    demands: list[Expr] = [stay.slots * _slotfuls(sheet, stay) for stay in stays]
    edges = sorted({edge for starts, ends, _ in here.standing for edge in (starts, ends)})
    most = max(room - here.slots, 0)
    for start, end in pairwise(edges):
        filled = sum(slots for a, b, slots in here.standing if a <= start and end <= b)
        if filled:
            intervals.append(sheet.model.new_fixed_size_interval_var(start, end - start, "stands"))
            demands.append(min(filled, most))
    if intervals:
        sheet.model.add_cumulative(intervals, demands, most)


def _slotfuls(sheet: Sheet, stay: MaybeStay) -> Expr:
    return rounded_up(
        sheet, f"{stay.name} slots", stay.copies, stay.shared, stay.copies_max, stay.some
    )


def _interval(sheet: Sheet, stay: MaybeStay, here: Lit, name: str):  # type: ignore[no-untyped-def]
    if isinstance(stay.starts, int) and isinstance(stay.ends, int):
        lasts: Expr = max(0, stay.ends - stay.starts)
        ends: Expr = stay.starts + lasts
    else:
        lasts, ends = sheet.whole(f"{name} for", 0, 10**6), stay.ends
    return sheet.model.new_optional_interval_var(stay.starts, lasts, ends, here, name)


def _by_level(sheet: Sheet, stays: list[MaybeStay], shelves: list[Shelf]) -> None:
    """Give each slot-full a level and a slot of its own; keep what drips low."""
    levels = [(shelf, level) for shelf in shelves for level in range(len(shelf.levels))]
    units: list[Unit] = []
    boxes: list[tuple[list[object], list[object]]] = [([], []) for _ in levels]
    for stay in stays:
        for i in range(-(-stay.copies_max // stay.shared)):
            units.append(_unit(sheet, stay, i, levels, boxes))
    for times, slots in boxes:
        if times:
            sheet.model.add_no_overlap_2d(times, slots)  # type: ignore[arg-type]
    for one, other in combinations(units, 2):
        _never_drip(sheet, one, other, levels)


def _unit(
    sheet: Sheet,
    stay: MaybeStay,
    index: int,
    levels: list[tuple[Shelf, int]],
    boxes: list[tuple[list[object], list[object]]],
) -> Unit:
    name = f"{stay.name} {index}"
    here, passes = sheet.either(f"{name} here"), sheet.either(f"{name} passes")
    sheet.model.add(stay.copies <= index * stay.shared).only_enforce_if([~here, ~passes])
    # what goes on at once needs no slot, even amid another's stay
    sheet.model.add(stay.ends <= stay.starts).only_enforce_if(passes)
    on: list[Lit] = []
    lasts = sheet.whole(f"{name} for", 0, 10**6)
    for i, (shelf, level) in enumerate(levels):
        width = shelf.levels[level]
        if width < stay.slots:
            on.append(sheet.whole(f"{name} on {shelf.id} {level}", 0, 0))
            continue
        chosen = sheet.either(f"{name} on {shelf.id} {level}")
        slot = sheet.whole(f"{name} on {shelf.id} {level} slot", 0, width - stay.slots)
        boxes[i][0].append(
            sheet.model.new_optional_interval_var(stay.starts, lasts, stay.ends, chosen, name)
        )
        boxes[i][1].append(
            sheet.model.new_optional_fixed_size_interval_var(slot, stay.slots, chosen, name)
        )
        on.append(chosen)
    sheet.model.add(total(on) == here)
    return stay, here, on


def _never_drip(sheet: Sheet, one: Unit, other: Unit, levels: list[tuple[Shelf, int]]) -> None:
    """Part two slot-fuls in time where one would stand above what it must not drip on."""
    for (upper, _, upper_on), (lower, _, lower_on) in ((one, other), (other, one)):
        if may_stand_above(upper.stage, lower.stage):
            continue
        before = sheet.either(f"{upper.name} then {lower.name} {upper_on[0]} {lower_on[0]}")
        for i, (shelf, level) in enumerate(levels):
            for k, (unit, below) in enumerate(levels):
                if shelf is unit and level < below:
                    both = [upper_on[i], lower_on[k]]
                    sheet.model.add(upper.ends <= lower.starts).only_enforce_if([*both, before])
                    sheet.model.add(lower.ends <= upper.starts).only_enforce_if([*both, ~before])
