"""From a plan for an endless kitchen to one for the real kitchen.

Its shape (batches, ways, copies, what goes where) is fitted in as it is, if that goes. If not, it
is eased in: reshaped as little as its cost allows until hands and ovens, only counted, are enough.
"""

from dataclasses import replace

from app.planning.descent import EASING, Answer, descend
from app.planning.families import owner
from app.planning.model.build import Wanted, build
from app.planning.scope import Scope
from app.planning.watch import Watch

CAPS = (1.0, 1.03, 1.1, 1.3)


class Fitting:
    """Fits plans of a day into its kitchen."""

    def __init__(self, scope: Scope, goals: tuple[str, ...], watch: Watch) -> None:
        self.scope, self.goals, self.watch = scope, goals, watch

    def fit(
        self, wanted: Wanted, known: Answer, work: float, goals: tuple[str, ...] | None = None
    ) -> Answer:
        """Return a plan of the shape that an answer has, if there is one.

        A shape has its counts: the first plan that is found is as good in them as any. What the
        search proves, it proves for this shape alone; so the answer tells no floors.
        """
        model = build(self.scope, wanted, known.shaped)
        answer = descend(model, goals or self.goals, self.watch, work, hint=known.values)
        answer.floors = {}
        return answer

    def eased(self, wanted: Wanted, known: Answer, free: frozenset[str], work: float) -> Answer:
        """Return a plan in which the free demonstrations have found another shape that fits."""
        found = Answer()
        for cap in CAPS:
            loose = self._loosely(wanted, known, free, (work - found.work) / 2, cap)
            found.work += loose.work
            if loose.values is not None and loose.figures["overload_min"] == 0:
                fitted = self.fit(wanted, loose, work - found.work, self.goals[:3])
                fitted.work += found.work
                if fitted.values is not None:
                    return fitted
                found.work = fitted.work
            if found.work >= work or self.watch.over():
                break
        return found

    def _loosely(
        self, wanted: Wanted, known: Answer, free: frozenset[str], work: float, cap: float
    ) -> Answer:
        held = {name: value for name, value in known.shaped.items() if owner(name) not in free}
        loose = replace(wanted, kitchen="loose", times=False, relieved=free)
        model = build(self.scope, loose, held)
        figures = known.figures
        for goal, most in (("unmet", 1.0), ("unbacked", 1.0), ("cost", cap)):
            model.sheet.model.add(model.goals.whole(goal) <= int(figures[goal] * most))
        return descend(model, ("overload_min",), self.watch, work, hint=known.values, turns=EASING)


def both(one: Answer, other: Answer) -> Answer:
    """Return two answers as one: where both speak of a demonstration, the other's word holds."""
    kept = {
        name: value for name, value in (one.values or {}).items() if owner(name) not in other.parts
    }
    values = kept | (other.values or {})
    known = one.values is not None or other.values is not None
    return Answer(values if known else None, one.parts | other.parts, one.shape | other.shape)
