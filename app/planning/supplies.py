"""Copies that a search for the rest of the day finds there, or coming whatever is planned."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.planning.day import Day, Stock
from app.planning.happened import Happened, Known
from app.planning.minutes import Clock, ceil_minute
from app.planning.moments import beat_second
from app.planning.needs import BeatKey, StageKey, needs_of
from app.planning.plan import Origin, Plan
from app.planning.spares import TIE, chance_of


@dataclass(frozen=True)
class Supply:
    """Copies of one stage that are alike: there already, or coming whatever is planned.

    Minutes count from 1970 in UTC. `copies` are their ids, none where the published plan does not
    list them. They are at hand in the kitchen from `ready` on; within `run` from the second
    `free_s`. `shown` copies have been on camera, `served` ones a beat has handed back. `held_for`
    is the beat to come for which they have gone to the set: for anything else they are there
    from `else_from` on.
    """

    stage: StageKey
    origin: Origin
    count: int
    copies: tuple[str, ...]
    staged: int
    ready: int
    run: str | None = None
    free_s: int = 0
    shown: bool = False
    served: bool = False
    held_for: BeatKey | None = None
    else_from: int = 0

    def ready_for(self, beat: BeatKey) -> int:
        """Return the minute from which they are there for a beat."""
        return self.ready if beat == self.held_for else self.else_from


def stock_of(day: Day) -> Iterator[Supply]:
    """Yield what a day has in stock before anything has happened."""
    clock = Clock(day.timezone)
    for entry in day.stock:
        yield _of_stock(clock, entry, entry.count)


def _of_stock(clock: Clock, entry: Stock, count: int) -> Supply:
    stage, staged = (entry.demonstration, entry.stage), clock.minute(entry.staged)
    return Supply(stage, Origin(stock=entry.id), count, (), staged, staged, else_from=staged)


def supplies_of(state: Happened, plan: Plan) -> Iterator[Supply]:
    """Yield the copies that can still serve, those that are alike together.

    Parameters
    ----------
    state
        The state now, of the published plan.
    plan
        The published plan.
    """
    reader = _Reader(state, plan)
    yield from reader.listed()
    yield from reader.left_more()
    yield from reader.stock()


class _Reader:
    """Reads supplies out of one state."""

    def __init__(self, state: Happened, plan: Plan) -> None:
        self.state, self.plan, self.day = state, plan, state.day
        self.clock = Clock(state.day.timezone)
        self.back = _back_from_beats(state.day)
        self.out_for = {
            copy: at for at, copies in state.sent.items() for copy in copies if at in self.back
        }

    def listed(self) -> Iterator[Supply]:
        """Yield what the published plan lists."""
        unsure = self._unsure()
        alike: dict[Supply, list[str]] = {}
        for copy, known in self.state.copies.items():
            if known.state not in ("used", "lost") and copy not in unsure:
                alike.setdefault(self._kind(copy, known), []).append(copy)
        for kind, copies in alike.items():
            yield replace(kind, count=len(copies), copies=tuple(copies))

    def _kind(self, copy: str, known: Known) -> Supply:
        told, held_for = known.copy, self.out_for.get(copy)
        return Supply(
            stage=(told.demonstration, told.stage),
            origin=told.made_by,
            count=0,
            copies=(),
            staged=known.staged,
            ready=known.ready,
            run=known.run,
            free_s=known.free_s if known.run else 0,
            shown=known.shown,
            served=any(taker.use is not None for taker in known.takers),
            held_for=held_for,
            else_from=max(known.ready, self.back[held_for]) if held_for else known.ready,
        )

    def _unsure(self) -> set[str]:
        """Return the copies in the making that may be lost, for all that is sure enough."""
        unsure: set[str] = set()
        roles = {copy.id: copy.role for copy in self.plan.copies}
        for begun in self.state.begun.values():
            batch = begun.batch
            stage = self.day.stage(batch.demonstration, batch.stage)
            way = stage.way(batch.way)
            loss = stage.loss_by(way)
            if begun.is_staged or loss == 0:
                continue
            left = [copy for copy in batch.copies if self.state.copies[copy].state == "coming"]
            left.sort(key=lambda copy: roles.get(copy) == "spare")
            unsure.update(left[self._sure(len(left), loss) :])
        return unsure

    def _sure(self, left: int, loss: float) -> int:
        """Return how many of some copies in the making surely come out well enough."""
        enough = self.day.policy.confidence - TIE
        return next((n for n in range(left - 1, 0, -1) if chance_of(left, n, loss) >= enough), 0)

    def left_more(self) -> Iterator[Supply]:
        """Yield what beats have left and the published plan does not list."""
        left = {(*each.at, each.stage[1]): each for each in needs_of(self.day).left}
        for key, count in self.state.left_more.items():
            each = left[key]
            yield Supply(
                stage=each.stage,
                origin=Origin(use=each.at),
                count=count,
                copies=(),
                staged=each.staged,
                ready=each.back,
                run=each.run,
                free_s=each.end_s,
                shown=True,
                else_from=each.back,
            )

    def stock(self) -> Iterator[Supply]:
        """Yield what is in stock and the published plan does not list."""
        listed = Counter(copy.made_by.stock for copy in self.plan.copies)
        for entry in self.day.stock:
            count = entry.count - listed[entry.id]
            if count > 0:
                yield _of_stock(self.clock, entry, count)


def _back_from_beats(day: Day) -> dict[BeatKey, int]:
    """Return the minute from which what went to a beat is in the kitchen again."""
    return {
        (run.id, beat.id): ceil_minute(beat_second(day, run, beat.id) + beat.lasts_s)
        + day.policy.return_min
        for run in day.runs
        if not run.dry
        for beat in day.beats_of(run)
    }
