"""What the rest of the day costs at least: true bounds, so that hopeless states can be left."""

from fractions import Fraction

from tests.brute.facts import Facts
from tests.brute.state import Goals, State
from tests.brute.windows import Windows


class Least:
    """Lower bounds of what is still to come, from counting copies alone."""

    def __init__(self, facts: Facts, windows: Windows, scale: int, fresh: bool) -> None:
        self.facts, self.windows, self.scale, self.fresh = facts, windows, scale, fresh
        self.last_start = [max(starts, default=-1) for starts in windows.starts]
        self.staged = [
            {start + option.length for start in starts}
            for option, starts in zip(facts.options, windows.starts, strict=True)
        ]
        self.eaters_first = self._eaters_first()
        self.each = [self._each(stage) for stage in range(len(facts.stages))]

    def _eaters_first(self) -> list[int]:
        order: list[int] = []
        left = set(range(len(self.facts.stages)))
        while left:
            eaten = {
                stage
                for option in self.facts.options
                if option.stage in left
                for stage, _ in option.inputs
            }
            free = sorted(left - eaten)
            order += free
            left -= set(free)
        return order

    def _each(self, stage: int) -> tuple[Fraction, Fraction, list[tuple[int, Fraction]]] | None:
        """Return what one copy takes at least: cost, hands, inputs."""
        options = [option for option in self.facts.options if option.stage == stage]
        if not options:
            return None
        inputs = []
        for eaten in range(len(self.facts.stages)):
            share = min(Fraction(dict(o.inputs).get(eaten, 0), o.good) for o in options)
            if share:
                inputs.append((eaten, share))
        cost = min(option.cost / option.good for option in options) * self.scale
        return cost, min(Fraction(o.hands_min, o.good) for o in options), inputs

    def goals(self, state: State, minute: int, settled: bool) -> Goals:
        """Return goals that every end of the day from `state` adds at least.

        `settled` says that no more copies may lack, so all that is still wanted must come.
        """
        unmet = self._lacks(state, minute)
        if unmet or not settled:
            return (unmet, 0, 0, 0, 0)
        cost, hands = self._made(state, minute)
        return (0, 0, cost, 0, hands) if self.fresh else (0, 0, cost, hands, 0)

    def _lacks(self, state: State, minute: int) -> int:
        lacks = 0
        for want in self.facts.wants:
            if want.due <= minute:
                continue
            low = want.start - want.oldest
            had = sum(
                n
                for copy, n in state.pool
                if copy[0] == want.stage
                and low <= copy[1]
                and (copy[1] <= want.due or copy[6] >= 0)
                and not (want.untouched and copy[3])
            )
            if had >= want.count or self._can_come(want.stage, low, want.due, minute):
                continue
            if not want.untouched:
                had += self._from_beats(want.stage, minute)
            lacks += max(0, want.count - had)
        return lacks

    def _can_come(self, stage: int, low: int, high: int, minute: int) -> bool:
        return any(
            option.stage == stage
            and self.last_start[i] > minute
            and any(
                low <= each <= high and each - option.length > minute for each in self.staged[i]
            )
            for i, option in enumerate(self.facts.options)
        )

    def _from_beats(self, stage: int, minute: int) -> int:
        """Return how many copies beats may still leave or hand back."""
        new = sum(
            n
            for moment in self.facts.moments
            if moment.start_s // 60 >= minute
            for each, n in moment.new
            if each == stage
        )
        back = [w.hands_back for w in self.facts.wants if w.stage == stage and w.start >= minute]
        return new + sum(back)

    def _made(self, state: State, minute: int) -> tuple[int, int]:
        demand = [0] * len(self.facts.stages)
        supply = [0] * len(self.facts.stages)
        for copy, n in state.pool:
            supply[copy[0]] += n
        for want in self.facts.wants:
            if want.due > minute:
                demand[want.stage] += want.count - want.hands_back
            elif want.start > minute:
                supply[want.stage] += want.hands_back
        for moment in self.facts.moments:
            if moment.start_s // 60 > minute:
                for stage, n in moment.new:
                    supply[stage] += n
        cost, hands = Fraction(0), Fraction(0)
        for stage in self.eaters_first:
            more = demand[stage] - supply[stage]
            each = self.each[stage]
            if more <= 0 or each is None:
                continue
            cost += more * each[0]
            hands += more * each[1]
            for eaten, share in each[2]:
                demand[eaten] += -int(-(share * more) // 1)
        return -int(-cost // 1), -int(-hands // 1)
