"""A part of a day planned anew: some demonstrations, while all others stay as they are."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from app.planning.crewing import name_crew
from app.planning.day import Day
from app.planning.day_now import without
from app.planning.descent import Answer
from app.planning.draft import Draft
from app.planning.drafting import draft_of
from app.planning.figures import figures_of
from app.planning.frozen import Frozen, Shelved
from app.planning.heats import heats_of
from app.planning.holds import Hold, holds_of
from app.planning.kept import Kept
from app.planning.links import warnings_of_plan
from app.planning.model.build import Wanted
from app.planning.model.goals import cost_scale
from app.planning.places import Stay
from app.planning.plan import GOALS, Bounds, Objective, Plan
from app.planning.recalled import Recalled
from app.planning.same_hands import same_hands
from app.planning.scope import Scope
from app.planning.settled import Settled
from app.planning.standin import stand_in
from app.planning.whole import Joiner
from app.planning.why import counts_of
from app.planning.writing import batches_of, copies_of, lacks_of, uses_of

if TYPE_CHECKING:
    from app.planning.mending import Mending


class Part:
    """One step of mending.

    Parameters
    ----------
    mending
        The search that this is part of.
    plan
        The published plan, or what it has become by earlier steps.
    free, pending
        The demonstrations to plan anew now, and those to plan later.
    rooms
        The zones whose shelves matter.
    share
        How much of the usual work it may take.
    """

    def __init__(
        self,
        mending: "Mending",
        plan: Plan,
        free: frozenset[str],
        pending: frozenset[str],
        rooms: tuple[Shelved, ...] = (),
        share: float = 1.0,
    ) -> None:
        self.share = share
        self.mending, self.plan, self.free, self.rooms = mending, plan, free, rooms
        self.state = mending.state
        alone = mending.everybody - free - pending
        self.kept = Kept(self.state, plan, mending.needs, alone)
        stand_in(self.kept, mending.frozen)
        self.answer = Answer()
        anew = self._anew() if free else Draft([], [], {}, {})
        joiner = Joiner(mending.scope, mending.plan, self.kept, anew, free, mending.given)
        self.draft = joiner.joined()
        same_hands(self.state.day, mending.plan, self.draft, self.state.begun)

    @cached_property
    def settled(self) -> Settled:
        """Return where everything stands."""
        return Settled(self.mending.scope, self.draft, self.mending.plan, self.kept)

    def _anew(self) -> Draft:
        """Return what is planned anew."""
        frozen = self._frozen()
        scope = Scope(frozen.day, frozen)
        wanted = Wanted(
            stages=tuple(scope.makings),
            scale=cost_scale(scope),
            short=self.free,
            bare=self.free,
            shelves=frozenset(room.zone for room in self.rooms),
        )
        recalled = Recalled(scope, self.state, self.mending.plan)
        self.answer = self.mending.repair(scope, wanted, self.share).answer(recalled)
        anew = draft_of(scope, wanted, self.answer.values or {})
        name_crew(frozen.day, anew)
        return anew

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

    def so_far(self) -> Plan:
        """Return what a next step has to know of the plan: no places, heats, sums, warnings."""
        return self._plan([])

    def written(self) -> Plan:
        """Return the whole plan."""
        scope, draft = self.mending.scope, self.draft
        heats = heats_of(scope, draft)
        whole = {
            "heats": tuple(heats),
            "counts": tuple(counts_of(scope, draft)),
            "warnings": tuple(warnings_of_plan(scope, draft, heats)),
        }
        return self._plan(self.settled.stays).model_copy(update=whole)

    def _plan(self, stays: list[Stay]) -> Plan:
        scope, draft = self.mending.scope, self.draft
        return Plan(
            status="feasible",
            objective=self._objective(),
            bounds=Bounds(),
            stopped_by=self.mending.watch.stopped_by,
            batches=tuple(batches_of(scope, draft, stays)),
            copies=tuple(copies_of(scope, draft, stays)),
            uses=tuple(uses_of(scope, draft)),
            heats=(),
            counts=(),
            unmet=tuple(lacks_of(scope, draft)),
        )

    def _objective(self) -> Objective:
        figures: dict[str, int | float] = dict(figures_of(self.mending.scope, self.draft))
        cost = sum(
            (Fraction(str(made.method.cost)) * made.started for made in self.draft.made),
            Fraction(0),
        )
        figures["cost"] = int(cost) if cost.denominator == 1 else float(cost)
        return Objective(**{goal: figures[goal] for goal in GOALS})
