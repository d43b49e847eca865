"""The pull list: what to fetch for each stage and for each beat, as plain values."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.food.larder import Larder
from app.planning.day import Beat, Day, Demonstration, Leaving, Need, Run, Stage
from app.planning.fetches import Fetch, Fetches
from app.planning.minutes import Clock
from app.planning.moments import left_minute, use_minute
from app.planning.needs import needs_of
from app.planning.plan import Batch, Copy, Plan, Use
from app.planning.standing import place_in_words
from app.planning.takings import sets_of
from app.planning.tasks import tags_in_words
from app.planning.weighing import NO_LARDER
from app.planning.weighing import Amount as Amount
from app.planning.weighing import multiplied as multiplied


@dataclass(frozen=True)
class BatchPull:
    """What one batch takes and gives; `starts` and `ends` are minutes of the day's `Clock`."""

    batch: str
    starts: int
    ends: int
    way_name: str
    people: tuple[str, ...]
    copies: int
    sets: int
    tags: tuple[str, ...]
    inputs: tuple[Fetch, ...]
    goes: tuple[Fetch, ...]
    ingredients: tuple[Amount, ...]

    @property
    def label(self) -> str:
        """Return the tags as a cook says them."""
        return tags_in_words(self.tags)


@dataclass(frozen=True)
class StagePull:
    """All that goes into one stage over the whole plan.

    `containers` are those of all batches together; fewer do where some are free again in between.
    """

    demonstration: str
    title: str
    stage: str
    name: str
    copies: int
    batches: tuple[BatchPull, ...]
    ingredients: tuple[Amount, ...]
    tools: tuple[str, ...]
    container: str
    containers: int
    look: str
    caution: str


@dataclass(frozen=True)
class NeedPull:
    """What one need of a beat takes to set, and what stands by; `lacks` counts what is short."""

    stage_name: str
    takes: tuple[Fetch, ...]
    backups: tuple[Fetch, ...]
    lacks: int
    lacks_backups: int
    untouched: bool


@dataclass(frozen=True)
class BeatPull:
    """What goes to set for one beat of one run; times are minutes of the day's `Clock`."""

    run: str
    run_name: str
    demonstration: str
    title: str
    beat: str
    beat_name: str
    fetch_by: int
    starts: int
    needs: tuple[NeedPull, ...]
    back_at: int
    comes_back: tuple[Fetch, ...]
    ingredients: tuple[Amount, ...]
    tools: tuple[str, ...]
    dressing: tuple[str, ...]
    note: str


def stage_pulls(day: Day, plan: Plan, larder: Larder = NO_LARDER) -> list[StagePull]:
    """Return a pull list for each stage that the plan makes, as the stages stand in the day.

    Parameters
    ----------
    day, plan
        The plan and the day that it was worked out for.
    larder
        The measures in which amounts are shown, and the house's own weights.
    """
    reader = _Reader(day, plan, larder)
    made: dict[tuple[str, str], list[Batch]] = {}
    for batch in sorted(plan.batches, key=lambda each: reader.clock.minute(each.starts)):
        made.setdefault((batch.demonstration, batch.stage), []).append(batch)
    return [
        reader.stage(demonstration, stage, made[demonstration.id, stage.id])
        for demonstration, stage in day.all_stages()
        if (demonstration.id, stage.id) in made
    ]


def beat_pulls(day: Day, plan: Plan, larder: Larder = NO_LARDER) -> list[BeatPull]:
    """Return what goes to set, a beat of a run each, in the order in which they air."""
    reader = _Reader(day, plan, larder)
    found = [
        reader.beat(run, beat)
        for run in day.runs
        if not run.dry
        for beat in day.beats_of(run)
        if beat.needs or beat.leaves or beat.ingredients or beat.tools or beat.dressing
    ]
    return sorted(found, key=lambda pull: (pull.starts, pull.run, pull.beat))


