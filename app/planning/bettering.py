"""A plan of the whole day made better: in its minutes, a family at a time, then all at once."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import reduce

from app.planning.alone import counted_alone, proved_alone, thrifty_alone
from app.planning.ceding import take_room
from app.planning.descent import BY_TURNS, QUICKLY, Answer, Turns, descend
from app.planning.fitting import Fitting, both
from app.planning.joining import LANES, MOVE_WORK, Family, Joining
from app.planning.model.build import Wanted, build
from app.planning.proving import COPY_GOALS, COUNT_GOALS, NO_ZONES, Proving
from app.planning.scope import Scope
from app.planning.watch import Watch

Alone = Callable[[Scope, Wanted, tuple[str, ...], Watch, Answer, float], Answer]
THRIFT_SHARE = 0.3
PROOF_SHARE = 0.7
TIDY_WORK = 1.0
CATCH_UP_WORK = 0.8
COUNTING_WORK = 2.0
NARROWING_SHARE = 0.2


class Bettering:
    """Makes the plan of a day better within the work that is left, and raises what is proven."""

    def __init__(self, day: Joining) -> None:
        self.day = day
        self.everybody: Family = frozenset().union(*day.placed)

    def improve(self) -> None:
        """Catch up, set the minutes, prove what families need alone, then free some, then all."""
        self._catch_up()
        for members in self._open_at_once():
            if not self.day.done():
                self._free(members, frozenset(), MOVE_WORK)
        if not self.day.done():
            self._better_alone(thrifty_alone, self.day.goals[:4], self.day.work * THRIFT_SHARE)
        if not self.day.done():
            self._better_alone(proved_alone, self.day.goals, self.day.work * PROOF_SHARE)
        if len(self.day.alone) > 1:
            self._move(list(self.day.alone))
            self._move(list(self.day.pairs()))
        if not self.day.done() and not self.day.is_long:
            self._free_all(self.day.work)
        if not self.day.settled() and self.day.work <= 0 and self.day.watch.stopped_by is None:
            self.day.watch.stopped_by = "work"

    def _catch_up(self) -> None:
        """Prove what families need, then free those that have more, those with most first."""
        if not self.day.done():
            self._better_alone(
                counted_alone, COPY_GOALS, COUNTING_WORK * len(self.day.alone) / LANES
            )
        for family in self._with_excess() if self.day.is_long else ():
            take_room(self.day, family)
        for family in self._with_excess():
            members = self._open_with(family) if self.day.wanted.shelves else family
            self._free(members, family, CATCH_UP_WORK, goals=COPY_GOALS, turns=QUICKLY)

    def _with_excess(self) -> Iterator[Family]:
        """Yield the families whose copies are above their floors, those with most first."""
        for family in sorted(self.day.alone, key=self._excess, reverse=True):
            if self.day.done():
                return
            if any(self._excess(family)):
                yield family

    def _excess(self, family: Family) -> tuple[int, ...]:
        """Return by how much the figures of a family's copies are above their floors."""
        floors = self.day.alone[family].floors
        figures = self.day.of(family).figures
        return tuple(figures[goal] - floors.get(goal, 0) for goal in COPY_GOALS)

    def _open_with(self, free: Family) -> Family:
        """Return who may move where some are free: on a long day no others."""
        return free if self.day.is_long else self.everybody

    def _open_at_once(self) -> list[Family]:
        return list(self.day.alone) if self.day.is_long else [self.everybody]

    def _move(self, moves: list[Family]) -> None:
        """Free some families after others, as long as it pays."""
        while not self.day.done():
            before = self.day.best.rank(self.day.goals)
            for free in moves:
                if self.day.done():
                    return
                self._free(self._open_with(free), free, MOVE_WORK)
            if self.day.best.rank(self.day.goals) == before:
                return

    def _better_alone(self, how: Alone, goals: tuple[str, ...], work: float) -> None:
        """Plan each family alone once more; fit in what that betters in some goals."""
        share = work * LANES / max(LANES, len(self.day.alone))

        def one(family: Family) -> Answer:
            scope, wanted = self._family(family)
            known = self.day.part(family)
            if self.day.watch.over():
                return replace(known, work=0.0)
            own = self.day.alone[family]
            if own.values and own.rank(self.day.goals) < known.rank(self.day.goals):
                known = own
            return how(scope, wanted, self.day.goals, self.day.watch, known, share)

        with ThreadPoolExecutor(LANES) as lanes:
            found = dict(zip(self.day.alone, lanes.map(one, self.day.alone), strict=True))
        self.day.work -= sum(answer.work for answer in found.values()) / LANES
        for family, answer in found.items():
            self.day.alone[family] = replace(self.day.alone[family], floors=answer.floors)
        self.day.raise_floors(self.day.sum_of_floors(found))
        self._take_in_all(list(found.values()))
        for family, answer in found.items():
            part = self.day.part(family)
            if answer.values and answer.rank(goals) < part.rank(goals) and not self.day.done():
                self._take_in(family, answer)

    def _family(self, family: Family) -> tuple[Scope, Wanted]:
        """Return the day, and what is asked of one family in it."""
        return self.day.scope, replace(self.day.asked(family), shelves=NO_ZONES)

    def _take_in_all(self, found: list[Answer]) -> None:
        """Let every family have the shape that it found alone, if the whole day is better so."""
        if len(found) == 1 or self.day.is_long or self.day.done():
            return
        if not all(each.values for each in found):
            return
        fitting = Fitting(self.day.scope, self.day.watch)
        answer = fitting.fit(self.day.wanted, reduce(both, found), self.day.goals)
        self.day.work -= answer.work
        if answer.values and answer.rank(self.day.goals) < self.day.best.rank(self.day.goals):
            self.day.stand(answer)

    def _take_in(self, family: Family, own: Answer) -> None:
        """Let a family have the shape that it found alone, if the whole day is better for it."""
        members = self._open_with(family)
        before = self.day.of(members)
        fitting = Fitting(self.day.beside(members), self.day.watch)
        wanted, known = self.day.asked(members), both(before, own)
        floors = self.day.alone[family].floors
        answer = fitting.fitted(wanted, known, family, floors, goals=self.day.goals, at_once=True)
        self.day.work -= answer.work
        if answer.values and answer.rank(self.day.goals) < before.rank(self.day.goals):
            self.day.stand(answer)

    def _free(
        self,
        members: Family,
        free: Family,
        work: float,
        scope: Scope | None = None,
        goals: tuple[str, ...] = (),
        turns: Turns = BY_TURNS,
    ) -> Answer:
        """Solve some beside the others, the shapes of all but the free ones held."""
        before = self.day.of(members)
        answer = self.day.solve(
            members, free, before, work, scope, stands=True, goals=goals, turns=turns
        )
        if answer.values and answer.rank(self.day.goals) < before.rank(self.day.goals):
            self.day.stand(answer)
        return answer

    def _free_all(self, work: float) -> None:
        """Free every family: what this proves holds for the whole day."""
        everybody = self.everybody
        bare = everybody if self.day.wanted.bare else self.day.wanted.bare
        short = everybody if self.day.wanted.short else self.day.wanted.short
        self.day.wanted = replace(self.day.wanted, bare=bare, short=short)
        scope, is_sure = self._narrowed(work * NARROWING_SHARE)
        answer = self._free(everybody, everybody, work, scope)
        proven: dict[str, int] = {}
        for goal in self.day.goals:
            floor = answer.floors.get(goal)
            if floor is None or not (is_sure or self._holds(scope, proven, goal, floor)):
                break
            if is_sure or goal not in COUNT_GOALS:
                whole = Proving(scope, self.day.wanted, self.day.goals, self.day.watch)
                sure = self.day.floors.get(goal, 0)
                floor = whole.unattended(proven, goal, floor, sure)
            proven[goal] = floor
            if answer.figures.get(goal) != floor:
                break
        self.day.raise_floors(proven)

    def _narrowed(self, work: float) -> tuple[Scope, bool]:
        """Return the day with just as many batches as a plan that is better may have.

        The second value tells whether that is proven.
        """
        scope, every_sure = self.day.scope, True
        figures = self.day.best.figures
        better = {goal: figures[goal] for goal in self.day.goals if goal in COUNT_GOALS}
        for family in self.day.alone:
            proving = Proving(*self._family(family), self.day.goals, self.day.watch)
            share = work / len(self.day.alone)
            narrow, is_sure = proving.narrowed(self._limits(family, better), share)
            self.day.work -= proving.work
            if is_sure:
                scope = scope.considering(
                    {(key, call.run): call.batches for key, call in narrow.calls_of(family)}
                )
            every_sure = every_sure and is_sure
        return scope, every_sure

    def _holds(self, scope: Scope, better: dict[str, int], goal: str, floor: int) -> bool:
        """Tell whether a floor of the day holds however many batches a family has."""
        if floor <= self.day.floors.get(goal, 0):
            return True
        for family in self.day.alone:
            _, wanted = self._family(family)
            proving = Proving(scope, wanted, self.day.goals, self.day.watch)
            limits = self._limits(family, better | {goal: floor - 1})
            if not proving.excludes(limits, goal not in COUNT_GOALS):
                return False
        return True

    def _limits(self, family: Family, figures: dict[str, int]) -> dict[str, int]:
        """Return what a family may have at most where the whole day keeps within some figures."""
        sums = self.day.sum_of_floors(self.day.alone)
        limits: dict[str, int] = {}
        for goal, most in figures.items():
            if goal not in sums:
                break
            limits[goal] = self.day.alone[family].floors[goal] + most - sums[goal]
            if most != sums[goal]:
                break
        return limits

    def tidy(self) -> None:
        """Let nothing start earlier than it must, all else as good as it is."""
        goals = (*self.day.goals, "early_min")
        for members in self._open_at_once():
            if self.day.watch.over():
                return
            before = self.day.of(members)
            model = build(self.day.beside(members), self.day.asked(members), before.shaped)
            floors = {goal: before.figures[goal] for goal in self.day.goals}
            answer = descend(model, goals, self.day.watch, TIDY_WORK, floors, begin=before)
            if answer.values and answer.rank(goals) < before.rank(goals):
                self.day.take(answer)
