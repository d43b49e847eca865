"""What a search for the rest of the day must take as it is, from the state of a production.

The search plans the state's day from now on: the beats that have begun are gone from its needs,
the batches that have begun from its choices. What they leave behind are supplies, times in which
crew and equipment are not free, and slots that are taken.
"""

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from app.planning.begun import Begun, Span
from app.planning.day import Day, Phase
from app.planning.day_now import without
from app.planning.difference import weight_at
from app.planning.happened import Happened, Spot
from app.planning.holds import Hold, holds_of
from app.planning.hours import Spans, shifts_of
from app.planning.minutes import Clock
from app.planning.needs import BeatKey, Needs, StageKey, needs_of
from app.planning.plan import Heat, Origin, Plan
from app.planning.supplies import Supply, supplies_of


@dataclass(frozen=True)
class Lit:
    """An item that is, or is being, brought to a setting for a batch that has not begun.

    It is there from `ends` on; a minute from 1970 in UTC, before now where the batch is late.
    """

    item: str
    setting: int
    ends: int


@dataclass(frozen=True)
class Uncovered:
    """A phase to come of a batch that has begun, for which its planned crew are not there."""

    batch: str
    phase: int
    starts: int
    ends: int
    hands: int
    skill: str | None


@dataclass(frozen=True)
class Taken:
    """A slot that copies stand in now: until `ends` or, if that is None, until they are taken."""

    spot: Spot
    stage: StageKey
    origin: Origin
    copies: int
    ends: int | None


@dataclass(frozen=True)
class Published:
    """A batch of the published plan that has not begun; moving or dropping it weighs `weight`."""

    batch: str
    stage: StageKey
    way: str
    starts: int
    copies: int
    weight: int


@dataclass(frozen=True)
class Shelved:
    """How much room a search may use in a zone, and what stands there whatever is planned.

    `slots` counts the slots that the search leaves free; `standing` has starts, ends, slots.
    """

    zone: str
    slots: int
    standing: tuple[tuple[int, int, int], ...]


@dataclass(frozen=True)
class Frozen:
    """The facts of a search for the rest of the day.

    `day` is the day as it now stands, with the shifts of the crew cut by what they are with;
    nothing starts before `now`; `ends` is the end of the production; `rooms` are the zones whose
    shelves matter.
    """

    day: Day
    now: int
    ends: int
    aired: frozenset[BeatKey]
    supplies: tuple[Supply, ...]
    holds: tuple[Hold, ...]
    lit: tuple[Lit, ...]
    uncovered: tuple[Uncovered, ...]
    taken: tuple[Taken, ...]
    published: tuple[Published, ...]
    rooms: tuple[Shelved, ...] = ()

    @property
    def needs_to_come(self) -> Needs:
        """Return what the beats that have not begun need and leave, anew numbered."""
        needs = needs_of(self.day)
        uses = [use for use in needs.uses if use.at not in self.aired]
        left = [each for each in needs.left if each.at not in self.aired]
        return Needs(
            tuple(replace(use, index=index) for index, use in enumerate(uses)),
            tuple(left),
            self.ends,
        )


def frozen_of(state: Happened, plan: Plan) -> Frozen:
    """Return what a search for the rest of the day must take as it is.

    Parameters
    ----------
    state
        The state now, of the published plan.
    plan
        The published plan.
    """
    reader = _Reader(state, plan)
    covered, uncovered = reader.crews()
    return Frozen(
        day=reader.day_without(covered),
        now=state.now,
        ends=needs_of(state.day).end,
        aired=state.aired,
        supplies=tuple(supplies_of(state, plan)),
        holds=tuple(reader.holds()),
        lit=tuple(reader.lit()),
        uncovered=tuple(uncovered),
        taken=tuple(reader.taken()),
        published=tuple(reader.published()),
    )


