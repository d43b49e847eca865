"""Questions about one case, each asked of the solver once: can these facts hold together?"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from app.planning.blockers.case import Case
from app.planning.blockers.crowding import is_crowded
from app.planning.blockers.deciding import Counts, Decider, in_window, in_windows
from app.planning.blockers.facts import Fact
from app.planning.needs import Use
from app.planning.scope import Scope

ASK_WORK = 0.06
SPARE_WORK = 0.3
SURE_WORK = 1.5
ALL_COPIES = 60


@dataclass(frozen=True)
class _Answer:
    """What is known of some facts: whether they can hold together, or not by so much work."""

    facts: frozenset[Fact]
    counts: Counts
    found: bool | None
    work: float

    def settles(self, asked: frozenset[Fact], counts: Counts, work: float) -> bool:
        """Tell whether this answers another question: fewer facts clash less, more clash more."""
        if self.found is None:
            return asked == self.facts and counts == self.counts and work <= self.work
        if self.found:
            return asked <= self.facts and self.counts >= counts
        return asked >= self.facts and counts >= self.counts


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
        counts: Counts = Counts.ALL,
        work: float = ASK_WORK,
    ) -> bool | None:
        """Tell whether the kept facts can hold together; None if that stays unknown.

        `counts` tells what is looked at of the kitchen.
        """
        asked = frozenset(kept)
        counts = _that_matters(counts, {fact.kind for fact in asked})
        for answer in self._answers:
            if answer.settles(asked, counts, work):
                return answer.found
        if self.decider.over():
            return None
        found = self.decider.possible(self._eased(asked), work, counts=counts)
        if found is not None or not self.decider.over():
            self._answers.append(_Answer(asked, counts, found, work))
        return found

    def is_beyond_windows(self, kept: Collection[Fact]) -> bool:
        """Tell whether some need can have no copy at all, as the windows alone show."""
        return not in_windows(self._eased(frozenset(kept)))

    def beyond_windows(
        self, needs: Sequence[Fact], others: Sequence[Fact], gone: Collection[Fact] = ()
    ) -> list[Fact]:
        """Return the needs that can have no copy at all, each by itself, as the windows alone show.

        Parameters
        ----------
        needs, others
            The needs, and the other facts that hold.
        gone
            Needs that have none, either, so that their beats leave nothing.
        """
        scope = self.case.eased([*needs, *others], gone=gone)
        beyond = [use for use in scope.needs.uses if not in_window(scope, use)]
        return [
            need
            for need in self._among(needs, beyond)
            if not in_windows(self.case.eased([need, *others], gone=gone))
        ]

    def is_crowded(self, kept: Collection[Fact]) -> bool:
        """Tell whether counting alone shows that more must stand in a zone than fits."""
        return is_crowded(self._eased(frozenset(kept)))

    def _among(self, needs: Sequence[Fact], uses: list[Use]) -> list[Fact]:
        """Return those of some needs that uses of an eased day are about."""
        found = {use.at + use.stage[1:] for use in uses}
        return [need for need in needs if self.case.eased_ids(need) in found]

    def _eased(self, asked: frozenset[Fact]) -> Scope:
        """Return the day of some facts; the last one is kept, since it is often asked twice."""
        if self._last is None or self._last[0] != asked:
            self._last = asked, self.case.eased(asked)
        return self._last[1]

    def possible_when_moved(self, kept: Collection[Fact], moved: Mapping[str, int]) -> bool | None:
        """Tell whether the facts can hold together if runs are moved by so many minutes."""
        scope = self.case.eased(kept, moved)
        if self.decider.possible(scope, ASK_WORK, counts=Counts.NOTHING) is False:
            return False
        return self.decider.possible(scope, ASK_WORK)

    def confirmed(self, kept: Collection[Fact]) -> bool:
        """Tell whether another way of searching proves the clash too, with all batches in view.

        What counting alone shows needs no search.
        """
        scope = self.case.eased(kept, small=ALL_COPIES)
        return is_crowded(scope) or any(
            self.decider.possible(scope, SURE_WORK, counts=counts, again=True) is False
            for counts in Counts
        )


def _that_matters(counts: Counts, kinds: set[str]) -> Counts:
    """Return what counts of a kitchen of which some kinds of facts hold."""
    if "shelf" in kinds or (counts is Counts.ALL and kinds & {"crew", "equipment"}):
        return counts
    return Counts.NOTHING
