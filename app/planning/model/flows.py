"""Copies on their way: from a batch, a supply or a beat to what takes them, one after another."""

from dataclasses import dataclass, field

from app.planning.model.batches import Maybe
from app.planning.model.lots import Lot
from app.planning.model.sheet import Expr, Lit, Sheet
from app.planning.needs import Left, StageKey, Use
from app.planning.scope import Scope
from app.planning.supplies import Supply


@dataclass
class Source:
    """Copies of one stage that come into being together."""

    name: str
    stage: StageKey
    staged: Expr
    back: Expr
    count_max: int
    batch: Maybe | None = None
    left: Left | None = None
    found: Supply | None = None
    idle: Expr = 0
    touched: Expr = 0

    @property
    def staged_until(self) -> Expr:
        """Return the last minute at which one of its copies is staged."""
        return self.staged if self.batch is None else self.batch.staged_until


@dataclass
class Flow:
    """Copies of one source that one taker takes, fresh or after a use handed them back."""

    name: str
    source: Source
    after: Use | None
    use: Use | None
    batch: Maybe | None
    amount: Expr
    some: Lit

    @property
    def in_time(self) -> bool:
        """Tell whether its minutes are decided: those of a lot are not."""
        return not isinstance(self.source.batch, Lot) and not isinstance(self.batch, Lot)

    @property
    def handed_over(self) -> bool:
        """Tell whether copies go from beat to beat of one run, on set, past the shelves."""
        if self.use is None:
            return False
        if self.after is not None:
            return self.after.run == self.use.run
        return self.source.left is not None and self.source.left.run == self.use.run


@dataclass
class Flows:
    """All flows of a model, and what lacks."""

    sources: dict[StageKey, list[Source]] = field(default_factory=dict)
    all: list[Flow] = field(default_factory=list)
    lacks: dict[int, Expr] = field(default_factory=dict)
    unbacked: dict[int, Expr] = field(default_factory=dict)

    @property
    def in_time(self) -> list[Flow]:
        """Return the flows whose minutes are decided."""
        return [flow for flow in self.all if flow.in_time]


def sources_at(scope: Scope, key: StageKey, batches: list[Maybe]) -> list[Source]:
    """Return the sources of copies of one stage."""
    name = f"{key[0]}/{key[1]}"
    sources = [
        _source_of(found, f"{name} found {i}")
        for i, found in enumerate(scope.supplies)
        if found.stage == key
    ]
    sources += [
        Source(f"{name} left {i}", key, left.staged, left.back, left.count, left=left, touched=1)
        for i, left in enumerate(scope.needs.left)
        if left.stage == key
    ]
    return sources + [
        Source(each.name, key, each.staged, each.staged, each.good_max, batch=each)
        for each in batches
    ]


def _source_of(found: Supply, name: str) -> Source:
    """Return a supply as a source; what a beat had is like what a beat leaves."""
    left: Left | None = None
    if found.run is not None:
        beat = found.origin.use[1] if found.origin.use else ""
        left = Left(
            run=found.run,
            beat=beat,
            stage=found.stage,
            count=found.count,
            end_s=found.free_s,
            staged=found.staged,
            back=found.else_from,
        )
    return Source(
        name=name,
        stage=found.stage,
        staged=found.staged,
        back=found.else_from,
        count_max=found.count,
        left=left,
        found=found,
        touched=int(found.shown),
    )


def lay(
    sheet: Sheet,
    flows: Flows,
    source: Source,
    taker: Use | Maybe,
    most: int,
    after: Use | None = None,
) -> None:
    """Lay a flow of up to `most` copies, with the literal that says that there is one."""
    use = taker if isinstance(taker, Use) else None
    batch = taker if isinstance(taker, Maybe) else None
    to = f"use {use.index}" if use else batch.name if batch else ""
    name = f"{source.name} > {f'use {after.index} > ' if after else ''}{to}"
    if sheet.is_absent(name):
        return
    amount = lit = sheet.count(name, 0, most)
    if most > 1:
        lit = sheet.either(f"{name} some")
        sheet.model.add(amount >= lit)
        sheet.model.add(amount <= most * lit)
    flows.all.append(Flow(name, source, after, use, batch, amount, lit))
