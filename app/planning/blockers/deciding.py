"""Whether a day can have all that its needs ask for: yes, no, or not known within the work.

A no is proven: by the windows of one need alone, or by counting what must stand in a zone at one
minute, both of which cost nothing; in lots, which is quick; for kitchens with as many hands and
ovens as anybody likes, family by family, or with their shelves; or for the kitchen as it is. A yes
to that comes with a plan that has a place for every copy.
"""

from dataclasses import replace
from enum import IntEnum

from ortools.sat.python import cp_model

from app.planning.blockers.crowding import is_crowded
from app.planning.crewing import name_crew
from app.planning.descent import SOLVED
from app.planning.drafting import draft_of
from app.planning.families import families_of, stages_of
from app.planning.model.build import Kitchen, Model, Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.naming import name_all
from app.planning.needs import StageKey, Use
from app.planning.places import place, stays_of
from app.planning.scope import Scope
from app.planning.watch import Watch

# Of questions about more uses than these, it is first looked in lots whether a no is quick.
FEW = 4
# What is counted, about a second each: for putting a question, for each of its rules, for what
# the solver counts itself, and for giving all a place.
PUTTING, A_RULE, SOLVING, PLACING = 0.003, 3e-5, 3.0, 0.012
# How much more time than is counted the strict reading of shelves takes.
STRICTER = 1.5
# Of more stays than these no placing is searched for: what waits is then taken to be too much.
FEW_STAYS = 30


class Counts(IntEnum):
    """What counts of a kitchen: what cannot be with less of it, cannot be with more of it."""

    NOTHING = 0
    SHELVES = 1
    ALL = 2


class Decider:
    """Decides days, within an amount of work for all of them together.

    Parameters
    ----------
    watch
        The clock, the stop button and the listener.
    work
        How much counted work there is in all.
    """

    def __init__(self, watch: Watch, work: float) -> None:
        self.watch, self.work = watch, work
        self._tight: frozenset[str] = frozenset()

    def over(self) -> bool:
        """Tell whether no more can be decided."""
        return self.work <= 0 or self.watch.over()

    def possible(
        self,
        scope: Scope,
        most: float,
        *,
        counts: Counts = Counts.ALL,
        again: bool = False,
    ) -> bool | None:
        """Tell whether every need of a day can be met, backups too; None if that stays unknown.

        Parameters
        ----------
        scope
            The day.
        most
            Solver's work for each model of this day, at most.
        counts
            What counts of the kitchen; of the rest, there is as much as anybody likes.
        again
            Whether to search in another way than else: a proof by it is another proof.
        """
        if not again and (not in_windows(scope) or is_crowded(scope)):
            self.work -= PUTTING
            return False
        if self.over():
            return None
        if not again and len(scope.needs.uses) > FEW and self._each_family(scope, most) is False:
            return False
        if counts is Counts.NOTHING:
            return self._each_family(scope, most, again, lots=False)
        stages = tuple(scope.makings)
        if counts is Counts.SHELVES:
            wanted = replace(_wanted(scope, stages, "endless"), shelves=_zones(scope))
            return self._solved(scope, wanted, most, again)
        return self._placed(scope, _wanted(scope, stages, "exact"), most, again)

    def _each_family(
        self, scope: Scope, most: float, again: bool = False, lots: bool = True
    ) -> bool | None:
        """Decide the families one by one in an endless kitchen; in lots only a no counts."""
        unsure = False
        for family in families_of(scope):
            wanted = replace(_wanted(scope, stages_of(scope, family), "endless"), lots=lots)
            if wanted.stages:
                found = self._solved(scope, wanted, most, again)
                if found is False:
                    return False
                unsure = unsure or found is None
        return None if unsure else True

    def _placed(self, scope: Scope, wanted: Wanted, most: float, again: bool) -> bool | None:
        """Decide a day with its shelves: loosely read they prove, strictly read they can stand."""
        every = _zones(scope)
        if not every:
            return self._solved(scope, wanted, most, again)
        zones = self._tight & every
        for strict in (False, False, True):
            wanted = replace(wanted, shelves=zones, strict_shelves=strict)
            model = build(scope, wanted)
            before = self.work
            found, values = self._values(model, most, again, late=bool(zones))
            self.work -= (before - self.work) * STRICTER if strict else 0
            if not found:
                return None if strict else found
            full = _overflowing(scope, wanted, values)
            self.work -= PLACING
            if not full:
                return True
            zones |= full
            self._tight |= full
        return None

    def _solved(self, scope: Scope, wanted: Wanted, most: float, again: bool) -> bool | None:
        found, _ = self._values(build(scope, wanted), most, again)
        return found

    def _values(
        self, model: Model, most: float, again: bool, late: bool = False
    ) -> tuple[bool | None, dict[str, int]]:
        """Return whether a model has an answer, and the values of one; late batches first."""
        if self.over():
            return None, {}
        solver = self._solver(min(most, self.work / SOLVING), again)
        if late:
            # where they crowd the shelves least
            model.sheet.prefer_late()
            solver.parameters.search_branching = cp_model.PARTIAL_FIXED_SEARCH
        status = solver.solve(model.sheet.model)
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(f"the model is not valid: {model.sheet.model.validate()}")
        rules = len(model.sheet.model.proto.constraints)
        self.work -= PUTTING + A_RULE * rules + SOLVING * solver.response_proto.deterministic_time
        if status == cp_model.INFEASIBLE:
            return False, {}
        return (True, model.sheet.read(solver)) if status in SOLVED else (None, {})

    def _solver(self, work: float, again: bool) -> cp_model.CpSolver:
        """Return a solver that soon says yes or no; for another proof, one that searches else."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 2 if again else 1
        if not again:
            solver.parameters.linearization_level = 0
            solver.parameters.cp_model_probing_level = 0
            solver.parameters.symmetry_level = 0
            solver.parameters.use_sat_inprocessing = False
            solver.parameters.max_presolve_iterations = 1
        self.watch.limit(solver, work)
        return solver


def in_windows(scope: Scope) -> bool:
    """Tell whether each need by itself can have a copy at all, by shifts, lengths and keeping."""
    return all(in_window(scope, use) for use in scope.needs.uses)


def in_window(scope: Scope, use: Use) -> bool:
    """Tell whether a need by itself can have a copy at all."""
    first = use.start - use.oldest_min
    staged = scope.makings[use.stage].staged if first <= use.due else ()
    made = any(begin <= use.due and first <= end for begin, end in staged)
    return made or any(
        left.stage == use.stage and left.run == use.run and first <= left.staged <= use.start + 1
        for left in scope.needs.left
    )


def _zones(scope: Scope) -> frozenset[str]:
    return frozenset(shelf.zone for shelf in scope.day.kitchen.shelves)


def _wanted(scope: Scope, stages: tuple[StageKey, ...], kitchen: Kitchen) -> Wanted:
    """Return what a model must hold of some stages: those that needs ask for, and their inputs."""
    asked = {use.stage for use in scope.needs.uses}
    for key in reversed(scope.inputs_first):
        if key in asked:
            asked |= {taken for each in scope.makings[key].methods for taken, _ in each.takes}
    some = tuple(key for key in stages if key in asked)
    return Wanted(some, cost_scale(scope), kitchen=kitchen, times=False)


def _overflowing(scope: Scope, wanted: Wanted, values: dict[str, int]) -> frozenset[str]:
    """Return the zones in which a plan finds no place for what waits there."""
    draft = draft_of(scope, wanted, values)
    name_all(scope, draft)
    name_crew(scope.day, draft)
    return frozenset(place(scope, stays_of(scope, draft), FEW_STAYS))
