"""What may stand on shelves, as the model sees it: from when to when, and how many slots."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.planning.day import Stage
from app.planning.model.batches import Choice, Maybe
from app.planning.model.flows import Flow, Flows, Source
from app.planning.model.sheet import Expr, Lit, Sheet
from app.planning.model.unattended import Unattended
from app.planning.needs import StageKey
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
    for flow in flows.all:
        stage = scope.makings[flow.source.stage].stage
        if stage.zone == zone and not flow.handed_over and not _is_loose(flow):
            stays.append(_flow_stay(scope, stage, flow, strict))
    for key, sources in flows.sources.items():
        if scope.makings[key].stage.zone == zone:
            for source in sources:
                if isinstance(source.batch, Unattended):
                    continue
                stays += _idle(sheet, scope, flows, source)
                stays += _spares(sheet, scope, source)
    return stays


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


def _flow_stay(scope: Scope, stage: Stage, flow: Flow, strict: bool) -> MaybeStay:
    starts: Expr = flow.source.back if flow.after is None else flow.after.back
    if isinstance(starts, int):
        starts = max(starts, scope.prep_from)
    ends: Expr = _leaves_for(scope, flow, strict) if flow.use is not None else 0
    taker = f"use {flow.use.index}" if flow.use is not None else ""
    most = flow.source.count_max
    if flow.batch is not None:
        ends, taker = flow.batch.starts, flow.batch.name
    elif flow.use is not None:
        most = min(most, flow.use.count)
    after = f" after {flow.after.index}" if flow.after is not None else ""
    name = f"{flow.source.name}{after} stands until {taker}"
    return MaybeStay(name, stage.zone, stage, starts, ends, flow.amount, most, flow.some)


def _leaves_for(scope: Scope, flow: Flow, strict: bool) -> int:
    """Return when copies leave for a use; strictly, not before the last use that they may back."""
    assert flow.use is not None
    leaves = flow.use.due
    if strict and flow.after is None:
        for use in scope.needs.uses:
            if use.stage == flow.source.stage and use.backups and use.start < flow.use.start:
                leaves = max(leaves, use.start)
    return leaves


def _idle(sheet: Sheet, scope: Scope, flows: Flows, source: Source) -> Iterator[MaybeStay]:
    """Yield the stay of backups that nothing takes: until the start of the last use they back."""
    uses = {use.name: use for use in scope.needs.uses if use.stage == source.stage and use.backups}
    backing = [
        (use, sheet.variables[name])
        for use in uses.values()
        if (name := f"{source.name} backs {use.index} idle") in sheet.variables
    ]
    if not backing:
        return
    name, last = f"{source.name} idle stands", max(use.start for use, _ in backing)
    ends = sheet.whole(f"{name} until", scope.prep_from, last)
    some = sheet.either(f"{name} some")
    sheet.model.add(source.idle <= source.count_max * some)
    for use, amount in backing:
        backs = sheet.either(f"{name} for {use.index}")
        sheet.model.add(amount <= use.backups * backs)
        sheet.model.add(ends >= use.start).only_enforce_if(backs)
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


def _is_loose(flow: Flow) -> bool:
    """Tell whether the minutes of a flow are not those of a batch."""
    return isinstance(flow.source.batch, Unattended) or isinstance(flow.batch, Unattended)
