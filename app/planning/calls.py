"""For which run a batch is first called for: when it must be made then, and how many may be.

Every batch has one run among those that it serves, directly or through what is made from it,
whose needs come first. That run's call gives the batch its window, which is far narrower than
the window of the whole stage, and keeps batches of one stage apart that are otherwise alike.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from app.planning.day import Phase
from app.planning.hours import EVER, first_in, last_in
from app.planning.needs import StageKey, Use

if TYPE_CHECKING:
    from app.planning.scope import Making, Method, Scope

CallKey = tuple[StageKey, str]
MORE = 1
SMALL = 10


@dataclass
class Most:
    """The most that could be of use of a stage for one run.

    `copies` are for its needs, `first` for those and for all that is made first for them,
    `good` in one batch, its later runs included, and `batches` how many batches.
    """

    copies: int = 0
    first: int = 0
    good: int = 0
    batches: int = 0


@dataclass
class Call:
    """What one run may call for of a stage. Minutes count from 1970 in UTC.

    `staged_until` and `useful_from` bound when a batch that serves the run is staged. `any` holds
    for any number of batches, `considered` for as many as are considered of whatever is made from
    the stage. `likely` copies, and `likely_first` ones, pool what one batch can give; `moments`
    are at how many times batches are asked for, `apart` those that the kitchen brings about.
    """

    run: str
    rank: int
    staged_until: int = -EVER
    useful_from: int = EVER
    any: Most = field(default_factory=Most)
    considered: Most = field(default_factory=Most)
    likely: int = 0
    likely_first: int = 0
    likely_good: int = 0
    moments: int = 0
    apart: int = 1

    @property
    def batches(self) -> int:
        """Return how many batches to consider, each by itself."""
        return self.considered.batches

    @property
    def is_cut(self) -> bool:
        """Tell whether there could be more batches than are considered."""
        return self.considered.batches < self.any.batches

    def widen(self, staged_until: int, useful_from: int) -> None:
        """Let the window hold these minutes too."""
        self.staged_until = max(self.staged_until, staged_until)
        self.useful_from = min(self.useful_from, useful_from)


class Calls:
    """The calls of the stages of some families, those of earlier runs first.

    Parameters
    ----------
    scope
        The day, its windows known.
    members
        The demonstrations; all that share components are among them, or none.
    small
        Up to so many copies needed, every batch that could be is considered by itself.
    told
        How many batches to consider, by stage and run, where somebody knows better.
    """

    def __init__(
        self,
        scope: "Scope",
        members: Collection[str],
        small: int = SMALL,
        told: Mapping[CallKey, int] | None = None,
    ) -> None:
        self.scope, self.told = scope, told or {}
        keys = [key for key in reversed(scope.inputs_first) if key[0] in members]
        uses = [use for use in scope.needs.uses if use.stage[0] in members]
        self.of: dict[StageKey, dict[str, Call]] = {key: {} for key in keys}
        for use in uses:
            call = self._call(use.stage, use.run)
            call.widen(use.due, use.start - use.oldest_min)
        for key in keys:
            self._look_back(scope.makings[key])
        for use in uses:
            self._count_use(use)
        self.small = sum(use.count + use.backups for use in scope.needs.uses) <= small
        for key in keys:
            self._count(scope.makings[key])

    def _call(self, key: StageKey, run: str) -> Call:
        return self.of[key].setdefault(run, Call(run, self.scope.ranks[run]))

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
            copies = use.count + use.backups
            call.moments += 1
            call.likely += copies
            call.likely_first += copies
            for most in (call.any, call.considered):
                most.copies += copies
                most.first += copies

    def _count(self, making: "Making") -> None:
        """Find how many copies could be of use, in how many batches; tell the inputs."""
        calls = sorted(self.of[making.key].values(), key=lambda each: each.rank)
        self.of[making.key] = {call.run: call for call in calls}
        largest = max((method.good_max for method in making.methods), default=0)
        for i, call in enumerate(calls):
            later = [other for other in calls[i:] if other.useful_from <= call.staged_until]
            call.any.good = sum(other.any.copies for other in later)
            call.any.batches = min(call.any.first, call.any.good) if largest else 0
            call.considered.good = sum(other.considered.copies for other in later)
            call.considered.batches = self._batches(making, call)
            pooled = sum(other.likely for other in later)
            call.likely_good = min(pooled, call.batches * max(largest, 1))
            for taken in sorted({taken for each in making.methods for taken, _ in each.takes}):
                self._count_inputs(making, taken, call, largest)

    def _batches(self, making: "Making", call: Call) -> int:
        """Return how many batches to consider for a call: on a small day, all that could be."""
        if not making.methods:
            return 0
        most = min(call.considered.first, call.considered.good)
        if self.small:
            return most
        likely = max(self._full(making, call), call.moments) + MORE
        return min(most, self.told.get((making.key, call.run), likely))

    def _full(self, making: "Making", call: Call) -> int:
        thrifty = min(making.methods, key=lambda method: method.hands_per_copy)
        return -(-call.likely_first // thrifty.good_max)

    def _count_inputs(self, making: "Making", taken: StageKey, call: Call, largest: int) -> None:
        other = self.of[taken].get(call.run)
        if other is None:
            return
        for mine, its in ((call.any, other.any), (call.considered, other.considered)):
            first = min(mine.good, mine.batches * max(largest, 1))
            its.copies += _inputs_at_most(making, taken, mine.copies, mine.batches)
            its.first += _inputs_at_most(making, taken, first, mine.batches)
        other.apart = max(other.apart, self._times_apart(making, taken, call))
        other.moments = max(other.moments, call.moments, other.apart)
        other.likely += _inputs_pooled(making, taken, call.likely)
        other.likely_first += _inputs_pooled(making, taken, call.likely_good)

    def _times_apart(self, making: "Making", taken: StageKey, call: Call) -> int:
        """Return for how many times inputs must be made, as this kitchen can make of them only
        so much at once and they keep only so long."""
        batches = max(self._full(making, call), call.moments)
        thrifty = min(making.methods, key=lambda method: method.hands_per_copy)
        waits_min = max(
            (-(-batches // self._at_once(phase, thrifty)) - 1)
            * phase.length_min(thrifty.started_max)
            for phase in thrifty.way.phases
        )
        keeps_min = self.scope.makings[taken].stage.keeps_min
        return min(batches, 1 + waits_min // max(1, keeps_min))

    def _at_once(self, phase: Phase, method: "Method") -> int:
        """Return how many full batches can be in a phase together, hands and items permitting."""
        kitchen = self.scope.day.kitchen
        room = [len(kitchen.crew) // phase.hands] if phase.hands else []
        for entry in phase.equipment:
            items = [item for item in kitchen.equipment if item.kind == entry.kind]
            room.append(sum(item.units for item in items) // entry.units(method.started_max))
        return max(1, min(room, default=EVER))


def ranks_of(uses: Iterable[Use]) -> dict[str, int]:
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
