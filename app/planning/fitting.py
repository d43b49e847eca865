"""From a plan for an endless kitchen to one for the real kitchen.

Its shape (batches, ways, copies, what goes where) is fitted in as it is, if that goes. If not, it
is eased in: reshaped as little as its cost allows until it has its items, and hands, only counted,
are enough.
"""

from dataclasses import replace

from app.planning.descent import EASING, FITTING, Answer, descend
from app.planning.families import owner
from app.planning.model.build import Wanted, build
from app.planning.proving import COPY_GOALS
from app.planning.scope import Scope
from app.planning.watch import Watch

FIT_WORK = 0.5
EASE_WORK = 0.3
CAPS = (1.0, 1.08, 1.25)


class Fitting:
    """Fits plans of a day into its kitchen."""

    def __init__(self, scope: Scope, watch: Watch) -> None:
        self.scope, self.watch = scope, watch
        self.nearly = Answer()

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

    def eased(
        self, wanted: Wanted, known: Answer, free: frozenset[str], work: float = 0.0
    ) -> Answer:
        """Return a plan in which the free demonstrations have found another shape that fits.

        Where there is none, `nearly` is the shape that has come nearest.

        Parameters
        ----------
        work
            How much it may take, where that is more than the least that is tried at each cost.
        """
        spent = 0.0
        for cap in CAPS:
            loose = self._loosely(wanted, known, free, cap, max(EASE_WORK, (work - spent) / 2))
            spent += loose.work
            if loose.values is None:
                continue
            if self.nearly.values is None or _overload(loose) < _overload(self.nearly):
                self.nearly = loose
            if _overload(loose) == 0:
                fitted = self.fit(wanted, loose, COPY_GOALS)
                spent += fitted.work
                if fitted.values is not None:
                    fitted.work = spent
                    return fitted
            if self.watch.over():
                break
        return Answer(work=spent)

    def _loosely(
        self, wanted: Wanted, known: Answer, free: frozenset[str], cap: float, work: float
    ) -> Answer:
        held = {name: value for name, value in known.shaped.items() if owner(name) not in free}
        loose = replace(wanted, kitchen="loose", times=False, relieved=free)
        model = build(self.scope, loose, held)
        figures = known.figures
        for goal, most in zip(COPY_GOALS, (1.0, 1.0, cap), strict=True):
            model.sheet.model.add(model.goals.whole(goal) <= int(figures[goal] * most))
        goals = ("overload_min",)
        return descend(model, goals, self.watch, work, hint=known.values, turns=EASING)


def _overload(answer: Answer) -> int:
    return answer.figures["overload_min"]


def both(one: Answer, other: Answer) -> Answer:
    """Return two answers as one: where both speak of a demonstration, the other's word holds."""
    kept = {
        name: value for name, value in (one.values or {}).items() if owner(name) not in other.parts
    }
    values = kept | (other.values or {})
    known = one.values is not None or other.values is not None
    return Answer(values if known else None, one.parts | other.parts, one.shape | other.shape)
