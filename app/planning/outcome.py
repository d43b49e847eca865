"""What the planner has come to for a day, and the plan that it writes of it."""

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction

from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.draft import Draft
from app.planning.figures import figures_of
from app.planning.heats import heats_of
from app.planning.joining import Joining
from app.planning.links import warnings_of_plan
from app.planning.places import Stay, place, stays_of
from app.planning.plan import GOALS, Bounds, Objective, Plan, Status
from app.planning.scope import Scope
from app.planning.why import counts_of
from app.planning.writing import batches_of, copies_of, lacks_of, uses_of


@dataclass(frozen=True)
class Outcome:
    """The best answer for a day, in single copies that have names, people and places.

    In the zones that are `full` some stand in each other's way.
    """

    scope: Scope
    joining: Joining
    draft: Draft
    stays: list[Stay]
    full: Collection[str] = ()

    def plan(self, number: int = 1) -> Plan:
        """Return it as the plan of that number."""
        scope, draft, scale = self.scope, self.draft, self.joining.wanted.scale
        heats = heats_of(scope, draft)
        figures, bounds = figures_of(scope, draft), self.joining.bounds()
        return Plan(
            number=number,
            day=fingerprint(scope.day),
            status=self._status(),
            objective=Objective(**{goal: _shown(goal, figures[goal], scale) for goal in GOALS}),
            bounds=Bounds(**{goal: _shown(goal, bound, scale) for goal, bound in bounds.items()}),
            stopped_by=self.joining.watch.stopped_by,
            batches=tuple(batches_of(scope, draft, self.stays)),
            copies=tuple(copies_of(scope, draft, self.stays)),
            uses=tuple(uses_of(scope, draft)),
            heats=tuple(heats),
            counts=tuple(counts_of(scope, draft)),
            unmet=tuple(lacks_of(scope, draft)),
            warnings=tuple(warnings_of_plan(scope, draft, heats)),
        )

    def on(self, day: Day) -> "Outcome":
        """Return the same for a day that differs in shelves and shifts alone.

        Whether its people are there has to be looked at.
        """
        scope = Scope(day)
        stays = stays_of(scope, self.draft)
        full = place(scope, stays, most=0)
        return Outcome(scope, self.joining, self.draft, stays, full)

    def _status(self) -> Status:
        if self.joining.floors.get("unmet", 0) > 0:
            return "impossible"
        return "optimal" if self.joining.settled() else "feasible"


def _shown(goal: str, figure: int, scale: int) -> int | float:
    """Return a figure as the plan tells it: costs were counted in parts."""
    if goal != "cost" or scale == 1:
        return figure
    cost = Fraction(figure, scale)
    return int(cost) if cost.denominator == 1 else float(cost)
