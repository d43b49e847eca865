"""For which run a batch is first called for: when it must be made then, and how many may be.

Every batch has one run among those that it serves, directly or through what is made from it,
whose needs come first. That run's call gives the batch its window, which is far narrower than
the window of the whole stage, and keeps batches of one stage apart that are otherwise alike.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.planning.hours import EVER, first_in, last_in
from app.planning.needs import StageKey, Use

if TYPE_CHECKING:
    from app.planning.scope import Making, Scope

MORE = 1
SMALL = 10


@dataclass
class Call:
    """What one run may call for of a stage. Minutes count from 1970 in UTC.

    `staged_until` and `useful_from` bound when a batch that serves the run is staged; `good_max`
    is the most copies of use in one batch, its later runs included; `batches` how many to consider.
    """

    run: str
    rank: int
    staged_until: int = -EVER
    useful_from: int = EVER
    most: int = 0
    likely: int = 0
    first_most: int = 0
    first_likely: int = 0
    moments: int = 0
    good_max: int = 0
    likely_max: int = 0
    batches: int = 0

    def widen(self, staged_until: int, useful_from: int) -> None:
        """Let the window hold these minutes too."""
        self.staged_until = max(self.staged_until, staged_until)
        self.useful_from = min(self.useful_from, useful_from)


class Calls:
    """The calls of every stage, those of earlier runs first."""

    def __init__(self, scope: "Scope", small: int = SMALL) -> None:
        self.scope = scope
        self.ranks = _ranks(scope.needs.uses)
        self.of: dict[StageKey, dict[str, Call]] = {key: {} for key in scope.makings}
        for use in scope.needs.uses:
            call = self._call(use.stage, use.run)
            call.widen(use.due, use.start - use.oldest_min)
        for key in reversed(scope.inputs_first):
            self._look_back(scope.makings[key])
        for use in scope.needs.uses:
            self._count_use(use)
        self.small = sum(use.count + use.backups for use in scope.needs.uses) <= small
        for key in reversed(scope.inputs_first):
            self._count(scope.makings[key])

    def _call(self, key: StageKey, run: str) -> Call:
        return self.of[key].setdefault(run, Call(run, self.ranks[run]))

    def _look_back(self, making: "Making") -> None:
        """Drop what is called for too soon; tell the inputs when they would be needed."""
        possible = {}
        for run, call in self.of[making.key].items():
            call.staged_until = last_in(making.staged, call.staged_until)
            call.useful_from = first_in(making.staged, call.useful_from)
            if call.useful_from <= call.staged_until:
                possible[run] = call
        self.of[making.key] = possible
        for run, call in possible.items():
            for method in making.methods:
                last_start = last_in(method.starts, call.staged_until - method.shortest_min)
                first_start = first_in(method.starts, call.useful_from - method.longest_min)
                for taken, _ in method.takes:
                    other = self.scope.makings[taken]
                    self._call(taken, run).widen(
                        last_start - other.slack_min, first_start - other.stage.keeps_min
                    )

    def _count_use(self, use: Use) -> None:
        call = self.of[use.stage].get(use.run)
        if call is not None:
            call.moments += 1
            _add(call, use.count + use.backups, use.count + use.backups)

    def _count(self, making: "Making") -> None:
        """Find how many copies could be of use, in how many batches; tell the inputs.

        `most` is safe: everything by itself. `likely` pools what one batch can give.
        """
        calls = sorted(self.of[making.key].values(), key=lambda each: each.rank)
        self.of[making.key] = {call.run: call for call in calls}
        largest = max((method.good_max for method in making.methods), default=1)
        for i, call in enumerate(calls):
            later = [other for other in calls[i:] if other.useful_from <= call.staged_until]
            call.good_max = sum(other.most for other in later)
            call.batches = self._batches(making, call)
            call.likely_max = min(sum(other.likely for other in later), call.batches * largest)
            for taken in sorted({taken for each in making.methods for taken, _ in each.takes}):
                self._count_inputs(making, taken, call, largest)

    def _batches(self, making: "Making", call: Call) -> int:
        """Return how many batches to consider for a call: on a small day, all that could be."""
        if not making.methods:
            return 0
        most = min(call.first_most, call.good_max)
        if self.small:
            return most
        thrifty = min(making.methods, key=lambda method: method.hands_per_copy)
        full = -(-call.first_likely // thrifty.good_max)
        return min(most, max(full, call.moments) + MORE)

    def _count_inputs(self, making: "Making", taken: StageKey, call: Call, largest: int) -> None:
        other = self.of[taken].get(call.run)
        if other is None:
            return
        first_most = min(call.good_max, call.batches * largest)
        other.most += _inputs_at_most(making, taken, call.most, call.batches)
        other.first_most += _inputs_at_most(making, taken, first_most, call.batches)
        other.moments = max(other.moments, call.moments)
        other.likely += _inputs_pooled(making, taken, call.likely)
        other.first_likely += _inputs_pooled(making, taken, call.likely_max)


def _add(call: Call, most: int, likely: int) -> None:
    call.most += most
    call.first_most += most
    call.likely += likely
    call.first_likely += likely


def _ranks(uses: Iterable[Use]) -> dict[str, int]:
    """Return the runs in the order of their first needs."""
    first: dict[str, tuple[int, int]] = {}
    for use in uses:
        at = (use.due, use.index)
        first[use.run] = min(first.get(use.run, at), at)
    return {run: rank for rank, run in enumerate(sorted(first, key=lambda run: first[run]))}


def _inputs_at_most(making: "Making", taken: StageKey, good: int, batches: int) -> int:
    """Return the most inputs of a stage that all batches together take for `good` copies."""
    in_all = 0
    for method in making.methods:
        count = sum(count for stage, count in method.takes if stage == taken)
        single = good * method.sets(method.started[1])
        pooled = good * method.started[1] // method.yields + batches
        in_all = max(in_all, min(single, pooled) * count)
    return in_all


def _inputs_pooled(making: "Making", taken: StageKey, good: int) -> int:
    """Return the inputs of a stage that the fullest batches take for `good` copies."""
    in_all = 0
    for method in making.methods:
        count = sum(count for stage, count in method.takes if stage == taken)
        full, rest = divmod(good, method.good_max)
        sets = full * method.sets(method.started_max) + method.sets(method.started[rest])
        in_all = max(in_all, sets * count)
    return in_all
