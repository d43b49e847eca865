"""What may stand on shelves, as the model sees it: from when to when, and how many slots."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

from app.planning.day import Stage
from app.planning.hours import EVER
from app.planning.model.backups import can_back
from app.planning.model.batches import Choice, Maybe
from app.planning.model.flows import Flow, Flows, Source
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.model.unattended import Unattended
from app.planning.needs import StageKey, Use
from app.planning.scope import Scope


@dataclass(frozen=True)
class MaybeStay:
    """Copies that may stand in a zone together; `copies_max` at most."""

    name: str
    zone: str
    stage: Stage
    starts: Expr
    ends: Expr
    copies: Expr
    copies_max: int
    some: Lit

    @property
    def shared(self) -> int:
        """Return how many copies share a slot."""
        return self.stage.copies_per_slot or 1

    @property
    def slots(self) -> int:
        """Return how many slots one copy takes."""
        return self.stage.slots or 1


def stays_in(
    sheet: Sheet,
    scope: Scope,
    flows: Flows,
    batches: dict[StageKey, list[Maybe]],
    zone: str,
    strict: bool,
) -> list[MaybeStay]:
    """Return all that may stand in a zone."""
    stays = list(_phases(scope, batches, zone))
    for key, sources in flows.sources.items():
        if scope.makings[key].stage.zone == zone:
            for source in sources:
                stays += _of_source(sheet, scope, flows, source, strict)
    return stays


def _of_source(
    sheet: Sheet, scope: Scope, flows: Flows, source: Source, strict: bool
) -> Iterator[MaybeStay]:
    """Yield the stays of what a source gives: each taker's, or strictly, each slot-full's."""
    if isinstance(source.batch, Unattended):
        return
    waiting: dict[Use | None, list[MaybeStay]] = {None: []}
    waiting[None] += [*_spares(sheet, scope, source), *_idle(sheet, scope, flows, source, strict)]
    going = [
        flow
        for flow in flows.all
        if flow.source is source and (not flow.handed_over or (strict and flow.after is None))
    ]
    for flow in sorted(going, key=_leaves_about, reverse=True):
        if not isinstance(flow.batch, Unattended):
            waiting.setdefault(flow.after, []).append(_flow_stay(sheet, scope, flows, flow, strict))
    for together in waiting.values():
        if strict and len(together) > 1 and together[0].shared > 1:
            yield from _slotfuls_of(sheet, together)
        else:
            yield from together


def _leaves_about(flow: Flow) -> int:
    """Return when copies of a flow leave, at the latest."""
    if flow.use is not None:
        return flow.use.due
    return flow.batch.window[1] if flow.batch is not None else 0


def _slotfuls_of(sheet: Sheet, together: list[MaybeStay]) -> Iterator[MaybeStay]:
    """Yield the slot-fuls of copies that come together, filled in this order, latest first.

    Each stands until the last of its copies leaves.
    """
    one, shared = together[0], together[0].shared
    most = sum(stay.copies_max for stay in together)
    every = total(stay.copies for stay in together)
    for i in range(-(-most // shared)):
        name = f"{one.name} slot-full {i}"
        here = sheet.either(f"{name} here")
        sheet.model.add(every <= i * shared).only_enforce_if(~here)
        ends = sheet.whole(f"{name} until", 0, EVER)
        before: list[Expr] = []
        for stay in together:
            _leaves_last(sheet, stay, f"{name} of {stay.name}", before, i, ends)
            before.append(stay.copies)
        yield replace(one, name=name, ends=ends, copies=here, copies_max=1, some=here)


def _leaves_last(
    sheet: Sheet, stay: MaybeStay, name: str, before: list[Expr], index: int, ends: Expr
) -> None:
    """Let a slot-full stand as long as copies of a stay that are in it."""
    within, full, none = (sheet.either(f"{name} {what}") for what in ("in", "full", "none"))
    sheet.model.add_bool_or(within, full, none, ~stay.some)
    sheet.model.add(total(before) >= (index + 1) * stay.shared).only_enforce_if(full)
    sheet.model.add(total([*before, stay.copies]) <= index * stay.shared).only_enforce_if(none)
    sheet.model.add(ends >= stay.ends).only_enforce_if(within)


def _phases(scope: Scope, batches: dict[StageKey, list[Maybe]], zone: str) -> Iterator[MaybeStay]:
    for key, maybes in batches.items():
        stage = scope.makings[key].stage
        for choice in (choice for maybe in maybes for choice in maybe.choices):
            for span in choice.spans:
                if span.phase.zone == zone:
                    yield MaybeStay(
                        f"{span.name} stands",
                        zone,
                        stage,
                        span.starts,
                        span.ends,
                        choice.started,
                        span.started_max,
                        span.chosen,
                    )


def _flow_stay(sheet: Sheet, scope: Scope, flows: Flows, flow: Flow, strict: bool) -> MaybeStay:
    stage = scope.makings[flow.source.stage].stage
    starts: Expr = flow.source.back if flow.after is None else flow.after.back
    if isinstance(starts, int):
        starts = max(starts, scope.prep_from)
    ends: Expr = 0
    taker = f"use {flow.use.index}" if flow.use is not None else ""
    most = flow.source.count_max
    if flow.batch is not None:
        ends, taker = flow.batch.starts, flow.batch.name
    elif flow.use is not None:
        most = min(most, flow.use.count)
    after = f" after {flow.after.index}" if flow.after is not None else ""
    name = f"{flow.source.name}{after} stands until {taker}"
    if flow.use is not None:
        ends = flow.use.due
        if strict and flow.after is None:
            from_back = starts if flow.handed_over and isinstance(starts, int) else None
            ends = _may_back_until(sheet, scope, flows, flow.source, name, flow.use, from_back)
    return MaybeStay(name, stage.zone, stage, starts, ends, flow.amount, most, flow.some)


def _may_back_until(
    sheet: Sheet,
    scope: Scope,
    flows: Flows,
    source: Source,
    name: str,
    taker: Use | None = None,
    from_back: int | None = None,
) -> Expr:
    """Return until when copies that a use takes, or nothing, may back uses before that.

    What stands ready beside a use that lacks backups must be listed there: it can't be elsewhere.
    What is handed over on set stands from then on when it is back only if it backs something.
    """
    due, before = (taker.due, taker.start) if taker else (scope.prep_from, inf)
    least = due if from_back is None else from_back
    uses = [
        use
        for use in scope.needs.uses
        if use.stage == source.stage and use.backups and least < use.start < before
    ]
    uses = [use for use in uses if can_back(scope, source, use)]
    if not uses:
        return least
    ends = sheet.whole(f"{name} at last", least, max(due, *(use.start for use in uses)))
    for use in uses:
        backs, late, old = (
            sheet.either(f"{name} {what} {use.index}") for what in ("backs", "late for", "old for")
        )
        spared = _need_not_back(sheet, flows, source, use, taker, from_back is not None)
        sheet.model.add_bool_or(backs, late, old, spared)
        sheet.model.add(ends >= max(due, use.start)).only_enforce_if(backs)
        sheet.model.add(source.staged > use.due).only_enforce_if(late)
        sheet.model.add(source.staged + use.oldest_min < use.start).only_enforce_if(old)
    return ends


def _need_not_back(
    sheet: Sheet, flows: Flows, source: Source, use: Use, taker: Use | None, on_set: bool
) -> Lit:
    """Return whether copies that a use takes later, or idle ones, need not back another before.

    That lists only such as come before those, of idle ones none; and lacks no backup, unless those
    are handed over on set: they need not be in the kitchen.
    """
    told = f"{source.name} backs {use.index} {'later' if taker else 'idle'}"
    spared = sheet.either(f"{told} without {taker.index if taker else 'any'}")
    most: list[Expr] = [
        flow.amount
        for flow in flows.all
        if flow.source is source and not flow.after and flow.use and taker
        if flow.use.start > use.start
        if (not flow.handed_over, leaves_last(flow.use)) > (not on_set, leaves_last(taker))
    ]
    sheet.model.add(sheet.variables[told] <= total(most)).only_enforce_if(spared)
    if not on_set and not isinstance(lack := flows.unbacked[use.index], int):
        sheet.model.add(lack == 0).only_enforce_if(spared)
    return spared


def leaves_last(use: Use) -> tuple[int, int]:
    """Return the order in which copies kept for later uses back one before: from the last."""
    return use.due, use.index


def _idle(
    sheet: Sheet, scope: Scope, flows: Flows, source: Source, strict: bool
) -> Iterator[MaybeStay]:
    """Yield the stay of backups that nothing takes: until the start of the last use they back."""
    backing = [
        (use, sheet.variables[name])
        for use in scope.needs.uses
        if (name := f"{source.name} backs {use.index} idle") in sheet.variables
    ]
    if not backing:
        return
    name = f"{source.name} idle stands"
    if strict:
        ends = _may_back_until(sheet, scope, flows, source, name)
    else:
        ends = sheet.whole(f"{name} until", scope.prep_from, max(use.start for use, _ in backing))
        for use, amount in backing:
            backs = sheet.either(f"{name} for {use.index}")
            sheet.model.add(amount <= use.backups * backs)
            sheet.model.add(ends >= use.start).only_enforce_if(backs)
    some = sheet.either(f"{name} some")
    sheet.model.add(source.idle <= source.count_max * some)
    stage = scope.makings[source.stage].stage
    starts = max(source.back, scope.prep_from) if isinstance(source.back, int) else source.back
    yield MaybeStay(name, stage.zone, stage, starts, ends, source.idle, source.count_max, some)


def _spares(sheet: Sheet, scope: Scope, source: Source) -> Iterator[MaybeStay]:
    """Yield the stays of spares: until their keeping time or the end, the earlier."""
    if source.batch is None:
        return
    for choice in source.batch.choices:
        if choice.method.loss > 0:
            yield _spare_stay(sheet, scope, source.batch, choice)


def _spare_stay(sheet: Sheet, scope: Scope, maybe: Maybe, choice: Choice) -> MaybeStay:
    stage, end = maybe.making.stage, scope.needs.end
    name = f"{maybe.name} {choice.method.way.id} spares stand"
    ends = sheet.whole(f"{name} until", scope.prep_from, end)
    keeps_out = sheet.either(f"{name} to the end")
    sheet.model.add(ends == end).only_enforce_if(keeps_out)
    sheet.model.add(maybe.staged + stage.keeps_min >= end).only_enforce_if(keeps_out)
    sheet.model.add(ends == maybe.staged + stage.keeps_min).only_enforce_if(
        [~keeps_out, choice.chosen]
    )
    most = max(started - good for good, started in enumerate(choice.method.started))
    spares = sheet.whole(f"{name} count", 0, most)
    sheet.model.add(spares == choice.started - choice.good)
    return MaybeStay(name, stage.zone, stage, maybe.staged, ends, spares, most, choice.chosen)
