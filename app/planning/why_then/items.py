"""What a batch is made in: until when its items are full, closed, or at another setting."""

from dataclasses import replace

from app.planning.dates import lasting
from app.planning.day import Equipment
from app.planning.holds import Hold
from app.planning.plan import Batch
from app.planning.why_then.limits import Limit, Sheet


def nearest_of(sheet: Sheet, batch: Batch, most: int, step: int) -> Limit | None:
    """Return how far a batch could move for all its items to take it, None if that far.

    Parameters
    ----------
    sheet
        The day and the plan.
    batch
        A batch of the plan.
    most
        How many minutes it could move for all else.
    step
        1: later, -1: earlier.
    """
    found: Limit | None = None
    for item in sheet.day.kitchen.equipment:
        holds = sheet.holds[item.id]
        mine = [hold for hold in holds if hold.batch == batch.id]
        others = [hold for hold in holds if hold.batch != batch.id]
        for minutes in range(1, most + 1) if mine else ():
            moved = [_moved(hold, minutes * step) for hold in mine]
            words = _why_not(sheet, item, moved, others)
            if words is not None:
                found, most = Limit(minutes - 1, "equipment", words), minutes - 1
                break
    return found


def _moved(hold: Hold, by_min: int) -> Hold:
    return replace(hold, starts=hold.starts + by_min, ends=hold.ends + by_min)


def _why_not(sheet: Sheet, item: Equipment, mine: list[Hold], others: list[Hold]) -> str | None:
    """Return why an item cannot take some holds beside others, in words; None if it can."""
    for starts, ends in item.closed:
        since, until = sheet.clock.minute(starts), sheet.clock.minute(ends)
        if any(hold.starts < until and since < hold.ends for hold in mine):
            return f"{item.called} is closed {sheet.hour(since)} to {sheet.hour(until)}"
    for hold in mine:
        beside = [each for each in others if each.meets(hold)]
        for minute in [hold.starts, *(max(hold.starts, each.starts) for each in beside)]:
            there = [each for each in beside if each.starts <= minute < each.ends]
            if hold.units + sum(each.units for each in there) > item.units:
                last = _step(sheet, there[-1])
                return f"{item.called} is full, with {last} at {sheet.hour(minute)}"
    if item.settings is None:
        return None
    return _too_soon(sheet, item, [*mine, *others], item.settings.change_min)


def _too_soon(sheet: Sheet, item: Equipment, holds: list[Hold], change_min: int) -> str | None:
    """Return where an item would not get to a setting in time, in words."""
    latest: dict[int, Hold] = {}
    for hold in sorted(holds, key=lambda each: (each.starts, each.ends)):
        if hold.setting is None:
            continue
        if not latest and change_min and hold.starts - change_min < sheet.prep_from:
            return (
                f"{item.called} takes {lasting(change_min)} to get to {sheet.at(hold.setting)}, "
                f"from the start of the prep at {sheet.hour(sheet.prep_from)}"
            )
        last = max((each.ends for each in latest.values()), default=0)
        for other in latest.values():
            is_last = other.ends >= min(last, hold.starts + 1)
            clashes = other.setting != hold.setting and other.ends + change_min > hold.starts
            if is_last and clashes and not _falls(other, hold, holds):
                until = sheet.hour(other.ends)
                return (
                    f"{item.called} is at {sheet.at(other.setting)} for "
                    f"{_step(sheet, other)} until {until} and at "
                    f"{sheet.at(hold.setting)} for {_step(sheet, hold)} from "
                    f"{sheet.hour(hold.starts)}; a change takes {lasting(change_min)}"
                )
        one = latest.get(hold.setting)
        latest[hold.setting] = one if one and one.ends > hold.ends else hold
    return None


def _falls(one: Hold, then: Hold, holds: list[Hold]) -> bool:
    """Tell whether one batch alone takes an item from one setting to the next."""
    if one.batch != then.batch:
        return False
    return not any(
        other.batch != one.batch and other.meets(each) for each in (one, then) for other in holds
    )


def _step(sheet: Sheet, hold: Hold) -> str:
    batch = sheet.batches[hold.batch]
    return sheet.called(batch.demonstration, batch.stage)
