"""What batches that are planned, or have begun, hold of the kitchen."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from app.planning.begun import Span
from app.planning.day import Day, Equipment, Phase
from app.planning.plan import Batch

Taken = tuple[int, int, int]


@dataclass(frozen=True)
class Hold:
    """Units of an item that a phase of a batch holds; `setting` where the item has some.

    `falls` says that the batch takes the item from one setting to another, and is alone in it;
    `is_first` that it has just come into the item. `batch` is its id, where it has one.
    """

    item: str
    starts: int
    ends: int
    units: int
    setting: int | None
    falls: bool = False
    is_first: bool = True
    batch: str = ""

    def meets(self, other: "Hold") -> bool:
        """Tell whether two holds share a minute."""
        return self.starts < other.ends and other.starts < self.ends


@dataclass(frozen=True)
class Occupied:
    """Hands, items and slots that are taken, whatever is planned.

    `busy` has, by team, from when to when, and how many of its cooks; `standing`, by zone, from
    when to when, and how many slots.
    """

    holds: tuple[Hold, ...] = ()
    busy: Mapping[str, tuple[Taken, ...]] = field(default_factory=dict)
    standing: Mapping[str, tuple[Taken, ...]] = field(default_factory=dict)


def together(taken: Iterable[Occupied]) -> Occupied:
    """Return all that is taken as one."""
    holds: list[Hold] = []
    busy: dict[str, tuple[Taken, ...]] = {}
    standing: dict[str, tuple[Taken, ...]] = {}
    for each in taken:
        holds += each.holds
        for whole, part in ((busy, each.busy), (standing, each.standing)):
            for name, spans in part.items():
                whole[name] = whole.get(name, ()) + spans
    return Occupied(tuple(holds), busy, standing)


def holds_of(day: Day, batch: Batch, spans: Sequence[Span]) -> Iterator[Hold]:
    """Yield what a batch holds, phase by phase, but for phases of no time.

    Parameters
    ----------
    day, batch
        A day, and a batch of a plan of it.
    spans
        When its phases start and end, as minutes.
    """
    phases = day.stage(batch.demonstration, batch.stage).way(batch.way).phases
    held = [[(each.id, each.units) for each in planned.equipment] for planned in batch.phases]
    return holds_in(day, phases, held, spans, batch.id)


def holds_in(
    day: Day,
    phases: Sequence[Phase],
    held: Sequence[Sequence[tuple[str, int]]],
    spans: Sequence[Span],
    batch: str = "",
) -> Iterator[Hold]:
    """Yield what phases hold, given the items of each with their units, and when each is."""
    items = {item.id: item for item in day.kitchen.equipment}
    asked = [
        {name: _setting(items[name], phase) for name, _ in here}
        for phase, here in zip(phases, held, strict=True)
    ]
    for number, (starts, ends) in enumerate(spans):
        beside = [asked[at] for at in (number - 1, number + 1) if 0 <= at < len(asked)]
        for name, units in held[number] if starts < ends else ():
            setting = asked[number][name]
            yield Hold(
                item=name,
                starts=starts,
                ends=ends,
                units=units,
                setting=setting,
                falls=any(each.get(name, setting) != setting for each in beside),
                is_first=number == 0 or name not in asked[number - 1],
                batch=batch,
            )


def _setting(item: Equipment, phase: Phase) -> int | None:
    """Return at which setting a phase wants an item; None where the item has none."""
    if item.settings is None:
        return None
    return next((each.setting for each in phase.equipment if each.kind == item.kind), None)
