"""What each phase holds: one item of the kind, with room, open, and at the right setting."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.heats import heats
from app.planning.auditing.holds import Hold, Holds, held
from app.planning.auditing.ledger import Ledger, words
from app.planning.auditing.parts import Making
from app.planning.auditing.rundown import closed_as_told
from app.planning.day import Equipment, Phase
from app.planning.plan import PlannedPhase


def equipment(ledger: Ledger) -> Breaches:
    """Yield the phases without the right item, and the items held as they cannot be.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    items = {item.id: item for item in ledger.day.kitchen.equipment}
    for making in ledger.makings:
        ways = making.way.phases if making.way else ()
        for phase, planned in zip(ways, making.batch.phases, strict=False):
            yield from _right_items(making, phase, planned, items)
        yield from _stays(making, items)
    found = held(ledger)
    for each in found.values():
        yield from _room(ledger, each)
        yield from _open(ledger, each)
        yield from _settings(ledger, each)
    yield from heats(ledger, found)
    yield from closed_as_told(ledger)


def _right_items(
    making: Making, phase: Phase, planned: PlannedPhase, items: dict[str, Equipment]
) -> Breaches:
    batch, spare = making.batch.id, list(planned.equipment)
    for wanted in phase.equipment:
        units = wanted.units(making.size)
        found = [each for each in spare if each.id in items and items[each.id].kind == wanted.kind]
        spare = [each for each in spare if each not in found]
        ids = [each.id for each in found]
        if sum(each.units for each in found) != units or len(found) > 1 or (units and not found):
            yield Breach(
                "equipment",
                (batch, wanted.kind, *ids),
                f"batch {tidy(batch)} at {tidy(planned.starts)} takes {units} of one "
                f"{tidy(wanted.kind)}, not {sum(each.units for each in found)} of "
                f"{words(ids) or 'none'}.",
            )
    if spare:
        yield Breach(
            "equipment",
            (batch, *(each.id for each in spare)),
            f"batch {tidy(batch)} at {tidy(planned.starts)} holds "
            f"{words(each.id for each in spare)}, which it does not take.",
        )


def _stays(making: Making, items: dict[str, Equipment]) -> Breaches:
    """Yield where phases in a row do not stay on one item of a kind."""
    before: dict[str, str] = {}
    for planned in making.batch.phases:
        known = [items[each.id] for each in planned.equipment if each.id in items]
        now = {item.kind: item.id for item in known}
        for kind, item in now.items():
            if before.get(kind, item) != item:
                yield Breach(
                    "equipment",
                    (making.batch.id, before[kind], item),
                    f"batch {tidy(making.batch.id)} goes from {before[kind]} to {item} at "
                    f"{tidy(planned.starts)}.",
                )
        before = now


def _room(ledger: Ledger, holds: Holds) -> Breaches:
    item, units = holds.item, 0
    changes = [(hold.ends, -hold.units, hold) for hold in holds.all]
    changes += [(hold.starts, hold.units, hold) for hold in holds.all]
    inside: dict[Hold, None] = {}
    for minute, change, hold in sorted(changes, key=lambda each: each[:2]):
        units += change
        if change > 0:
            inside[hold] = None
        else:
            inside.pop(hold, None)
        if change > 0 and units > item.units and not _has_been(ledger, *inside):
            yield Breach(
                "equipment",
                (item.id, hold.making.batch.id),
                f"{item.id} holds {units} of its {item.units} units at {ledger.at(minute)}, with "
                f"batch {tidy(hold.making.batch.id)}.",
            )


def _open(ledger: Ledger, holds: Holds) -> Breaches:
    item, clock = holds.item, ledger.clock
    closed = [(clock.minute(starts), clock.minute(ends)) for starts, ends in item.closed]
    for hold in (hold for hold in holds.all if not ledger.is_begun(hold.making)):
        for starts, ends in closed:
            if hold.starts < ends and starts < hold.ends:
                yield Breach(
                    "equipment",
                    (item.id, hold.making.batch.id),
                    f"{item.id} is closed from {ledger.at(starts)} to {ledger.at(ends)}, batch "
                    f"{tidy(hold.making.batch.id)} is in it from {ledger.at(hold.starts)}.",
                )


def _has_been(ledger: Ledger, *holds: Hold) -> bool:
    """Tell whether all of some holds are of batches that have begun."""
    return all(ledger.is_begun(hold.making) for hold in holds)


def _settings(ledger: Ledger, holds: Holds) -> Breaches:
    item = holds.item
    change_min = item.settings.change_min if item.settings else 0
    for hold, last in holds.before_each():
        batch = hold.making.batch.id
        is_early = not last and change_min and hold.starts - change_min < ledger.prep_from
        if is_early and not _has_been(ledger, hold):
            yield Breach(
                "equipment",
                (item.id, batch),
                f"{item.id} is first used at {ledger.at(hold.starts)} by batch {tidy(batch)}, "
                f"less than {change_min} min after the prep starts.",
            )
        for each in last:
            other = each.setting != hold.setting and not _has_been(ledger, each, hold)
            if other and each.ends + change_min > hold.starts and not holds.falls(each, hold):
                yield Breach(
                    "equipment",
                    (item.id, each.making.batch.id, batch),
                    f"{item.id} is at {each.setting} for batch {tidy(each.making.batch.id)} until "
                    f"{ledger.at(each.ends)} and at {hold.setting} for {tidy(batch)} from "
                    f"{ledger.at(hold.starts)}; a change takes {change_min} min.",
                )
