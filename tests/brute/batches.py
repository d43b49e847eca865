"""Which batches start in a minute, from what, by whom and in what."""

from collections.abc import Callable, Iterator
from functools import cached_property, lru_cache

from tests.brute.choices import NOTHING, Choices
from tests.brute.facts import Option
from tests.brute.kitchen import Crew, Items
from tests.brute.state import (
    AWAY,
    COMING,
    NOWHERE,
    Copy,
    Due,
    Goals,
    Pool,
    State,
    Step,
    add,
    gathered,
    pick,
)


class Batches(Choices):
    """The choices of what to make."""

    def begin(self, state: State, minute: int, options: list[int], so_far: Goals) -> Step:
        """Any batches start, also several alike."""
        yield NOTHING, state, ""
        for place, number in enumerate(options):
            option, costs = self.facts.options[number], self.costs[number]
            total = add(so_far, costs)
            if self.bound is not None and total > self.bound:
                continue
            owed = sum(n for copy, n in state.pool if copy[0] == option.stage and copy[5])
            if owed + option.good > self.windows.cap(option.stage, minute):
                continue
            for after, words in self._started(state, minute, option):
                for more, last, told in self.begin(after, minute, options[place:], total):
                    yield add(costs, more), last, f"{words}; {told}"

    @cached_property
    def ways(self) -> Callable[[Crew, Items, int, Option], list[tuple[Crew, Items]]]:
        """Return what returns each way to staff and house a batch, once, and remembers it."""
        return lru_cache(maxsize=200_000)(self._ways)

    def _ways(
        self, crew: Crew, items: Items, minute: int, option: Option
    ) -> list[tuple[Crew, Items]]:
        """Return each way to staff and house a batch, once."""
        staffed = {self.kitchen.later(each, items, minute)[0] for each in
                   self.kitchen.staffed(crew, option, minute)}  # fmt: skip
        if not staffed:
            return []
        housed = {self.kitchen.later(crew, each, minute)[1] for each in
                  self.kitchen.housed(items, option, minute)}  # fmt: skip
        return [(people, things) for people in sorted(staffed) for things in sorted(housed)]

    def _started(self, state: State, minute: int, option: Option) -> Iterator[tuple[State, str]]:
        fed = list(self._fed(state.pool, minute, option.inputs))
        ways = self.ways(state.crew, state.items, minute, option) if fed else []
        if not ways:
            return
        for taken, kept in fed:
            pool, due = self._made(state, minute, option, taken, kept)
            words = (
                f"{self.facts.clock.hour(minute)} {self.facts.names[option.stage]} by {option.way}"
                f" x{option.started} good {option.good} from {self.words(taken)}"
            )
            for crew, items in ways:
                yield State(pool, state.sent, state.fixed, due, crew, items), words

    def _fed(
        self, pool: Pool, minute: int, inputs: tuple[tuple[int, int], ...]
    ) -> Iterator[tuple[Pool, Pool]]:
        if not inputs:
            yield (), pool
            return
        stage, count = inputs[0]
        keeps, slack = self.facts.stages[stage].keeps_min, self.facts.slack[stage]

        def fits(copy: Copy) -> bool:
            return (
                copy[0] == stage
                and max(copy[1], copy[2]) + slack <= minute
                and minute - copy[1] <= keeps
                and copy[9] != AWAY
                and (self.reuse or copy[6] < 0)
            )

        for taken, kept in pick(pool, fits, count):
            for others, last in self._fed(kept, minute, inputs[1:]):
                yield (*taken, *others), last

    def _made(
        self, state: State, minute: int, option: Option, taken: Pool, kept: Pool
    ) -> tuple[Pool, Due]:
        stage, staged = option.stage, minute + option.length
        touched = any(copy[3] for copy, _ in taken)
        origin = self.origin(state, stage)
        place = COMING if self.facts.placed[stage] else NOWHERE
        copy = (stage, staged, staged, touched, False, True, -1, 0, origin, place)
        due, begun = list(state.due), minute
        for phase, long in zip(option.phases, option.lengths, strict=True):
            if phase.zone in self.facts.zones:
                due.append((begun, begun + long, stage, origin, option.started, phase.zone or ""))
            begun += long
        spares = option.started - option.good
        if spares and self.facts.placed[stage]:
            until = min(staged + self.facts.stages[stage].keeps_min, self.facts.end)
            zone = self.facts.stages[stage].zone
            due.append((staged, until, stage, origin, spares, zone))
        return gathered((*kept, (copy, option.good))), tuple(sorted(due))