class _Reader:
    """Reads frozen facts out of one state."""

    def __init__(self, state: Happened, plan: Plan) -> None:
        self.state, self.plan, self.day, self.now = state, plan, state.day, state.now
        self.clock = Clock(state.day.timezone)
        self.items = {item.id: item for item in state.day.kitchen.equipment}
        self.running = [begun for begun in state.begun.values() if begun.ends > state.now]

    def holds(self) -> Iterator[Hold]:
        """Yield what batches that have begun hold, or held, in order of time."""
        found = [
            hold
            for begun in self.state.begun.values()
            for hold in holds_of(self.day, begun.batch, begun.spans)
        ]
        yield from sorted(found, key=lambda hold: (hold.starts, hold.ends, hold.item))

    def lit(self) -> Iterator[Lit]:
        """Yield what was lit before now and has not been in use since; as planned, unticked."""
        last = {heat.equipment: heat for heat in self.plan.heats if self._was_lit(heat)}
        used = {hold.item: hold.starts for hold in self.holds()}
        for item, heat in last.items():
            starts, ends = self.clock.minute(heat.starts), self.clock.minute(heat.ends)
            settings = self.items[item].settings if item in self.items else None
            is_hot = settings is not None and self.now - ends <= settings.cold_after
            if is_hot and used.get(item, starts - 1) < starts:
                yield Lit(item, heat.setting, ends)

    def _was_lit(self, heat: Heat) -> bool:
        return self.clock.minute(heat.starts) < self.now

    def _phase(self, begun: Begun, number: int) -> Phase:
        batch = begun.batch
        stage = self.day.stage(batch.demonstration, batch.stage)
        return stage.way(batch.way).phases[number]

    def crews(self) -> tuple[dict[str, list[Span]], list[Uncovered]]:
        """Return when crew are with what has begun, and the phases that lack their crew.

        Where nobody could take over, those planned see to it, also beyond their shift.
        """
        shifts = {cook.id: shifts_of(self.clock, cook) for cook in self.day.kitchen.crew}
        covered: dict[str, list[Span]] = {}
        uncovered = []
        for begun in self.running:
            for number, (starts, ends) in enumerate(begun.spans):
                if ends <= self.now:
                    continue
                crew = begun.batch.phases[number].crew
                there = [cook for cook in crew if _is_within(starts, ends, shifts.get(cook, ()))]
                phase = self._phase(begun, number)
                others = {cook for cook in shifts if _is_within(starts, ends, shifts[cook])}
                is_alone = starts >= self.now and len(there) < len(crew)
                if is_alone and self._can_do(phase, others):
                    hands, skill = phase.hands, phase.skill
                    part = Uncovered(begun.batch.id, number, starts, ends, hands, skill)
                    uncovered.append(part)
                    continue
                for cook in crew:
                    covered.setdefault(cook, []).append((max(starts, self.now), ends))
        return covered, uncovered

    def _can_do(self, phase: Phase, there: Collection[str]) -> bool:
        """Tell whether those who are there are enough for a phase, and one of them able."""
        skills = {
            skill for cook in self.day.kitchen.crew if cook.id in there for skill in cook.skills
        }
        return len(there) >= phase.hands and (phase.skill is None or phase.skill in skills)

    def day_without(self, covered: dict[str, list[Span]]) -> Day:
        """Return the day without the shifts in which crew are with what has begun."""
        crew = tuple(
            without(self.clock, cook, covered.get(cook.id, [])) for cook in self.day.kitchen.crew
        )
        kitchen = self.day.kitchen.model_copy(update={"crew": crew})
        return self.day.model_copy(update={"kitchen": kitchen})

    def taken(self) -> Iterator[Taken]:
        """Yield the slots that something stands in now."""
        standing: Counter[tuple[Spot, StageKey, Origin]] = Counter()
        for known in self.state.copies.values():
            if known.spot is not None:
                stage = (known.copy.demonstration, known.copy.stage)
                standing[known.spot, stage, known.copy.made_by] += 1
        for (spot, stage, origin), copies in standing.items():
            yield Taken(spot, stage, origin, copies, None)
        for begun in self.running:
            stage = (begun.batch.demonstration, begun.batch.stage)
            for (starts, ends), phase in zip(begun.spans, begun.batch.phases, strict=True):
                for where in (phase.places or ()) if starts <= self.now < ends else ():
                    spot = where.shelf, where.level, where.slot
                    origin = Origin(batch=begun.batch.id)
                    yield Taken(spot, stage, origin, where.copies or 1, ends)

    def published(self) -> Iterator[Published]:
        """Yield the batches of the published plan that have not begun."""
        for batch in self.plan.batches:
            if batch.id not in self.state.begun:
                starts = self.clock.minute(batch.starts)
                yield Published(
                    batch=batch.id,
                    stage=(batch.demonstration, batch.stage),
                    way=batch.way,
                    starts=starts,
                    copies=len(batch.copies),
                    weight=weight_at(starts, self.now),
                )


def _is_within(starts: int, ends: int, shifts: Spans) -> bool:
    return any(a <= starts and ends <= b for a, b in shifts)
