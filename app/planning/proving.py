"""What holds for any number of batches, where only some of all that could be were considered.

A plan is searched for among as many batches a call as are likely to be of use (`calls.py`). What
that search proves, it proves for so many. Here it is checked against lots (`model/lots.py`): no
plan with more batches in some call may be as good. What does not pass is not told as proven.

A batch that asks for no hands costs nothing, so that of such batches a plan may have as many as it
likes, if only to be fresher by some minutes. What is proven of minutes is therefore checked against
a model in which each copy made like that starts when it likes (`model/unattended.py`).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from app.planning.calls import Call, CallKey
from app.planning.descent import EAGER, SOLVED, Answer, Turns, descend, price, run
from app.planning.model.build import Model, Wanted, build
from app.planning.model.lots import Lot, copies_in_lots
from app.planning.model.sheet import total
from app.planning.needs import StageKey
from app.planning.scope import Scope
from app.planning.watch import Teller, Watch

COPY_GOALS = ("unmet", "unbacked", "cost")
COUNT_GOALS = (*COPY_GOALS, "hands_min")
LEVEL = 2
IN_LOTS = Turns(finding=((LEVEL, 1.0),), improving=((LEVEL, 1.0),))
EAGERLY = Turns(finding=((EAGER, 1.0),), improving=((EAGER, 1.0),))
CHECK_WORK = 1.5
LOOK_WORK = 1.5
FEW = 6
NO_ZONES: frozenset[str] = frozenset()
Limits = Mapping[str, int]


@dataclass
class Proving:
    """The stages of one family, in lots.

    Parameters
    ----------
    scope, wanted, goals, watch
        The day, what is asked of the family, the goals in order, the limits.

    checking
        How much work one check may take.

    `work` is what was spent.
    """

    scope: Scope
    wanted: Wanted
    goals: tuple[str, ...]
    watch: Watch
    checking: float = CHECK_WORK
    work: float = 0.0

    @property
    def is_cut(self) -> bool:
        """Tell whether there could be more batches than are considered."""
        return any(call.is_cut for _, call in self._calls())

    def lots(
        self, goals: tuple[str, ...], work: float, known: Limits, turns: Turns = IN_LOTS
    ) -> Answer:
        """Return the best answer in lots: its figures are floors, but it is no plan.

        At least as many batches as it has are considered from now on.
        """
        answer = descend(self._model(times=False), goals, self.watch, work, known, turns=turns)
        self.work += answer.work
        if answer.values is not None:
            self._consider({key: answer.values[_batches_of(key)] for key, _ in self._calls()})
        return answer

    def look_at_few(self, answer: Answer) -> None:
        """Let no more batches be considered than the copies of an answer in lots fill.

        And some more, where the kitchen keeps them apart.
        """
        values = answer.values
        if values is not None:
            self.scope.consider(
                {key: self._filled(key, values) + call.apart for key, call in self._calls()}
            )

    def _filled(self, key: CallKey, values: Limits) -> int:
        """Return how many batches the copies of a call fill."""
        making = self.scope.makings[key[0]]
        return sum(
            -(-copies_in_lots(making, key[1], method, values) // method.good_max)
            for method in making.methods
        )

    def _consider(self, batches: Mapping[CallKey, int]) -> None:
        """Consider at least so many batches."""
        self.scope.consider(
            {key: batches[key] for key, call in self._calls() if batches[key] > call.batches}
        )

    def true_floors(
        self, answer: Answer, known: Limits, within: Limits | None = None
    ) -> dict[str, int]:
        """Return what of an answer's floors holds for any number of batches.

        Parameters
        ----------
        answer
            An answer of a model in which batches are considered each by itself.
        known
            Floors that hold for any number of batches.
        within
            Limits within which no plan has more batches that ask for hands, if that is known.
        """
        floors: dict[str, int] = {}
        limits: dict[str, int] = {}
        for goal in (*self.goals, "early_min"):
            if goal not in answer.floors:
                floors |= {goal: known[goal]} if goal in known else {}
                break
            told, sure = answer.floors[goal], known.get(goal, 0)
            of_time = goal not in COUNT_GOALS
            if within is not None and told > within.get(goal, told):
                within = None
            holds = told <= sure or within is not None
            if not holds and not self.excludes(limits | {goal: told - 1}, of_time):
                floors[goal] = sure
                break
            floors[goal] = told
            if of_time or within is not None:
                floors[goal] = self.unattended(limits, goal, told, sure)
            if answer.figures.get(goal) != floors[goal]:
                break
            limits[goal] = told
            known = known if told == sure else {}
        return floors

    def excludes(self, limits: Limits, handled: bool = False) -> bool:
        """Tell whether no plan with more batches in some call keeps within the limits.

        Parameters
        ----------
        limits
            Figures of this family that such a plan must not exceed, by goal.
        handled
            Whether to look only at batches that ask for hands.
        """
        if not self.is_cut:
            return True
        model = self._within(limits)
        cut = {key: call.batches for key, call in self._calls() if call.is_cut}
        self._have_more(model, cut, handled)
        return self._solved(model, self.checking)[1] == cp_model.INFEASIBLE

    def unattended(self, limits: Limits, goal: str, told: int, sure: int) -> int:
        """Return what of a floor holds for any number of batches that ask for no hands.

        Parameters
        ----------
        limits
            Figures of a plan as good as can be: no plan has less of them.
        told, sure
            The floor that is told for as many as are considered, and one that holds for any number.
        """
        free = {
            key: call.any.batches
            for key, call in self._calls()
            if call.is_cut and self._is_free(key)
        }
        if told <= sure or not free:
            return told
        stages = frozenset(key[0] for key in free if self._is_many(key[0]))
        scope = self.scope.considering(free)
        model = build(scope, replace(self.wanted, unattended=stages))
        for better, figure in limits.items():
            model.sheet.model.add(model.goals.whole(better) == figure)
        found = descend(model, (goal,), self.watch, self.checking, {goal: sure})
        self.work += found.work
        return min(told, found.floors.get(goal, sure))

    def narrowed(self, limits: Limits, work: float) -> tuple[Scope, bool]:
        """Return the day with just as many batches of each call as plans within some limits have.

        The second value tells whether that is proven: then no such plan has more that ask for
        hands. Of those that don't as many as before are considered.
        """
        most = {key: 0 for key, _ in self._calls()}
        is_sure = False
        while work > 0 and not is_sure and not self.watch.over():
            model = self._within(limits)
            self._have_more(model, most, handled=True)
            spent = self.work
            solver, status = self._solved(model, min(work, LOOK_WORK))
            work -= self.work - spent
            if status not in SOLVED:
                is_sure = status == cp_model.INFEASIBLE
                break
            for key, count in most.items():
                most[key] = max(count, solver.value(model.sheet.variables[_handled_of(key)]))
        narrow = {
            key: max(call.batches if self._is_free(key) else 0, most[key])
            for key, call in self._calls()
        }
        if not is_sure:
            return self.scope, False
        self._consider(narrow)
        return self.scope.considering(narrow), True

    def _is_many(self, key: StageKey) -> bool:
        """Tell whether batches of a stage ask for time alone, or could be too many to look at."""
        making = self.scope.makings[key]
        phases = [phase for each in making.methods for phase in each.way.phases]
        many = any(call.any.batches > FEW for call in making.calls.values())
        return many or not any(phase.equipment for phase in phases)

    def _is_free(self, key: CallKey) -> bool:
        """Tell whether a way of a stage asks for no hands."""
        methods = self.scope.makings[key[0]].methods
        return any(not any(phase.hands for phase in each.way.phases) for each in methods)

    def _within(self, limits: Limits) -> Model:
        model = self._model(times="waiting_min" in limits)
        for goal, most in limits.items():
            if goal != "early_min":
                model.sheet.model.add(model.goals.whole(goal) <= most)
        return model

    def _solved(self, model: Model, work: float) -> tuple[cp_model.CpSolver, int]:
        solver, status = run(model, Teller(self.watch, -1), work, LEVEL, 1)
        self.work += solver.response_proto.deterministic_time * price(model, LEVEL)
        return solver, status

    def _have_more(self, model: Model, batches: Mapping[CallKey, int], handled: bool) -> None:
        """Let some call have more than so many batches, or more that ask for hands."""
        more = []
        for key, count in batches.items():
            name = _handled_of(key) if handled else _batches_of(key)
            has_more = model.sheet.either(f"{name} are more")
            model.sheet.model.add(model.sheet.variables[name] > count).only_enforce_if(has_more)
            more.append(has_more)
        model.sheet.model.add_bool_or(more)

    def _calls(self) -> Iterator[tuple[CallKey, Call]]:
        for key in self.wanted.stages:
            for call in self.scope.makings[key].calls.values():
                yield (key, call.run), call

    def _model(self, times: bool) -> Model:
        wanted = replace(self.wanted, kitchen="endless", lots=True, times=times, shelves=NO_ZONES)
        model = build(self.scope, wanted)
        for key, call in self._calls():
            lots = [lot for lot in model.batches[key[0]] if isinstance(lot, Lot)]
            own = [lot for lot in lots if lot.call.run == key[1]]
            batches = model.sheet.whole(_batches_of(key), 0, call.any.batches)
            model.sheet.model.add(batches == total(lot.batches for lot in own))
            handled = model.sheet.whole(_handled_of(key), 0, call.any.batches)
            model.sheet.model.add(handled == total(lot.handled for lot in own))
        return model


def _batches_of(key: CallKey) -> str:
    (demonstration, stage), run = key
    return f"{demonstration}/{stage}/{run} batches"


def _handled_of(key: CallKey) -> str:
    (demonstration, stage), run = key
    return f"{demonstration}/{stage}/{run} batches by hand"
