"""From a plan for an endless kitchen to one for the real kitchen.

Its shape (batches, ways, copies, what goes where) is fitted in as it is, if that goes. If not, some
find another shape: first one that suits what is left of the kitchen all in all, then any that fits.
"""

from collections.abc import Callable, Mapping
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import nullcontext
from dataclasses import replace
from threading import Event
from typing import Literal

from app.planning.descent import FITTING, QUICK, QUICKLY, WIDELY, Answer, descend
from app.planning.families import owner
from app.planning.model.build import Wanted, build
from app.planning.proving import COPY_GOALS
from app.planning.scope import Scope
from app.planning.watch import Watch

FIT_WORK = 0.08
LOOSE_WORK = 0.25
LOOSELY = replace(QUICKLY, finding=((QUICK, 0.15), (QUICK, 0.3)), patience=0.0)
RESHAPE_WORK = 1.2
CAPS = (1.0, 1.25)
Reach = Literal["as it is", "loosely", "anyhow"]


class Fitting:
    """Fits plans of a day into its kitchen.

    Parameters
    ----------
    is_hasty
        Whether any plan will do: others wait for it.
    reach
        How far to go: with no other shape, with one for a loose kitchen, or with any that fits.
    lanes
        Where to look at two costs at once, after whatever else waits there; None: in a lane of
        its own.
    """

    def __init__(
        self,
        scope: Scope,
        watch: Watch,
        is_hasty: bool = False,
        reach: Reach = "anyhow",
        lanes: Executor | None = None,
    ) -> None:
        self.scope, self.watch, self.is_hasty, self.reach = scope, watch, is_hasty, reach
        self.lanes = lanes

    def fitted(
        self,
        wanted: Wanted,
        known: Answer,
        free: frozenset[str],
        floors: Mapping[str, int],
        work: float = RESHAPE_WORK,
        goals: tuple[str, ...] = COPY_GOALS,
        at_once: bool = False,
    ) -> Answer:
        """Return a plan of the shape that an answer has, else one in which the free are reshaped.

        Parameters
        ----------
        work
            That for another shape.
        goals
            Those of a plan of the known shape.
        floors, at_once
            As for `reshaped`.
        """
        answer, spent = Answer(), 0.0
        if known.values is not None:
            answer = self.fit(wanted, known, goals)
            spent = answer.work
        if answer.values is None and self.reach != "as it is" and not self.watch.over():
            whole = _with_held(floors, known, free)
            shape = self._loose(wanted, known, free, whole)
            spent += shape.work
            if shape.infeasible:
                return replace(shape, work=spent)
            if shape.values is not None:
                answer = self.fit(wanted, shape, goals)
                spent += answer.work
            if answer.values is None and self.reach == "anyhow" and not self.watch.over():
                answer = self._real(wanted, known, free, shape.floors, work, at_once)
                answer.work += spent
        return answer

    def _loose(
        self, wanted: Wanted, known: Answer, free: frozenset[str], floors: Mapping[str, int]
    ) -> Answer:
        """Return another shape of the free demonstrations, for a loose kitchen.

        Its floors hold for all, beside what is taken. Where there is none, nothing fits.
        """
        model = build(self.scope, replace(wanted, kitchen="loose", times=False), _held(known, free))
        hint, goals = known.values, COPY_GOALS
        return descend(model, goals, self.watch, LOOSE_WORK, floors, hint, turns=LOOSELY)

    def fit(self, wanted: Wanted, known: Answer, goals: tuple[str, ...]) -> Answer:
        """Return a plan of the shape that an answer has, if there is one.

        A shape has its counts: the first plan that is found is as good in them as any. What the
        search proves, it proves for this shape alone; so the answer tells no floors. Its minutes
        are near to what they are for: earlier ones stay free for those that need them.
        """
        model = build(self.scope, wanted, known.shaped)
        model.sheet.prefer_late()
        answer = descend(model, goals, self.watch, FIT_WORK, hint=known.values, turns=FITTING)
        answer.floors = {}
        return answer

    def reshaped(
        self,
        wanted: Wanted,
        known: Answer,
        free: frozenset[str],
        floors: Mapping[str, int],
        work: float = RESHAPE_WORK,
        at_once: bool = False,
    ) -> Answer:
        """Return a plan in which the free demonstrations have another shape that fits.

        It is looked for at the floor of its cost, where there is least to search; else near to it.

        Parameters
        ----------
        floors
            What the free ones do not undercut; the others keep their figures with their shapes.
        at_once
            Whether to look near the floor meanwhile, as soon as a lane is free.
        """
        return self._real(wanted, known, free, _with_held(floors, known, free), work, at_once)

    def _real(
        self,
        wanted: Wanted,
        known: Answer,
        free: frozenset[str],
        floors: Mapping[str, int],
        work: float,
        at_once: bool,
    ) -> Answer:
        """Return a plan of the real kitchen, given the floors of all demonstrations together."""
        whole = build(self.scope, wanted, _held(known, free))
        least = _least_cost(floors, known)

        def near(cap: float, watch: Watch) -> Answer:
            turns = QUICKLY if cap == CAPS[0] else WIDELY
            if self.is_hasty:
                turns = replace(turns, patience=0.0, any_will_do=True)
            model = whole.twin()
            if least is not None:
                model.sheet.model.add(model.goals.whole("cost") <= int(least * cap))
            return descend(model, COPY_GOALS, watch, work / 2, floors, known.values, turns=turns)

        return self._at_two_costs(near, at_once)

    def _at_two_costs(self, near: Callable[[float, Watch], Answer], at_once: bool) -> Answer:
        """Return what is found at the floor of the cost; else what is found near to it.

        In haste, where both are looked for at once and by the clock, the first one found will do.
        """
        is_found, is_race = Event(), self.is_hasty and self.watch.seconds is not None
        watch = self.watch.until(is_found.is_set)

        def near_it() -> Answer:
            answer = near(CAPS[1], watch)
            if answer.values is not None and is_race:
                is_found.set()
            return answer

        with nullcontext(self.lanes) if self.lanes else ThreadPoolExecutor(1) as lanes:
            meanwhile = lanes.submit(near_it) if at_once else None
            answer = near(CAPS[0], watch)
            if answer.values is not None or self.watch.over():
                is_found.set()
                return answer
            other = near_it() if meanwhile is None or meanwhile.cancel() else meanwhile.result()
        other.work += answer.work
        return other


def _held(known: Answer, free: frozenset[str]) -> dict[str, int]:
    """Return the shapes of all demonstrations but the free ones."""
    return {name: value for name, value in known.shaped.items() if owner(name) not in free}


def _with_held(floors: Mapping[str, int], known: Answer, free: frozenset[str]) -> dict[str, int]:
    """Return floors of the free demonstrations with the figures of those that are held."""
    held = [part for each, part in known.parts.items() if each not in free]
    return {goal: floor + sum(part[goal] for part in held) for goal, floor in floors.items()}


def _least_cost(floors: Mapping[str, int], known: Answer) -> int | None:
    """Return the floor of the cost; if what is known is far above, that: the floor says little."""
    if "cost" not in floors or known.values is None:
        return floors.get("cost")
    cost = known.figures["cost"]
    return floors["cost"] if cost <= floors["cost"] * CAPS[1] else cost


def both(one: Answer, other: Answer) -> Answer:
    """Return two answers as one: where both speak of a demonstration, the other's word holds."""
    kept = {
        name: value for name, value in (one.values or {}).items() if owner(name) not in other.parts
    }
    values = kept | (other.values or {})
    known = one.values is not None or other.values is not None
    return Answer(values if known else None, one.parts | other.parts, one.shape | other.shape)
