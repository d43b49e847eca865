"""The search for the rest of a day that is under way: as little is planned anew as will do."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from app.planning.crewing import name_crew
from app.planning.day import Day
from app.planning.day_now import without
from app.planning.descent import Answer, descend
from app.planning.draft import Draft, draft_of
from app.planning.figures import figures_of
from app.planning.frozen import Frozen, Shelved, frozen_of
from app.planning.happened import Happened
from app.planning.heats import heats_of
from app.planning.holds import Hold, holds_of
from app.planning.kept import Kept
from app.planning.links import warnings_of_plan
from app.planning.minutes import Clock
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.plan import GOALS, Bounds, Objective, Plan
from app.planning.scope import Scope
from app.planning.settled import Settled
from app.planning.solve import never, nobody, still
from app.planning.standin import stand_in
from app.planning.touched import touched
from app.planning.watch import Progress, Watch
from app.planning.whole import whole_draft
from app.planning.why import counts_of
from app.planning.writing import batches_of, copies_of, lacks_of, uses_of

WORK = 4.0
LEFT_FREE = (0, 1, 2, 4, 8, 10**6)
FIRST = ("unmet", "unbacked", "changes", "cost")


def mend(
    state: Happened,
    plan: Plan,
    *,
    seconds: float | None = None,
    now: Callable[[], float] = still,
    stop: Callable[[], bool] = never,
    tell: Callable[[Progress], None] = nobody,
) -> Plan:
    """Return the best plan for the rest of a day that is under way.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    seconds, now, stop, tell
        As for `solve`.
    """
    return Mending(state, plan, Watch(seconds, now, stop, tell)).mended()


class Mending:
    """One search.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    watch
        The limits, and who is told.
    """

    def __init__(self, state: Happened, plan: Plan, watch: Watch) -> None:
        self.state, self.plan, self.watch, self.day = state, plan, watch, state.day
        self.frozen = frozen_of(state, plan)
        self.scope = Scope(state.day)
        self.needs = self.scope.needs
        self.everybody = frozenset(each.id for each in state.day.demonstrations)
        self.clock = Clock(state.day.timezone)
        self.goals = (*FIRST, "hands_min", "waiting_min", "early_min")
        if state.day.policy.prefer == "fresh":
            self.goals = (*FIRST, "waiting_min", "hands_min", "early_min")

    def mended(self) -> Plan:
        """Return the best plan found."""
        free = self._with_kin(touched(self.state, self.plan, self.frozen, self.needs))
        part = self._placed(free, _Part(self, free))
        return part.written()

    def _placed(self, free: frozenset[str], part: "_Part") -> "_Part":
        """Return a plan in which everything has its place; room is left free until it has."""
        rooms: tuple[Shelved, ...] = ()
        for slots in LEFT_FREE:
            full = part.settled.full
            if not full:
                break
            free |= self._with_kin(part.settled.waiting_in(full))
            zones = full | {room.zone for room in rooms}
            rooms = tuple(part.settled.room(zone, slots, free) for zone in sorted(zones))
            part = _Part(self, free, rooms)
        return part

    def _with_kin(self, members: Iterable[str]) -> frozenset[str]:
        """Return demonstrations with all that they share components with."""
        linked = [
            {demonstration.id, each.demonstration or demonstration.id}
            for demonstration, stage in self.day.all_stages()
            for way in stage.ways
            for each in stage.takes_by(way)
        ]
        found = set(members)
        while more := {each for pair in linked if pair & found for each in pair} - found:
            found |= more
        return frozenset(found)


class _Part:
    """Some demonstrations planned anew, all others left alone."""

    def __init__(
        self, mending: Mending, free: frozenset[str], rooms: tuple[Shelved, ...] = ()
    ) -> None:
        self.mending, self.free, self.rooms = mending, free, rooms
        self.state, self.plan = mending.state, mending.plan
        self.kept = Kept(self.state, self.plan, mending.needs, mending.everybody - free)
        stand_in(self.kept, mending.frozen)
        self.answer = Answer()
        anew = Draft([], [], {}, {})
        if free:
            frozen = self._frozen()
            scope = Scope(frozen.day, frozen)
            wanted = Wanted(tuple(scope.makings), cost_scale(scope), short=free, bare=free)
            wanted = replace(wanted, shelves=frozenset(room.zone for room in rooms))
            model = build(scope, wanted)
            self.answer = descend(model, mending.goals, mending.watch, WORK)
            anew = draft_of(scope, wanted, self.answer.values or {})
            name_crew(frozen.day, anew)
        self.draft = whole_draft(mending.scope, self.plan, self.kept, anew)
        self.settled = Settled(mending.scope, self.draft, self.plan, self.kept)

    def _frozen(self) -> Frozen:
        """Return the facts for the free demonstrations; the others' batches are as begun."""
        frozen, free = self.mending.frozen, self.free
        return replace(
            frozen,
            day=self._day(),
            supplies=tuple(each for each in frozen.supplies if each.stage[0] in free),
            holds=(*frozen.holds, *self._holds()),
            published=tuple(each for each in frozen.published if each.stage[0] in free),
            rooms=self.rooms,
        )

    def _day(self) -> Day:
        """Return the day of the free demonstrations, with the crew as far as they are free."""
        day, now = self.state.day, self.state.now
        busy: dict[str, list[tuple[int, int]]] = {}
        for work in (work for made in self.kept.made.values() for work in made.work):
            for cook in work.crew if work.ends > now else ():
                busy.setdefault(cook, []).append((max(work.starts, now), work.ends))
        crew = tuple(
            without(self.mending.clock, cook, busy.get(cook.id, [])) for cook in day.kitchen.crew
        )
        return day.model_copy(
            update={
                "kitchen": day.kitchen.model_copy(update={"crew": crew}),
                "demonstrations": tuple(d for d in day.demonstrations if d.id in self.free),
                "runs": tuple(run for run in day.runs if run.demonstration in self.free),
                "stock": tuple(s for s in day.stock if s.demonstration in self.free),
            }
        )

    def _holds(self) -> Iterator[Hold]:
        for batch in self.plan.batches:
            if batch.id in self.kept.made and batch.id not in self.state.begun:
                spans = [(work.starts, work.ends) for work in self.kept.made[batch.id].work]
                yield from holds_of(self.state.day, batch, spans)

    def written(self) -> Plan:
        """Return the whole plan."""
        scope, draft, stays = self.mending.scope, self.draft, self.settled.stays
        heats = heats_of(scope, draft)
        objective = self._objective()
        return Plan(
            status="feasible",
            objective=objective,
            bounds=Bounds(),
            stopped_by=self.mending.watch.stopped_by,
            batches=tuple(batches_of(scope, draft, stays)),
            copies=tuple(copies_of(scope, draft, stays)),
            uses=tuple(uses_of(scope, draft)),
            heats=tuple(heats),
            counts=tuple(counts_of(scope, draft)),
            unmet=tuple(lacks_of(scope, draft)),
            warnings=tuple(warnings_of_plan(scope, draft, heats)),
        )

    def _objective(self) -> Objective:
        figures: dict[str, int | float] = dict(figures_of(self.mending.scope, self.draft))
        cost = sum(
            (Fraction(str(made.method.cost)) * made.started for made in self.draft.made),
            Fraction(0),
        )
        figures["cost"] = int(cost) if cost.denominator == 1 else float(cost)
        return Objective(**{goal: figures[goal] for goal in GOALS})
