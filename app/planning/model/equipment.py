"""Rule `equipment`: one item of the kind, units, closed spans, one setting at a time."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, groupby, pairwise

from app.planning.day import Equipment, PhaseEquipment
from app.planning.hours import ALWAYS, EVER, Spans, meet
from app.planning.model.batches import Maybe, Span, rounded_up
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.needs import StageKey
from app.planning.scope import Scope


@dataclass(frozen=True)
class MayHold:
    """One phase of a batch that may be in one item."""

    batch: str
    chain: str
    span: Span
    entry: PhaseEquipment
    units: Expr
    inside: Lit


def equipment_rule(sheet: Sheet, scope: Scope, batches: dict[StageKey, list[Maybe]]) -> None:
    """Give every phase its item, and every item its room, its closed spans and its settings."""
    holds: dict[str, list[MayHold]] = {item.id: [] for item in scope.day.kitchen.equipment}
    for maybe in (each for maybes in batches.values() for each in maybes):
        for choice in maybe.choices:
            for chain in chains(choice.spans):
                _choose_item(sheet, scope, maybe, chain, holds)
    for item in scope.day.kitchen.equipment:
        _within_units(sheet, scope, item, holds[item.id])
        if item.settings is not None:
            _settings(sheet, scope, item, holds[item.id])


def not_free(scope: Scope, item: Equipment) -> Iterator[tuple[int, int, int]]:
    """Yield when units of an item are closed, or held by what has begun: never more than it has."""
    spans = [(scope.clock.minute(a), scope.clock.minute(b), item.units) for a, b in item.closed]
    for each in scope.occupied.holds:
        if each.item == item.id:
            spans.append((each.starts, each.ends, each.units))
    steps: Counter[int] = Counter()
    for start, end, units in spans:
        steps[start] += units
        steps[end] -= units
    taken = 0
    for start, end in pairwise(sorted(steps)):
        taken += steps[start]
        if taken and end > scope.prep_from:
            yield start, end, min(taken, item.units)


def chains(spans: list[Span]) -> Iterator[list[tuple[Span, PhaseEquipment]]]:
    """Yield, for each kind, the phases in a row that use it: they stay on one item."""
    kinds = sorted({entry.kind for span in spans for entry in span.phase.equipment})
    for kind in kinds:
        uses = [
            (span, next((each for each in span.phase.equipment if each.kind == kind), None))
            for span in spans
        ]
        for used, row in groupby(uses, key=lambda use: use[1] is not None):
            if used:
                yield [(span, entry) for span, entry in row if entry is not None]


def _choose_item(
    sheet: Sheet,
    scope: Scope,
    maybe: Maybe,
    chain: list[tuple[Span, PhaseEquipment]],
    holds: dict[str, list[MayHold]],
) -> None:
    first, entry = chain[0]
    insides = []
    units = [units_of(sheet, span, entry) for span, entry in chain]
    least = max(entry.units(1) for _, entry in chain)
    items = [
        item
        for item in scope.day.kitchen.equipment
        if item.kind == entry.kind and item.units >= least
    ]
    for item in items:
        name = f"{first.name} in {item.id}"
        if sheet.is_idle(name):
            continue
        inside = sheet.hands(name, 1)
        insides.append(inside)
        for (span, each), taken in zip(chain, units, strict=True):
            holds[item.id].append(MayHold(maybe.name, first.name, span, each, taken, inside))
    sheet.model.add(total(insides) == first.chosen)


def units_of(sheet: Sheet, span: Span, entry: PhaseEquipment) -> Expr:
    """Return how many units of an item a phase takes."""
    if entry.copies_per_unit is None:
        return entry.per_batch
    if span.started_max <= entry.copies_per_unit:
        return entry.per_batch + 1
    name = f"{span.name} {entry.kind} units"
    by = entry.copies_per_unit
    filled = rounded_up(sheet, name, span.started, by, span.started_max, span.chosen)
    return entry.per_batch + filled


def _within_units(sheet: Sheet, scope: Scope, item: Equipment, holds: list[MayHold]) -> None:
    intervals = [
        sheet.model.new_optional_interval_var(
            hold.span.starts,
            hold.span.lasts,
            hold.span.ends,
            hold.inside,
            f"{hold.span.name} in {item.id} for {i}",
        )
        for i, hold in enumerate(holds)
    ]
    demands = [hold.units for hold in holds]
    for first, last, units in not_free(scope, item):
        intervals.append(sheet.model.new_fixed_size_interval_var(first, last - first, "not free"))
        demands.append(units)
    if holds:
        sheet.model.add_cumulative(intervals, demands, item.units)


def _settings(sheet: Sheet, scope: Scope, item: Equipment, holds: list[MayHold]) -> None:
    """One setting at a time, `change_min` between; the first use from cold takes it too."""
    change_min = item.settings.change_min if item.settings else 0
    for hold in holds:
        if hold.span.name == hold.chain:
            warm = scope.warmth.starts(item, hold.entry.setting)
            if hold.span.earliest < warm[-1][0]:
                sheet.within(hold.span.starts, warm, hold.inside)
    for block in _blocks(holds):
        _apart_from_taken(sheet, scope, item, block, change_min)
    for one, other in combinations(_blocks(holds), 2):
        if one.chain == other.chain or _never_both(one, other):
            continue
        differ = one.entry.setting != other.entry.setting
        alone = (one.falls or other.falls) and one.batch != other.batch
        if differ or alone:
            _apart(sheet, item, one, other, change_min if differ else 0)


def _apart_from_taken(
    sheet: Sheet, scope: Scope, item: Equipment, block: "Block", change_min: int
) -> None:
    """Keep a block of an item apart from what holds it at another setting, whatever is planned."""
    inside = block.holds[0].inside
    ends, starts = block.last.ends, block.first.starts
    within: Spans = ALWAYS
    for held in scope.occupied.holds:
        differ = held.setting != block.entry.setting
        if held.item != item.id or not (differ or held.falls or block.falls):
            continue
        gap_min = change_min if differ else 0
        first, last = held.starts - gap_min, held.ends + gap_min
        if last <= block.first.earliest or _latest_end(block) <= first:
            continue
        if block.lasts_min is not None:
            within = meet(within, ((-EVER, first - block.lasts_min), (last, EVER)))
            continue
        before = sheet.either(f"{block.first.name} before {held.starts} in {item.id}")
        sheet.model.add(ends <= first).only_enforce_if([inside, before])
        sheet.model.add(starts >= last).only_enforce_if([inside, ~before])
    if within != ALWAYS:
        sheet.within(starts, within, inside)


@dataclass(frozen=True)
class Block:
    """Phases in a row of one batch in one item, at one setting."""

    holds: tuple[MayHold, ...]
    falls: bool

    @property
    def batch(self) -> str:
        """Return the name of the batch."""
        return self.holds[0].batch

    @property
    def chain(self) -> str:
        """Return the name of the row of phases that stay on the item."""
        return self.holds[0].chain

    @property
    def entry(self) -> PhaseEquipment:
        """Return what it asks for."""
        return self.holds[0].entry

    @property
    def lasts_min(self) -> int | None:
        """Return how long it lasts; None if that depends on the copies."""
        lasts = [hold.span.lasts for hold in self.holds if isinstance(hold.span.lasts, int)]
        return sum(lasts) if len(lasts) == len(self.holds) else None

    @property
    def first(self) -> Span:
        """Return its first phase."""
        return self.holds[0].span

    @property
    def last(self) -> Span:
        """Return its last phase."""
        return self.holds[-1].span


def _blocks(holds: list[MayHold]) -> list[Block]:
    """Return the holds in blocks; a phase beside which the setting changes stands alone."""
    blocks = []
    for _, row in groupby(holds, key=lambda hold: hold.chain):
        chain = list(row)
        settings = [hold.entry.setting for hold in chain]
        falls = [
            any(settings[j] != settings[i] for j in (i - 1, i + 1) if 0 <= j < len(chain))
            for i in range(len(chain))
        ]
        together: list[MayHold] = []
        for hold, fall in zip(chain, falls, strict=True):
            if fall:
                blocks += [Block(tuple(together), False)] if together else []
                blocks.append(Block((hold,), True))
                together = []
            else:
                together.append(hold)
        blocks += [Block(tuple(together), False)] if together else []
    return blocks


def _never_both(one: Block, other: Block) -> bool:
    """Tell whether two blocks are of different ways of one batch."""
    return one.batch == other.batch and one.first.chosen is not other.first.chosen


def _apart(sheet: Sheet, item: Equipment, one: Block, other: Block, gap_min: int) -> None:
    """Keep two blocks of an item apart, whichever comes first."""
    if _latest_end(one) + gap_min <= other.first.earliest:
        return
    if _latest_end(other) + gap_min <= one.first.earliest:
        return
    both = [one.holds[0].inside, other.holds[0].inside]
    if all(sheet.is_held(f"{each.first.name} in {item.id}") for each in (one, other)):
        return
    before = sheet.either(f"{one.first.name} before {other.first.name} in {item.id}")
    sheet.model.add(one.last.ends + gap_min <= other.first.starts).only_enforce_if([*both, before])
    sheet.model.add(other.last.ends + gap_min <= one.first.starts).only_enforce_if([*both, ~before])


def _latest_end(block: Block) -> int:
    last = block.last
    return last.latest + last.phase.length_min(last.started_max)
