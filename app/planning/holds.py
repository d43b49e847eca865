"""What a batch that is planned, or has begun, holds of the items of the kitchen."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.planning.begun import Span
from app.planning.day import Day
from app.planning.plan import Batch


@dataclass(frozen=True)
class Hold:
    """Units of an item that a phase of a batch holds; `setting` where the item has some.

    `falls` says that the batch takes the item from one setting to another, and is alone in it;
    `is_first` that it has just come into the item.
    """

    item: str
    starts: int
    ends: int
    units: int
    setting: int | None
    falls: bool = False
    is_first: bool = True


def holds_of(day: Day, batch: Batch, spans: Sequence[Span]) -> Iterator[Hold]:
    """Yield what a batch holds, phase by phase, but for phases of no time.

    Parameters
    ----------
    day, batch
        A day, and a batch of a plan of it.
    spans
        When its phases start and end, as minutes.
    """
    ways = day.stage(batch.demonstration, batch.stage).ways
    phases = next(each for each in ways if each.id == batch.way).phases
    items = {item.id: item for item in day.kitchen.equipment}
    asked: list[dict[str, int | None]] = [
        {
            held.id: next(
                (
                    entry.setting if items[held.id].settings is not None else None
                    for entry in phase.equipment
                    if entry.kind == items[held.id].kind
                ),
                None,
            )
            for held in planned.equipment
        }
        for phase, planned in zip(phases, batch.phases, strict=True)
    ]
    for number, (starts, ends) in enumerate(spans):
        beside = [asked[at] for at in (number - 1, number + 1) if 0 <= at < len(asked)]
        for held in batch.phases[number].equipment if starts < ends else ():
            setting = asked[number][held.id]
            yield Hold(
                item=held.id,
                starts=starts,
                ends=ends,
                units=held.units,
                setting=setting,
                falls=any(each.get(held.id, setting) != setting for each in beside),
                is_first=number == 0 or held.id not in asked[number - 1],
            )
