"""One more backup for a use: the plan's picture with it, and what its copies cost.

The batch that serves the use makes one good copy more, with the extra for losses that this takes,
and every step before it makes what goes into that. No plan is worked out: it is the most that it
costs. A new plan may have it for less where a carried copy or copies in stock could feed it, or for
nothing where copies for a later use stand by; and the kitchen may have no room for it.
"""

from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import TypeVar

from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Making
from app.planning.day import Stage, Way
from app.planning.risk.picture import Picture
from app.planning.spares import started_for

StageKey = tuple[str, str]
T = TypeVar("T")


@dataclass(frozen=True)
class More:
    """A picture with more copies in it, and what they cost."""

    picture: Picture
    cost: float


def one_more_backup(ledger: Ledger, picture: Picture, need: int) -> More | None:
    """Return the picture with one more backup at a need; None where no batch could make it.

    Parameters
    ----------
    ledger, picture
        The day and its plan side by side, and their picture.
    need
        The number of the need.
    """
    serving = picture.servings[need]
    copies = [*serving.copies, *serving.backups]
    lots = sorted({picture.maker[copy] for copy in copies if copy in picture.maker})
    begun = frozenset(lot.id for lot in picture.lots if lot.is_begun)
    makings = [ledger.makings[lot] for lot in lots if picture.lots[lot].id not in begun]
    growths = [_Growth(ledger, making, 1, begun) for making in makings]
    growths.sort(key=lambda each: (each.has_room, each.making.ends or 0))
    if not growths or not isfinite(growths[-1].cost):
        return None
    return More(_widened(picture, need, growths[-1]), growths[-1].cost)


class _Growth:
    """A batch that is to give so many good copies more; where it is full, another beside it.

    Of those that have `begun` none can.
    """

    def __init__(
        self, ledger: Ledger, making: Making, more: int, begun: frozenset[str] = frozenset()
    ) -> None:
        assert making.stage is not None
        assert making.way is not None
        self.ledger, self.making, self.begun = ledger, making, begun
        self.stage, self.way = making.stage, making.way
        good = sum(
            copy in ledger.takings or copy in ledger.backed for copy in set(making.batch.copies)
        )
        confidence = ledger.day.policy.confidence
        loss, yields = self.stage.loss_by(self.way), self.stage.yields_by(self.way)
        larger = started_for(good + more, loss, confidence)
        self.has_room = larger <= self.way.batch_max
        if self.has_room:
            self.started = larger - making.size
            self.sets = -(-larger // yields) - -(-making.size // yields)
        else:
            self.started = started_for(more, loss, confidence)
            self.sets = -(-self.started // yields)

    @property
    def cost(self) -> float:
        """Return what the copies cost, with all that goes into them; infinite: can't be made."""
        cost = self.stage.cost_by(self.way) * self.started
        for each in self.stage.takes_by(self.way):
            stage = each.demonstration or self.making.batch.demonstration, each.stage
            cost += self._inputs(stage, each.count * self.sets)
        return cost

    def _inputs(self, stage: StageKey, more: int) -> float:
        if more == 0:
            return 0
        consumed = (self.ledger.items[copy].making for copy in self.making.batch.consumes)
        makings = [
            making
            for making in dict.fromkeys((*consumed, *self.ledger.makings))
            if making and (making.batch.demonstration, making.batch.stage) == stage
        ]
        if not makings:
            return _from_nothing(self.ledger, stage, more)
        growths = [
            _Growth(self.ledger, making, more, self.begun)
            for making in makings
            if making.batch.id not in self.begun
        ]
        if not growths:
            return inf
        return next((each for each in growths if each.has_room), growths[0]).cost


def _from_nothing(ledger: Ledger, stage: StageKey, good: int) -> float:
    """Return the least that copies cost at a stage of which the plan makes none."""
    made = ledger.stages[stage]
    return min((_by_way(ledger, stage, made, way, good) for way in made.ways), default=inf)


def _by_way(ledger: Ledger, key: StageKey, stage: Stage, way: Way, good: int) -> float:
    started = started_for(good, stage.loss_by(way), ledger.day.policy.confidence)
    sets = -(-started // stage.yields_by(way))
    inputs = (
        _from_nothing(ledger, (each.demonstration or key[0], each.stage), each.count * sets)
        for each in stage.takes_by(way)
    )
    return stage.cost_by(way) * started + sum(inputs)


def _widened(picture: Picture, need: int, growth: _Growth) -> Picture:
    """Return the picture with the copies that a batch makes more: all may step in at the need."""
    first = len(picture.names)
    new = tuple(range(first, first + growth.started))
    number = next(
        number for number, lot in enumerate(picture.lots) if lot.id == growth.making.batch.id
    )
    lot, serving = picture.lots[number], picture.servings[need]
    wider = replace(lot, copies=(*lot.copies, *new), more_sets=growth.sets)
    served = replace(serving, step_in=(*new, *serving.step_in))
    return replace(
        picture,
        names=(*picture.names, *(f"one more {copy}" for copy in new)),
        clean=(*picture.clean, *(picture.clean[lot.copies[0]] for _ in new)),
        lots=_exchanged(picture.lots, number, wider),
        servings=_exchanged(picture.servings, need, served),
    )


def _exchanged(things: tuple[T, ...], number: int, thing: T) -> tuple[T, ...]:
    return (*things[:number], thing, *things[number + 1 :])
