"""What every choice of a minute needs: the facts, goals in order, names for what is told."""

from tests.brute.facts import Facts
from tests.brute.kitchen import Kitchen
from tests.brute.shelves import Shelves
from tests.brute.state import Goals, Pool, State
from tests.brute.windows import Windows

NOTHING: Goals = (0, 0, 0, 0, 0)


class Choices:
    """The day that choices are made in."""

    def __init__(self, facts: Facts, kitchen: Kitchen, windows: Windows, scale: int) -> None:
        self.facts, self.kitchen, self.windows, self.scale = facts, kitchen, windows, scale
        self.shelves = Shelves(facts)
        policy = facts.day.policy
        self.reuse, self.back_min = policy.reuse, policy.return_min
        self.fresh = policy.prefer == "fresh"
        self.bound: Goals | None = None
        self.costs = [
            self.goals(cost=int(option.cost * scale), hands=option.hands_min)
            for option in facts.options
        ]

    def goals(self, unmet: int = 0, unbacked: int = 0, cost: int = 0, hands: int = 0,
              waiting: int = 0) -> Goals:  # fmt: skip
        """Return goals in the order of the day's policy."""
        last = (waiting, hands) if self.fresh else (hands, waiting)
        return (unmet, unbacked, cost, *last)

    def origin(self, state: State, stage: int, *others: int) -> int:
        """Return a number that nothing else about has; 0 where copies never share a slot."""
        if (self.facts.stages[stage].copies_per_slot or 1) == 1 or not self.facts.zones:
            return 0
        taken = state.origins() | set(others)
        return next(n for n in range(1, len(taken) + 2) if n not in taken)

    def use(self, use: int) -> str:
        """Return the name of a use, for the telling of a difference."""
        want = self.facts.wants[use]
        return f"{self.facts.moments[want.beat].label}:{self.facts.stages[want.stage].id}"

    def words(self, taken: Pool) -> str:
        """Return copies in words, for the telling of a difference."""
        return ", ".join(
            f"{n} {self.facts.names[copy[0]]} of {self.facts.clock.hour(copy[1])}"
            for copy, n in taken
        )
