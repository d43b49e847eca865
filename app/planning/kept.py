"""What stays of a published plan when it is mended, in single copies.

That is what has begun, as it happened, and the plan of all demonstrations that are left alone.
"""

from collections.abc import Collection, Iterator

from app.planning.begun import Span
from app.planning.day import Day
from app.planning.draft import Draft, Item, Made, Work
from app.planning.happened import Happened
from app.planning.minutes import Clock
from app.planning.needs import Needs, StageKey, Use
from app.planning.plan import Batch, Copy, Plan, Taker
from app.planning.plan import Use as Served
from app.planning.scope import Method


class Kept:
    """A draft of what stays, with the ids and tags that it has.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    needs
        All needs of the state's day.
    alone
        The demonstrations that are left alone: their batches to come stay as they are.
    """

    def __init__(self, state: Happened, plan: Plan, needs: Needs, alone: Collection[str]) -> None:
        self.state, self.plan, self.needs, self.alone = state, plan, needs, frozenset(alone)
        self.clock = Clock(state.day.timezone)
        self.use_of = {(*use.at, use.stage[1]): use for use in needs.uses}
        self.left_of = {(*left.at, left.stage): left for left in needs.left}
        self.made = {each.id: each for each in self._batches()}
        self.items = {copy.id: self._item(copy) for copy in plan.copies if self._stays(copy)}
        for copy in plan.copies:
            if copy.id in self.items:
                self._give(copy)
        for batch in plan.batches:
            if batch.id in self.made:
                self._link(batch)
        self.taken: dict[int, list[Item]] = {}
        self.backing: dict[int, list[Item]] = {}
        for served in plan.uses:
            self._serve(served)
        for use in needs.uses:
            if use.stage[0] in self.alone and use.at not in state.aired:
                self._back_more(use)
        for (run, beat, stage), copies in state.uses.items():
            use = self.use_of[run, beat, stage]
            self.taken[use.index] = [self.items[copy] for copy in copies]

    def draft(self) -> Draft:
        """Return what stays as a draft."""
        return Draft(list(self.made.values()), list(self.items.values()), self.taken, self.backing)

    def _batches(self) -> Iterator[Made]:
        for batch in self.plan.batches:
            if batch.id in self.state.begun:
                yield self._made(batch, self.state.begun[batch.id].spans)
            elif batch.demonstration in self.alone:
                minute = self.clock.minute
                yield self._made(
                    batch, tuple((minute(each.starts), minute(each.ends)) for each in batch.phases)
                )

    def _made(self, batch: Batch, spans: tuple[Span, ...]) -> Made:
        work = [
            Work(
                starts=starts,
                ends=ends,
                teams={},
                items=[(held.id, held.units) for held in phase.equipment],
                crew=list(phase.crew),
            )
            for (starts, ends), phase in zip(spans, batch.phases, strict=True)
        ]
        stage, size = (batch.demonstration, batch.stage), len(batch.copies)
        method = method_of(self.state.day, stage, batch.way)
        return Made(batch.id, stage, method, size, size, work, id=batch.id)

    def _stays(self, copy: Copy) -> bool:
        return copy.id in self.state.copies or copy.demonstration in self.alone

    def _item(self, copy: Copy) -> Item:
        origin, stage = copy.made_by, (copy.demonstration, copy.stage)
        known = self.state.copies.get(copy.id)
        made = self.made[origin.batch] if origin.batch is not None else None
        left = self.left_of[(*origin.use, stage)] if origin.use is not None else None
        if known is not None:
            staged = known.staged
        elif made is not None:
            staged = made.ends
        else:
            staged = left.staged if left is not None else self.clock.minute(copy.staged_at)
        return Item(
            stage=stage,
            staged=staged,
            batch=made,
            left=left,
            stock=origin.stock,
            returns=dict(known.returns) if known is not None else {},
            id=copy.id,
            tag=copy.tag,
        )

    def _give(self, copy: Copy) -> None:
        """Give a copy the takers that it has had, and those that it is still to have."""
        item, known = self.items[copy.id], self.state.copies.get(copy.id)
        takers = list(known.takers) if known is not None else []
        if copy.demonstration in self.alone:
            takers += [each for each in copy.taken_by if not self._is_over(each)]
        for taker in takers:
            if taker.batch is not None:
                item.takers.append(self.made[taker.batch])
            elif taker.use is not None:
                item.takers.append(self.use_of[(*taker.use, copy.stage)])

    def _is_over(self, taker: Taker) -> bool:
        if taker.use is not None:
            return taker.use in self.state.aired
        return taker.batch in self.state.begun

    def _link(self, batch: Batch) -> None:
        made = self.made[batch.id]
        made.copies = [self.items[copy] for copy in batch.copies]
        made.inputs = [self.items[copy] for copy in batch.consumes]

    def _serve(self, served: Served) -> None:
        use = self.use_of.get((served.run, served.beat, served.stage))
        if use is None:
            return
        if use.at in self.state.aired:
            there = [copy for copy in served.backups if self._stood_beside(copy, use)]
        elif use.stage[0] in self.alone:
            there = list(served.backups)
            self.taken[use.index] = [self.items[copy] for copy in served.copies]
        else:
            return
        self.backing[use.index] = [self.items[copy] for copy in there[: use.backups]]
        for item in self.backing[use.index]:
            item.backs.append(use)

    def _back_more(self, use: Use) -> None:
        """Let copies that now stand ready beside a use back it, where backups lack."""
        there = self.backing.get(use.index, [])
        for item in self.items.values():
            if len(there) >= use.backups:
                break
            if use not in item.backs and self._stands_ready(item, use):
                there.append(item)
                item.backs.append(use)
        if there:
            self.backing[use.index] = there

    def _stands_ready(self, item: Item, use: Use) -> bool:
        """Tell whether a copy to come, which is no spare, stands ready beside a use."""
        if item.stage != use.stage or item.id in self.state.copies:
            return False
        if not (item.takers or item.backs):
            return False
        if item.back > use.due or use.start - item.staged > use.oldest_min:
            return False
        if item.left is not None and not self.state.day.policy.reuse:
            return False
        if use.untouched and _is_shown(item):
            return False
        return all(_begins(taker) > use.start for taker in item.takers[:1])

    def _stood_beside(self, copy: str, use: Use) -> bool:
        """Tell whether a backup stood ready beside a use that has begun, and was not taken."""
        known, item = self.state.copies.get(copy), self.items.get(copy)
        if known is None or item is None or copy in self.state.uses.get(_key(use), ()):
            return False
        if known.state == "coming" or known.staged > use.due:
            return False
        return all(_begins(taker) > use.start for taker in item.takers[:1])


def _begins(taker: Use | Made) -> int:
    """Return the minute at which a copy is taken."""
    return taker.start if isinstance(taker, Use) else taker.starts


def _is_shown(item: Item) -> bool:
    """Tell whether a copy, or anything it is made from, is in front of camera before."""
    inputs = item.batch.inputs if item.batch is not None else ()
    return item.left is not None or any(
        _is_shown(each) or any(isinstance(taker, Use) for taker in each.takers) for each in inputs
    )


def _key(use: Use) -> tuple[str, str, str]:
    return (*use.at, use.stage[1])


def method_of(day: Day, key: StageKey, way: str) -> Method:
    """Return a way as a method, whether it can still be started or not.

    Parameters
    ----------
    day, key, way
        A way of a stage of the day.
    """
    stage = day.stage(*key)
    chosen = next(each for each in stage.ways if each.id == way)
    takes = tuple(
        ((each.demonstration or key[0], each.stage), each.count) for each in stage.takes_by(chosen)
    )
    return Method(
        way=chosen,
        takes=takes,
        yields=stage.yields_by(chosen),
        cost=stage.cost_by(chosen),
        loss=stage.loss_by(chosen),
        good_max=0,
        started=(0,),
        starts=(),
    )
