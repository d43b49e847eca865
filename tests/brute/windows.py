"""At which minutes a batch may start at all, and until when a copy may still be wanted."""

from functools import lru_cache

from tests.brute.facts import Facts, Option
from tests.brute.kitchen import Kitchen


class Windows:
    """Minutes that no plan leaves: cut away before the search, by necessary conditions only."""

    def __init__(self, facts: Facts, kitchen: Kitchen) -> None:
        self.facts, self.kitchen = facts, kitchen
        self.wanted: list[list[tuple[int, int, int, bool]]] = [[] for _ in facts.stages]
        for want in facts.wants:
            oldest = want.start - want.oldest
            self.wanted[want.stage].append((want.due, oldest, want.due, False))
            self.wanted[want.stage].append((want.start, oldest, want.start + 10**6, True))
            if want.backups:
                self.wanted[want.stage].append((want.start, oldest, want.due, False))
        self.starts = [self._first_guess(option) for option in facts.options]
        while self._narrow():
            pass
        self.uses = [self._uses_of(stage) for stage in range(len(facts.stages))]
        self.alive = lru_cache(maxsize=None)(self._alive)
        self.cap = lru_cache(maxsize=None)(self._cap)

    def _first_guess(self, option: Option) -> set[int]:
        last = max((want.due for want in self.facts.wants), default=self.facts.prep)
        minutes = range(self.facts.prep, last - option.length + 1)
        return {minute for minute in minutes if self._can_run(option, minute)}

    def _can_run(self, option: Option, minute: int) -> bool:
        crew, items = self.kitchen.empty()
        staffed = next(self.kitchen.staffed(crew, option, minute), None)
        return (
            staffed is not None
            and next(self.kitchen.housed(items, option, minute), None) is not None
        )

    def _narrow(self) -> bool:
        """Drop starts without a taker or without inputs; tell whether any went."""
        feeds = [self._uses_of(stage) for stage in range(len(self.facts.stages))]
        ready = self._ready()
        dropped = False
        for number, option in enumerate(self.facts.options):
            for minute in sorted(self.starts[number]):
                staged = minute + option.length
                taken = any(
                    low <= staged <= high and not on_set
                    for _, low, high, on_set in feeds[option.stage]
                )
                if not taken or not all(
                    any(self._fits(stage, each, minute) for each in ready[stage])
                    for stage, _ in option.inputs
                ):
                    self.starts[number].discard(minute)
                    dropped = True
        return dropped

    def _fits(self, stage: int, staged: int, minute: int) -> bool:
        keeps = self.facts.stages[stage].keeps_min
        return minute - keeps <= staged <= minute - self.facts.slack[stage]

    def _ready(self) -> list[set[int]]:
        ready: list[set[int]] = [set() for _ in self.facts.stages]
        for number, option in enumerate(self.facts.options):
            ready[option.stage] |= {each + option.length for each in self.starts[number]}
        for stock in self.facts.day.stock:
            stage = self.facts.index[stock.demonstration, stock.stage]
            ready[stage].add(self.facts.clock.minute(stock.staged))
        for moment in self.facts.moments:
            for stage, _ in moment.new:
                ready[stage].add(-(-moment.end_s // 60))
        return ready

    def _uses_of(self, stage: int) -> list[tuple[int, int, int, bool]]:
        """Return (minute of the decision, staged from, staged to, on set only) of each taker."""
        keeps, slack = self.facts.stages[stage].keeps_min, self.facts.slack[stage]
        minutes = {
            minute
            for number, option in enumerate(self.facts.options)
            if any(each == stage for each, _ in option.inputs)
            for minute in self.starts[number]
        }
        return self.wanted[stage] + [(m, m - keeps, m - slack, False) for m in sorted(minutes)]

    def _alive(self, stage: int, staged: int, minute: int, left: bool) -> bool:
        """Tell whether something after `minute` could still take or count such a copy."""
        return any(
            at > minute and low <= staged <= high and (left or not on_set)
            for at, low, high, on_set in self.uses[stage]
        )

    def _cap(self, stage: int, minute: int) -> int:
        """Return how many copies of a stage everything from `minute` on could want at most."""
        wants = [w for w in self.facts.wants if w.stage == stage and w.start >= minute]
        total = sum(want.count + want.backups for want in wants)
        eaters: dict[int, int] = {}
        for number, option in enumerate(self.facts.options):
            if not any(each >= minute for each in self.starts[number]):
                continue
            for each, count in option.inputs:
                if each == stage:
                    each_good = -(-count // option.good)
                    eaters[option.stage] = max(eaters.get(option.stage, 0), each_good)
        return total + sum(most * self.cap(eater, minute) for eater, most in eaters.items())
