"""What could be made at all: each stage's ways, its window, how many batches to consider."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from copy import copy
from dataclasses import dataclass, field, replace
from functools import cached_property
from threading import Lock

from app.planning.calls import Call, CallKey, Calls, ranks_of
from app.planning.day import Day, Demonstration, Stage, Way
from app.planning.families import families_of
from app.planning.frozen import Frozen
from app.planning.holds import Occupied
from app.planning.hours import EVER, Spans, joined, meet, starts_of_way, teams_of
from app.planning.minutes import Clock
from app.planning.needs import Needs, StageKey, needs_of
from app.planning.spares import started_for
from app.planning.supplies import stock_of
from app.planning.warmth import Warmth

MORE_TIMES = 3


@dataclass(frozen=True)
class Method:
    """A way that this kitchen can run, with what it really takes and gives."""

    way: Way
    takes: tuple[tuple[StageKey, int], ...]
    yields: int
    cost: float
    loss: float
    good_max: int
    started: tuple[int, ...]
    starts: Spans

    @property
    def started_max(self) -> int:
        """Return the largest batch, spares included."""
        return self.started[self.good_max]

    @property
    def shortest_min(self) -> int:
        """Return the minutes of the smallest batch."""
        return self.way.length_min(self.started[1])

    @property
    def longest_min(self) -> int:
        """Return the minutes of the largest batch."""
        return self.way.length_min(self.started_max)

    @property
    def hands_per_copy(self) -> float:
        """Return the crew minutes of one copy in the fullest batch."""
        phases = self.way.phases
        hands_min = sum(phase.hands * phase.length_min(self.started_max) for phase in phases)
        return hands_min / self.good_max

    def sets(self, started: int) -> int:
        """Return how many sets of inputs a batch of `started` takes."""
        return -(-started // self.yields)


@dataclass
class Making:
    """What is known of a stage before anything is decided. Minutes count from 1970 in UTC."""

    key: StageKey
    stage: Stage
    methods: tuple[Method, ...]
    slack_min: int
    staged: Spans = ()
    ready: Spans = ()
    calls: dict[str, Call] = field(default_factory=dict)

    @property
    def staged_from(self) -> int:
        """Return the first minute at which a copy can be staged; EVER if there is none."""
        return self.staged[0][0] if self.staged else EVER

    @property
    def code(self) -> str:
        """Return the name of the stage in the model."""
        return f"{self.key[0]}/{self.key[1]}"


class Scope:
    """A day as the planner sees it: needs, makings and their windows.

    Where a day is under way, only what is still to come is planned: `prep_from` is now, and what
    has begun is there as supplies and as holds of items.
    """

    def __init__(self, day: Day, frozen: Frozen | None = None) -> None:
        self.day = day
        self.clock = Clock(day.timezone)
        self.needs: Needs = needs_of(day) if frozen is None else frozen.needs_to_come
        self.teams = teams_of(day)
        self.prep_from = self.clock.minute(day.prep_from)
        if frozen is not None:
            self.prep_from = max(self.prep_from, frozen.now)
        self.supplies = tuple(stock_of(day)) if frozen is None else frozen.supplies
        self.occupied = Occupied(() if frozen is None else frozen.holds)
        self.published = None if frozen is None else frozen.published
        self.rooms = {} if frozen is None else {room.zone: room for room in frozen.rooms}
        self.lit = () if frozen is None else frozen.lit
        self.warmth = Warmth(self.prep_from, self.occupied.holds, self.lit)
        self.makings = {
            (demonstration.id, stage.id): self._making(demonstration, stage)
            for demonstration, stage in day.all_stages()
        }
        self._look_forward()
        self.told: dict[CallKey, int] = {}
        self.telling = Lock()
        self.ranks = ranks_of(self.needs.uses)
        self._call(self.kin)

    @cached_property
    def kin(self) -> dict[str, frozenset[str]]:
        """Return for each demonstration its family, itself included."""
        return {each: family for family in families_of(self) for each in family}

    def hands_until(self, minute: int) -> int:
        """Return for how many minutes the crew is there up to a minute, each cook counted."""
        return sum(
            len(team.cooks) * max(0, min(end, minute) - max(start, self.prep_from))
            for team in self.teams
            for start, end in team.shifts
        )

    def _call(self, members: Collection[str]) -> None:
        calls = Calls(self, members, told=self.told)
        for key, of_stage in calls.of.items():
            self.makings[key].calls = of_stage

    def calls_of(self, members: Iterable[str]) -> Iterator[tuple[StageKey, Call]]:
        """Yield the calls of the stages of some demonstrations."""
        wanted = set(members)
        for key, making in self.makings.items():
            if key[0] in wanted:
                for call in making.calls.values():
                    yield key, call

    def no_batches(self, members: Iterable[str]) -> dict[str, int]:
        """Return, for the batches considered of some demonstrations, that none is made."""
        return {
            f"{self.makings[key].code}/{call.run}/{i} present": 0
            for key, call in self.calls_of(members)
            for i in range(call.batches)
        }

    def consider_more(self, keys: Iterable[StageKey], by: int | None = None) -> bool:
        """Consider more batches of some stages; tell whether there are any more that could be.

        Parameters
        ----------
        keys
            The stages.
        by
            How many more of each call; None: several times as many.
        """
        cut = {
            (key, call.run): MORE_TIMES * call.batches if by is None else call.batches + by
            for key in keys
            for call in self.makings[key].calls.values()
            if call.is_cut
        }
        self.consider(cut)
        return bool(cut)

    def consider(self, batches: Mapping[CallKey, int]) -> None:
        """Consider so many batches of some calls."""
        with self.telling:
            self.told = {**self.told, **batches}
            self._call(frozenset().union(*(self.kin[key[0]] for key, _ in batches)))

    def considering(self, batches: Mapping[CallKey, int]) -> "Scope":
        """Return the same day with so many batches of some calls considered."""
        other = copy(self)
        other.makings = {key: replace(making) for key, making in self.makings.items()}
        other.consider(batches)
        return other

    @cached_property
    def consumers(self) -> dict[StageKey, list[StageKey]]:
        """Return for each stage the stages that are made from it."""
        found: dict[StageKey, list[StageKey]] = {key: [] for key in self.makings}
        for key, making in self.makings.items():
            for taken in sorted({taken for each in making.methods for taken, _ in each.takes}):
                found[taken].append(key)
        return found

    @cached_property
    def inputs_first(self) -> list[StageKey]:
        """Return the stages so that inputs come before what is made from them."""
        done: dict[StageKey, None] = {}

        def visit(key: StageKey) -> None:
            if key in done:
                return
            for each in self.makings[key].methods:
                for taken, _ in each.takes:
                    visit(taken)
            done[key] = None

        for key in self.makings:
            visit(key)
        return list(done)

    def _making(self, demonstration: Demonstration, stage: Stage) -> Making:
        methods = tuple(
            method
            for way in stage.ways
            if (method := self._method(demonstration, stage, way)) is not None
        )
        slack_min = min(self.day.policy.step_slack_min, stage.keeps_min // 2)
        return Making((demonstration.id, stage.id), stage, methods, slack_min)

    def _method(self, demonstration: Demonstration, stage: Stage, way: Way) -> Method | None:
        """Rule `before`: return how a way can be run from the start of the prep, or now, on."""
        loss, confidence = stage.loss_by(way), self.day.policy.confidence
        most = self._largest_batch(way)
        started = [0]
        while (next_started := started_for(len(started), loss, confidence)) <= most:
            started.append(next_started)
        if len(started) == 1 or not self._crew_can(way):
            return None
        starts = starts_of_way(self.teams, way, started[1], started[-1])
        starts = meet(starts, ((self.prep_from, EVER),))
        if not starts:
            return None
        takes = tuple(
            ((each.demonstration or demonstration.id, each.stage), each.count)
            for each in stage.takes_by(way)
        )
        yields, cost = stage.yields_by(way), stage.cost_by(way)
        return Method(way, takes, yields, cost, loss, len(started) - 1, tuple(started), starts)

    def _largest_batch(self, way: Way) -> int:
        """Return the most copies of one batch that fit `batch_max` and one item of each kind."""
        entries = [entry for phase in way.phases for entry in phase.equipment]
        room = {entry.kind: 0 for entry in entries}
        for item in self.day.kitchen.equipment:
            if item.kind in room:
                room[item.kind] = max(room[item.kind], item.units)
        most = way.batch_max
        for entry in entries:
            free = room[entry.kind] - entry.per_batch
            if free < 0:
                return 0
            if entry.copies_per_unit is not None:
                most = min(most, free * entry.copies_per_unit)
        return most

    def _crew_can(self, way: Way) -> bool:
        crew = self.day.kitchen.crew
        for phase in way.phases:
            skilled = [cook for cook in crew if phase.skill is None or phase.skill in cook.skills]
            if phase.hands > len(crew) or (phase.hands and not skilled):
                return False
        return True

    def _look_forward(self) -> None:
        """Find the earliest minute at which each stage can be staged."""
        for key in self.inputs_first:
            making = self.makings[key]
            methods = [self._from_inputs_on(method) for method in making.methods]
            making.methods = tuple(method for method in methods if method.starts)
            made = [
                (start + method.shortest_min, end + method.longest_min)
                for method in making.methods
                for start, end in method.starts
            ]
            there = self._there(key)
            slack_min, keeps_min = making.slack_min, making.stage.keeps_min
            making.staged = joined([*made, *((staged, staged) for staged, _ in there)])
            ready = [(first + slack_min, last + keeps_min) for first, last in made]
            ready += [(back + slack_min, staged + keeps_min) for staged, back in there]
            making.ready = joined(span for span in ready if span[0] <= span[1])

    def _there(self, key: StageKey) -> list[tuple[int, int]]:
        """Return when copies of a stage that need no batch are staged, and when they are back."""
        there = [(each.staged, each.ready) for each in self.supplies if each.stage == key]
        return there + [(left.staged, left.back) for left in self.needs.left if left.stage == key]

    def _from_inputs_on(self, method: Method) -> Method:
        """Return a method that can start only when its oven and its inputs can be ready."""
        starts = meet(method.starts, ((self._warm_from(method.way), EVER),))
        for taken, _ in method.takes:
            starts = meet(starts, self.makings[taken].ready)
        return replace(method, starts=starts)

    def _warm_from(self, way: Way) -> int:
        """Return the first minute at which the first phase can find its oven warm."""
        warm = [self.prep_from]
        for entry in way.phases[0].equipment:
            items = [item for item in self.day.kitchen.equipment if item.kind == entry.kind]
            first = (self.warmth.from_(item, entry.setting) for item in items)
            warm.append(min(first, default=self.prep_from))
        return max(warm)
