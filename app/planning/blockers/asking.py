"""Questions about one case, each asked of the solver once: can these facts hold together?"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from app.planning.blockers.case import Case
from app.planning.blockers.deciding import Decider, in_window, in_windows
from app.planning.blockers.facts import Fact
from app.planning.scope import Scope

ASK_WORK = 0.06
SPARE_WORK = 0.3
SURE_WORK = 1.5
ALL_COPIES = 60


@dataclass(frozen=True)
class _Answer:
    """What is known of some facts: whether they can hold together, or not by so much work."""

    facts: frozenset[Fact]
    real: bool
    found: bool | None
    work: float

    def settles(self, asked: frozenset[Fact], real: bool, work: float) -> bool:
        """Tell whether this answers another question: fewer facts clash less, more clash more."""
        if self.found is None:
            return asked == self.facts and real == self.real and work <= self.work
        if self.found:
            return asked <= self.facts and (self.real or not real)
        return asked >= self.facts and (real or not self.real)


class Asking:
    """Asks whether facts can hold together.

    Parameters
    ----------
    case
        The day, taken apart.
    decider
        What decides, and how much it may work.
    """

    def __init__(self, case: Case, decider: Decider) -> None:
        self.case, self.decider = case, decider
        self._answers: list[_Answer] = []
        self._last: tuple[frozenset[Fact], Scope] | None = None

    def possible(
        self,
        kept: Collection[Fact],
        *,
        real: bool = True,
        work: float = ASK_WORK,
    ) -> bool | None:
        """Tell whether the kept facts can hold together; None if that stays unknown.

        `real` is false where it is enough to look at a kitchen with endless hands and ovens.
        """
        asked = frozenset(kept)
        real = real and any(fact.kind in ("crew", "equipment", "shelf") for fact in asked)
        for answer in self._answers:
            if answer.settles(asked, real, work):
                return answer.found
        if self.decider.over():
            return None
        shelves = any(fact.kind == "shelf" for fact in asked)
        found = self.decider.possible(self._eased(asked), work, real=real, shelves=shelves)
        if found is not None or not self.decider.over():
            self._answers.append(_Answer(asked, real, found, work))
        return found

    def is_beyond_windows(self, kept: Collection[Fact]) -> bool:
        """Tell whether some need can have no copy at all, as the windows alone show."""
        return not in_windows(self._eased(frozenset(kept)))

    def beyond_windows(self, needs: Sequence[Fact], others: Sequence[Fact]) -> list[Fact]:
        """Return the needs that can have no copy at all, as the windows alone show."""
        scope = self._eased(frozenset([*needs, *others]))
        missed = {use.at + use.stage[1:] for use in scope.needs.uses if not in_window(scope, use)}
        return [need for need in needs if self.case.eased_ids(need) in missed]

    def is_beyond_any_kitchen(self, kept: Collection[Fact]) -> bool:
        """Tell whether the facts cannot hold together with endless hands and ovens either."""
        return self.possible(kept, real=False) is False

    def _eased(self, asked: frozenset[Fact]) -> Scope:
        """Return the day of some facts; the last one is kept, since it is often asked twice."""
        if self._last is None or self._last[0] != asked:
            self._last = asked, self.case.eased(asked)
        return self._last[1]

    def possible_when_moved(self, kept: Collection[Fact], moved: Mapping[str, int]) -> bool | None:
        """Tell whether the facts can hold together if runs are moved by so many minutes."""
        shelves = any(fact.kind == "shelf" for fact in kept)
        scope = self.case.eased(kept, moved)
        if self.decider.possible(scope, ASK_WORK, real=False) is False:
            return False
        return self.decider.possible(scope, ASK_WORK, shelves=shelves)

    def confirmed(self, kept: Collection[Fact]) -> bool:
        """Tell whether another way of searching proves the clash too, with all batches in view."""
        scope = self.case.eased(kept, small=ALL_COPIES)
        return any(
            self.decider.possible(scope, SURE_WORK, real=real, again=True) is False
            for real in (False, True)
        )
