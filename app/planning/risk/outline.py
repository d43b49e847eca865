"""From a day and its plan to the picture that is played."""

from collections.abc import Iterable, Iterator
from functools import cached_property

from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import Demand, Moment
from app.planning.auditing.parts import Item, Making
from app.planning.happened import Happened
from app.planning.minutes import MINUTE_S
from app.planning.risk.earliest import Openings
from app.planning.risk.order import crew_order, equipment_order, merged, numbered
from app.planning.risk.picture import After, Intake, Kept, Lot, Picture, Scene, Serving, Task
from app.planning.risk.sofar import SoFar, begun_first

StageKey = tuple[str, str]
FAR = 10**12


def picture_of(ledger: Ledger, state: Happened | None = None) -> Picture:
    """Return what a play needs of a plan that keeps every rule.

    Parameters
    ----------
    ledger
        The day and its plan side by side.
    state
        What has happened by now, if that is known: only what is to come is played.
    """
    return _Outline(ledger, state).picture()


class _Outline:
    """Numbers copies and phases, and looks up who may step in for whom."""

    def __init__(self, ledger: Ledger, state: Happened | None) -> None:
        self.ledger, self.base = ledger, ledger.prep_from
        self.so_far = None if state is None else SoFar(state, self.base)
        self.number = {copy: number for number, copy in enumerate(ledger.items)}
        moments = ledger.programme.moments.values()
        self.moments = [each for each in moments if not self._is_over(each)]
        demands = ledger.programme.demands.values()
        self.demands = [each for each in demands if not self._is_over(each.moment)]

    def _is_over(self, moment: Moment) -> bool:
        return self.so_far is not None and self.so_far.is_over(moment)

    def picture(self) -> Picture:
        """Return the whole of it."""
        items = list(self.ledger.items.values())
        return Picture(
            names=tuple(self.number),
            clean=tuple(self._is_clean(item) for item in items),
            kept=tuple(self._kept(items)),
            tasks=tuple(self._tasks()),
            lots=tuple(self._lot(making) for making in self.ledger.makings),
            servings=tuple(self._serving(demand) for demand in self.demands),
            scenes=tuple(self._scene(each) for each in self.moments),
        )

    def _kept(self, items: list[Item]) -> Iterator[Kept]:
        """Yield what is there from the beginning: the stock, or what there is by now."""
        if self.so_far is not None:
            yield from self.so_far.kept(items, self.number)
            return
        for item in items:
            if item.stock and item.staged is not None:
                staged = item.staged - self.base
                yield Kept(self.number[item.copy.id], staged, staged)

    def _tasks(self) -> list[Task]:
        keys = [
            ((making.batch.id, span[0]), lot, phase)
            for lot, making in enumerate(self.ledger.makings)
            for phase, span in enumerate(making.spans)
            if span is not None
        ]
        numbers = {key: number for number, (key, _, _) in enumerate(keys)}
        waits = merged(crew_order(self.ledger), equipment_order(self.ledger))
        if self.so_far is not None:
            waits = begun_first(waits, self.so_far.begun_phases(self.ledger.makings))
        openings = Openings(self.ledger)
        return [
            self._task(
                lot,
                phase,
                numbered(waits.get(key, []), numbers, number - 1 if phase else None),
                openings,
            )
            for number, (key, lot, phase) in enumerate(keys)
        ]

    def _task(self, lot: int, phase: int, after: tuple[After, ...], openings: Openings) -> Task:
        making = self.ledger.makings[lot]
        starts, ends = making.spans[phase] or (0, 0)
        opens = starts if phase == 0 else openings.earliest(making, phase)
        task = Task(
            lot=lot,
            is_first=phase == 0,
            is_last=phase == len(making.spans) - 1,
            starts=starts - self.base,
            lasts_min=ends - starts,
            earliest=max(opens, self.base) - self.base,
            after=after,
            closed=tuple(
                (since - self.base, until - self.base)
                for since, until in openings.closed(making, phase)
            ),
        )
        return task if self.so_far is None else self.so_far.known(task, making, phase)

    def _lot(self, making: Making) -> Lot:
        stage, way, home = making.stage, making.way, making.batch.demonstration
        assert stage is not None
        assert way is not None
        copies = self._handed_out(making)
        if self.so_far is not None:
            copies = self.so_far.handed_out(making, copies)
        return Lot(
            id=making.batch.id,
            copies=tuple(self.number[each] for each in copies),
            is_begun=self.so_far is not None and self.so_far.is_begun(making),
            yields=stage.yields_by(way),
            loss=stage.loss_by(way),
            intakes=tuple(
                self._intake(making, (each.demonstration or home, each.stage), each.count)
                for each in stage.takes_by(way)
            ),
        )

    def _handed_out(self, making: Making) -> list[str]:
        """Return the copies of a batch: the soonest taken first, then backups, then spares."""

        def rank(copy: str) -> tuple[int, int]:
            if copy in self.ledger.takings:
                return 0, self.ledger.takings[copy][0].starts_s
            backed = self._last_backed.get(copy)
            return (2, 0) if backed is None else (1, backed)

        return sorted(dict.fromkeys(making.batch.copies), key=rank)

    def _intake(self, making: Making, stage: StageKey, per_set: int) -> Intake:
        items = [self.ledger.items[copy] for copy in dict.fromkeys(making.batch.consumes)]
        taken = [item for item in items if (item.copy.demonstration, item.copy.stage) == stage]
        starts = making.starts or 0
        is_strict = making not in self.ledger.shown
        idle = self._idle(stage, starts, starts, is_strict)
        return Intake(
            copies=self._numbers(taken),
            per_set=per_set,
            keeps_min=self.ledger.stages[stage].keeps_min,
            step_in=self._numbers(idle),
        )

    def _serving(self, demand: Demand) -> Serving:
        key, need, start = demand.key, demand.need, demand.moment.start
        served = [self.ledger.items[copy] for copy in self.ledger.served.get(key, ())]
        backing = [self.ledger.items[copy] for copy in self.ledger.backing.get(key, ())]
        is_strict = need.untouched or need.tasting
        idle = self._idle((demand.demonstration, need.stage), start, start, is_strict)
        others = {item.copy.id: item for item in (*backing, *idle) if item not in served}
        safety, keeps = demand.stage.safety_min, demand.stage.keeps_min
        return Serving(
            key=key,
            start=start - self.base,
            count=demand.count,
            oldest_min=min(keeps, safety) if need.tasting and safety is not None else keeps,
            copies=self._numbers(served),
            backups=self._numbers(backing),
            step_in=self._numbers(sorted(others.values(), key=self._dearness)),
            on_set=frozenset(
                self._numbers(each for each in served if self._is_on_set(each, demand))
            ),
            returned=frozenset(
                self._numbers(
                    each
                    for each in served
                    if self.ledger.takings[each.copy.id][-1].starts_s > demand.moment.starts_s
                )
            ),
        )

    def _is_on_set(self, item: Item, demand: Demand) -> bool:
        steps = self.ledger.steps(item)
        if item.copy.id in self._sent(demand.moment):
            return True
        return any(step.on_set for step in steps if step.taking.demand is demand)

    def _sent(self, moment: Moment) -> tuple[str, ...]:
        return () if self.so_far is None else self.so_far.sent(moment)

    def _scene(self, moment: Moment) -> Scene:
        left = [item for item in self.ledger.items.values() if item.left_by is moment]
        return Scene(
            key=moment.key,
            starts_s=moment.starts_s - self.base * MINUTE_S,
            servings=tuple(
                number for number, each in enumerate(self.demands) if each.moment is moment
            ),
            leaves=self._numbers(left),
            staged=moment.staged - self.base,
            back=moment.back - self.base,
            sent=tuple(self.number[copy] for copy in self._sent(moment)),
        )

    def _idle(self, stage: StageKey, staged: int, after: int, is_strict: bool) -> list[Item]:
        """Return the copies that nothing takes, staged by a minute, and backing nothing after."""
        return [
            item
            for item in self.ledger.alike.get(stage, ())
            if item.copy.id not in self.ledger.takings
            and (item.staged if item.staged is not None else FAR) <= staged
            and self._last_backed.get(item.copy.id, -FAR) < after
            and (not is_strict or self._is_clean(item))
        ]

    def _dearness(self, item: Item) -> tuple[int, int]:
        """Return how dear it is to take a copy: least what backs nothing, most what goes soon."""
        takings = self.ledger.takings.get(item.copy.id)
        if takings:
            return 2, -takings[0].starts_s
        backed = self._last_backed.get(item.copy.id)
        return (0, 0) if backed is None else (1, backed)

    def _is_clean(self, item: Item) -> bool:
        return item.left_by is None and item.making not in self.ledger.shown

    def _numbers(self, items: Iterable[Item]) -> tuple[int, ...]:
        return tuple(self.number[item.copy.id] for item in items)

    @cached_property
    def _last_backed(self) -> dict[str, int]:
        """Return the minute of the last use that each copy backs."""
        return {
            copy: max(demand.moment.start for demand in demands)
            for copy, demands in self.ledger.backed.items()
        }
