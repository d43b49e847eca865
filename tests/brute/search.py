"""Exhaustive search, minute by minute: every state that a kitchen can be in, the best of each."""

from collections.abc import Callable
from math import lcm

from app.planning.day import Day
from tests.brute.choices import NOTHING
from tests.brute.facts import Facts
from tests.brute.kitchen import Kitchen
from tests.brute.least import Least
from tests.brute.moves import Moves
from tests.brute.state import AWAY, COMING, NOWHERE, Copy, Goals, State, Step, Trace, add, gathered
from tests.brute.windows import Windows

Frontier = dict[State, tuple[Goals, Trace]]


class TooBig(Exception):
    """The day has more states than the caller allows."""


class Search:
    """One day, searched to the end."""

    def __init__(self, day: Day, limit: int, traced: bool = False) -> None:
        self.facts = Facts(day)
        self.kitchen = Kitchen(self.facts)
        self.windows = Windows(self.facts, self.kitchen)
        self.scale = lcm(*(option.cost.denominator for option in self.facts.options))
        self.moves = Moves(self.facts, self.kitchen, self.windows, self.scale)
        self.least = Least(self.facts, self.windows, self.scale, self.moves.fresh)
        self.limit, self.traced, self.spent = limit, traced, 0
        self.begin = min([self.facts.prep, *(want.due for want in self.facts.wants)])
        if any(self.facts.placed) and self.begin < self.facts.prep:
            raise TooBig("a use before the prep begins")

    def best(self) -> tuple[Goals, Trace]:
        """Return the best goals of all plans, and how one of them goes."""
        known: tuple[Goals, Trace] | None = None
        width = 60
        while True:
            found, whole = self._sweep(known[0] if known else None, width)
            if found is not None and (known is None or found[0] < known[0]):
                known = found
            if whole:
                assert known is not None
                return known
            width *= 12

    def _sweep(self, bound: Goals | None, width: int) -> tuple[tuple[Goals, Trace] | None, bool]:
        """Search with about `width` states a minute; tell whether none was left out."""
        frontier: Frontier = {self._first(): (NOTHING, None)}
        self.moves.bound, whole = bound, True
        for minute in range(self.begin, self.facts.end + 1):
            for step in self._steps(minute):
                frontier = self._expand(frontier, step, bound)
            frontier = self._tidy(frontier, minute, bound)
            if len(frontier) > width:
                whole = False
                frontier = _thinned(frontier, width)
        return min(frontier.values(), default=None, key=lambda each: each[0]), whole

    def _steps(self, minute: int) -> list[Callable[[State, Goals], Step]]:
        """Return what can happen at a minute, in order."""
        moves, wants = self.moves, self.facts.wants
        steps: list[Callable[[State, Goals], Step]] = []
        due = [i for i, want in enumerate(wants) if want.due == minute]
        options = [i for i, starts in enumerate(self.windows.starts) if minute in starts]
        moments = self.facts.moments_at.get(minute, [])
        backed = [i for i, want in enumerate(wants) if want.start == minute and want.backups]
        if self.facts.zones:
            steps.append(lambda state, so_far: moves.arrive(state, minute))
        if due:
            steps.append(lambda state, so_far: moves.send(state, due))
        if options:
            steps.append(lambda state, so_far: moves.begin(state, minute, options, so_far))
        if moments:
            steps.append(lambda state, so_far: moves.air(state, moments))
        if backed:
            steps.append(lambda state, so_far: moves.back(state, minute, backed))
        if self.facts.zones:
            steps.append(lambda state, so_far: moves.put(state, minute))
        return steps

    def _expand(
        self, frontier: Frontier, step: Callable[[State, Goals], Step], bound: Goals | None
    ) -> Frontier:
        after: Frontier = {}
        for state, (goals, trace) in frontier.items():
            for more, new, note in step(state, goals):
                total = add(goals, more)
                if bound is not None and total > bound:
                    continue
                known = after.get(new)
                if known is None or total < known[0]:
                    after[new] = (total, (trace, note) if note and self.traced else trace)
                self.spent += 1
                if self.spent > self.limit:
                    raise TooBig(f"more than {self.limit} states")
        return after

    def _first(self) -> State:
        crew, items = self.kitchen.empty()
        state = State((), (), (), (), crew, items)
        for stock in self.facts.day.stock:
            stage = self.facts.index[stock.demonstration, stock.stage]
            staged = self.facts.clock.minute(stock.staged)
            place = AWAY if self.facts.placed[stage] else NOWHERE
            origin = self.moves.origin(state, stage)
            copy = (stage, staged, staged, False, False, False, -1, 0, origin, place)
            state = state.but(pool=gathered((*state.pool, (copy, stock.count))))
        return state

    def _tidy(self, frontier: Frontier, minute: int, bound: Goals | None) -> Frontier:
        """Forget what can no longer matter; drop states with a copy made for nothing."""
        after: Frontier = {}
        for state, (goals, trace) in frontier.items():
            if bound is not None:
                settled = goals[0] == bound[0]
                if add(goals, self.least.goals(state, minute, settled)) > bound:
                    continue
            pool = []
            for copy, count in state.pool:
                if self._matters(copy, minute):
                    pool.append((self._plain(copy, minute), count))
                elif copy[5]:
                    break
            else:
                crew, items = self.kitchen.later(state.crew, state.items, minute)
                fixed = tuple(each for each in state.fixed if each[0] > minute + 1)
                new = State(gathered(pool), state.sent, fixed, state.due, crew, items)
                known = after.get(new)
                if known is None or goals < known[0]:
                    after[new] = (goals, trace)
        return after

    def _matters(self, copy: Copy, minute: int) -> bool:
        return self.windows.alive(copy[0], copy[1], minute, copy[6] >= 0)

    def _plain(self, copy: Copy, minute: int) -> Copy:
        """Return a copy without what no longer tells it from others."""
        tells = copy[2] + self.facts.told_for_min(copy[0]) > minute
        back = copy[2] if copy[9] in (AWAY, COMING) or tells else copy[1]
        return (*copy[:2], max(copy[1], back), *copy[3:])


def _thinned(frontier: Frontier, width: int) -> Frontier:
    """Keep the best, and a spread of those that may have begun what the best still lack."""
    ranked = sorted(frontier.items(), key=lambda each: each[1][0])
    half = width // 2
    apart = max(1, (len(ranked) - half) // half)
    return dict(ranked[:half] + ranked[half::apart])