def containers_of(stage: Stage, copies: int) -> int:
    """Return how many containers a batch fills: copies that share a slot share one."""
    return -(-copies // (stage.copies_per_slot or 1))


class _Reader:
    """Reads pull lists out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, larder: Larder) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.larder = larder
        self.fetches = Fetches(day, plan)
        self.copies = self.fetches.copies
        self.cooks = {cook.id: cook.called for cook in day.kitchen.crew}
        self.uses = {(use.run, use.beat, use.stage): use for use in plan.uses}
        self.needs = {(use.run, use.beat, use.stage[1]): use for use in needs_of(day).uses}

    def stage(self, demonstration: Demonstration, stage: Stage, batches: list[Batch]) -> StagePull:
        pulls = tuple(self.batch(stage, batch) for batch in batches)
        copies, sets = sum(each.copies for each in pulls), sum(each.sets for each in pulls)
        return StagePull(
            demonstration=demonstration.id,
            title=demonstration.title,
            stage=stage.id,
            name=stage.called,
            copies=copies,
            batches=pulls,
            ingredients=multiplied(stage.ingredients, copies, sets, len(pulls), self.larder),
            tools=stage.tools,
            container=stage.container,
            containers=sum(containers_of(stage, each.copies) for each in pulls),
            look=stage.look,
            caution=stage.caution,
        )

    def batch(self, stage: Stage, batch: Batch) -> BatchPull:
        way = next(way for way in stage.ways if way.id == batch.way)
        starts, ends = self.clock.minute(batch.starts), self.clock.minute(batch.ends)
        sets = sets_of(self.day, batch)
        crew = dict.fromkeys(cook for phase in batch.phases for cook in phase.crew)
        return BatchPull(
            batch=batch.id,
            starts=starts,
            ends=ends,
            way_name=way.called,
            people=tuple(self.cooks.get(cook, cook) for cook in crew),
            copies=len(batch.copies),
            sets=sets,
            tags=tuple(self.copies[copy].tag for copy in batch.copies),
            inputs=self.fetches.fetched(batch.consumes, starts),
            goes=self.fetches.put_down(batch.copies),
            ingredients=multiplied(stage.ingredients, len(batch.copies), sets, 1, self.larder),
        )

    def beat(self, run: Run, beat: Beat) -> BeatPull:
        demonstration = self.day.demonstration(run.demonstration)
        starts = use_minute(self.day, run.id, beat.id)
        margins = [self.needs[run.id, beat.id, need.stage].margin_min for need in beat.needs]
        return BeatPull(
            run=run.id,
            run_name=run.called,
            demonstration=demonstration.id,
            title=demonstration.title,
            beat=beat.id,
            beat_name=beat.called,
            fetch_by=starts - max(margins, default=0),
            starts=starts,
            needs=tuple(self._need(run, beat, need) for need in beat.needs),
            back_at=left_minute(self.day, run.id, beat.id) + self.day.policy.return_min,
            comes_back=tuple(self._back(run, beat)),
            ingredients=multiplied(beat.ingredients, run.stations, run.stations, 1, self.larder),
            tools=beat.tools,
            dressing=beat.dressing,
            note=beat.note,
        )

    def _need(self, run: Run, beat: Beat, need: Need) -> NeedPull:
        use = self.uses.get((run.id, beat.id, need.stage))
        use = use or Use(run=run.id, beat=beat.id, stage=need.stage)
        minute = use_minute(self.day, run.id, beat.id)
        wanted = self.needs[run.id, beat.id, need.stage].count
        return NeedPull(
            stage_name=self.day.stage(run.demonstration, need.stage).called,
            takes=self.fetches.fetched(use.copies, minute),
            backups=self.fetches.fetched(use.backups, minute),
            lacks=max(0, wanted - len(use.copies)),
            lacks_backups=max(0, need.backups - len(use.backups)),
            untouched=need.untouched,
        )

    def _back(self, run: Run, beat: Beat) -> Iterator[Fetch]:
        """Yield what comes back from set: what is used again by its tag, the rest by number."""
        for leaving in beat.leaves:
            known = self._left(run, beat, leaving)
            yield from self.fetches.gathered(
                (copy, self._place_after(copy, run, beat), self._next(copy, run, beat))
                for copy in known
            )
            rest = self._times(run, leaving) - len(known)
            if rest > 0 and not self._is_short(run, beat):
                name = self.day.stage(run.demonstration, leaving.stage).called
                yield Fetch(name, (f"{rest} ×",), "", "not used again")

    def _left(self, run: Run, beat: Beat, leaving: Leaving) -> list[Copy]:
        taken = self.uses.get((run.id, beat.id, leaving.stage))
        handed = taken.copies[: self._times(run, leaving)] if taken else ()
        made = [
            copy.id
            for copy in self.plan.copies
            if copy.made_by.use == (run.id, beat.id) and copy.stage == leaving.stage
        ]
        return [self.copies[copy] for copy in (*handed, *made)]

    def _times(self, run: Run, leaving: Leaving) -> int:
        return leaving.count * (run.stations if leaving.per_station else 1)

    def _is_short(self, run: Run, beat: Beat) -> bool:
        """Return whether the beat lacks a copy: then it leaves only what it hands back."""
        return any(self._need(run, beat, need).lacks for need in beat.needs)

    def _next(self, copy: Copy, run: Run, beat: Beat) -> str:
        after = use_minute(self.day, run.id, beat.id) + 1
        return self.fetches.destinations.of(copy, after) or "not used again"

    def _place_after(self, copy: Copy, run: Run, beat: Beat) -> str:
        left = left_minute(self.day, run.id, beat.id)
        for place in copy.places:
            if self.clock.minute(place.from_) >= left:
                return place_in_words(self.day, place.shelf, place.level, place.slot)
        return ""
