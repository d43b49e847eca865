"""Where copies stand: in the right zone and slot, for the right time, raw food lowest."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Item, Making, Span
from app.planning.auditing.rooms import raw_above, shared_slots
from app.planning.auditing.stands import is_within, stands
from app.planning.auditing.waits import Wait, waits
from app.planning.day import Phase, Stage
from app.planning.plan import PlannedPhase, Standing

Stood = tuple[int, int, Standing]


def shelf(ledger: Ledger) -> Breaches:
    """Yield the copies that do not stand where and when they should, or as they may not.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for item in ledger.items.values():
        if item.stage:
            for where in item.copy.places:
                yield from _place(ledger, where, item.stage.zone, item.stage, item.copy.id)
                yield from _one(item, where)
            yield from _waits(ledger, item, item.stage)
            yield from _placed(ledger, item)
    for making in ledger.makings:
        yield from _phases(ledger, making)
    found = stands(ledger)
    yield from shared_slots(ledger, found)
    yield from raw_above(ledger, found)


def _place(ledger: Ledger, where: Standing, zone: str, stage: Stage, called: str) -> Breaches:
    """Yield what is wrong with one place, whatever its time."""
    unit = ledger.shelves.get(where.shelf)
    spot = f"{tidy(where.shelf)} level {where.level} slot {where.slot} from {tidy(where.from_)}"
    why = None
    if unit is None:
        why = "which the kitchen does not have"
    elif unit.zone != zone:
        why = f"which is {unit.zone}, not {zone}"
    elif not is_within(where, stage.slots or 1, unit.levels):
        why = "where it has no room"
    starts, ends = ledger.minute(where.from_), ledger.minute(where.to)
    if starts is None or ends is None or ends < starts:
        why = f"to {tidy(where.to)}, which is no span of time"
    if why:
        yield Breach("shelf", (called, where.shelf), f"{tidy(called)} stands on {spot}, {why}.")


def _one(item: Item, where: Standing) -> Breaches:
    if where.copies not in (None, 1):
        yield Breach(
            "shelf",
            (item.copy.id, where.shelf),
            f"{tidy(item.copy.id)} is one copy, its place from {tidy(where.from_)} is for "
            f"{where.copies}.",
        )


def _waits(ledger: Ledger, item: Item, stage: Stage) -> Breaches:
    """Yield the waits without a place, and the places without a wait."""
    wanted = waits(ledger, item)
    if wanted is None:
        return
    stood = _stood(ledger, item)
    placed = stage.zone in ledger.zones
    for wait in wanted if placed else ():
        match = next((each for each in stood if wait.fits(each[0], each[1])), None)
        if match:
            stood.remove(match)
        elif wait.needed:
            yield _no_place(ledger, item, wait)
    for starts, ends, where in stood:
        yield Breach(
            "shelf",
            (item.copy.id, where.shelf),
            f"{tidy(item.copy.id)} is said to stand on {tidy(where.shelf)} from "
            f"{ledger.at(starts)} to {ledger.at(ends)}, when it does not wait there.",
        )


def _no_place(ledger: Ledger, item: Item, wait: Wait) -> Breach:
    return Breach(
        "shelf",
        (item.copy.id,),
        f"{tidy(item.copy.id)} has no one place from {ledger.at(wait.starts)} to "
        f"{ledger.at(wait.ends)}.",
    )


def _placed(ledger: Ledger, item: Item) -> Breaches:
    """Yield a copy that is said to stand elsewhere than where somebody put it."""
    placed = ledger.history.placed.get(item.copy.id)
    if not placed:
        return
    at, spot = placed[-1]
    for starts, ends, where in _stood(ledger, item):
        if starts <= at < ends and _spot(where) != spot:
            yield Breach(
                "shelf",
                (item.copy.id, where.shelf),
                f"{tidy(item.copy.id)} was put on {tidy(spot[0])} level {spot[1]} slot {spot[2]} "
                f"at {ledger.at(at)}, the plan says {tidy(where.shelf)} level {where.level} slot "
                f"{where.slot}.",
            )


def _stood(ledger: Ledger, item: Item) -> list[Stood]:
    """Return the readable spans of a copy's places, those in one place without a gap as one."""
    stood: list[Stood] = []
    for where in item.copy.places:
        starts, ends = ledger.minute(where.from_), ledger.minute(where.to)
        if starts is None or ends is None or ends <= starts:
            continue
        last = stood[-1] if stood else None
        if last and last[1] == starts and _spot(last[2]) == _spot(where):
            stood[-1] = last[0], ends, last[2]
        else:
            stood.append((starts, ends, where))
    return stood


def _spot(where: Standing) -> tuple[str, int, int]:
    return where.shelf, where.level, where.slot


def _phases(ledger: Ledger, making: Making) -> Breaches:
    ways = making.way.phases if making.way else ()
    planned = zip(ways, making.batch.phases, making.spans, strict=False)
    for number, (phase, told, span) in enumerate(planned, start=1):
        if making.stage and phase.zone and phase.zone in ledger.zones:
            for where in told.places or ():
                yield from _place(ledger, where, phase.zone, making.stage, making.batch.id)
            yield from _room_of_phase(ledger, making, making.stage, told, span)
        elif told.places:
            yield _wrong_phase(making, number, phase)


def _wrong_phase(making: Making, number: int, phase: Phase) -> Breach:
    where = f"{phase.zone} has no shelf" if phase.zone else "it is in no zone"
    return Breach(
        "shelf",
        (making.batch.id,),
        f"phase {number} of batch {tidy(making.batch.id)} has places, but {where}.",
    )


def _room_of_phase(
    ledger: Ledger, making: Making, stage: Stage, told: PlannedPhase, span: Span | None
) -> Breaches:
    places, named = told.places or (), tidy(making.batch.id)
    holds = 1 if stage.slots else stage.copies_per_slot or 1
    copies = sum(where.copies or 0 for where in places)
    if copies != making.size or not all(1 <= (where.copies or 0) <= holds for where in places):
        yield Breach(
            "shelf",
            (making.batch.id,),
            f"batch {named} has places for {copies} of its {making.size} copies from "
            f"{tidy(told.starts)}, or too many in one slot.",
        )
    spans = {(ledger.minute(where.from_), ledger.minute(where.to)) for where in places}
    if span and spans - {span}:
        yield Breach(
            "shelf",
            (making.batch.id,),
            f"batch {named} is in its phase from {ledger.at(span[0])} to {ledger.at(span[1])}, its "
            f"places are not.",
        )
