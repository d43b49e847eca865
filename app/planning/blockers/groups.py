"""Needs that are asked for together: those that may stand in each other's way, few first."""

from collections.abc import Iterator

from app.planning.blockers.case import Case
from app.planning.blockers.facts import Fact
from app.planning.needs import StageKey

# Around a lacking need, so many that are nearest in time; how many more steps from the equipment.
SIZES = (4, 8, 16)
ACROSS = (2, 4)
STEPS_MORE = 1


class Groups:
    """The needs of a case in groups.

    Parameters
    ----------
    case
        The day, taken apart.
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        self._known: dict[tuple[str, int], list[Fact]] = {}

    def families(self, needs: list[Fact]) -> list[list[Fact]]:
        """Return needs by family, those that come first first."""
        found: dict[frozenset[str], list[Fact]] = {}
        for need in sorted(needs, key=self._when):
            found.setdefault(self.case.demonstrations([need]), []).append(need)
        return list(found.values())

    def stages(self, needs: list[Fact]) -> list[list[Fact]]:
        """Return needs by stage: copies of one stage for several runs are made and wait alike."""
        found: dict[tuple[str, str], list[Fact]] = {}
        for need in needs:
            found.setdefault(self.case.stage_of(need), []).append(need)
        return list(found.values())

    def across(self, lacking: list[Fact], size: int) -> list[list[Fact]]:
        """Return for each lacking need that comes straight from equipment the nearest that does as
        well, of each stage one, so that few needs are of several demonstrations.
        """
        found: dict[frozenset[tuple[str, StageKey]], list[Fact]] = {}
        for need in sorted(lacking, key=self._when):
            for kind in sorted(kind for kind, away in self.case.steps_to(need).items() if not away):
                nearest: dict[StageKey, Fact] = {}
                for other in self._nearest(need, self._wanting(kind, 0)):
                    nearest.setdefault(self.case.stage_of(other), other)
                some = list(nearest.values())[:size]
                key = frozenset((each.ids[0], self.case.stage_of(each)) for each in some)
                found.setdefault(key, some)
        return list(found.values())

    def around(self, lacking: list[Fact], size: int) -> Iterator[list[Fact]]:
        """Yield the needs near each lacking one that may want the same equipment, or hands.

        First come those that lack what comes straight from the equipment.
        """
        for need in sorted(lacking, key=self._steps_first):
            steps = self.case.steps_to(need)
            for away, kind in sorted((away, kind) for kind, away in steps.items()):
                yield self._nearest(need, self._wanting(kind, away + STEPS_MORE))[:size]
            yield self._nearest(need, self.case.needs)[:size]

    def _wanting(self, kind: str, most: int) -> list[Fact]:
        """Return the needs that are at most so many steps away from a kind of equipment."""
        if (kind, most) not in self._known:
            self._known[kind, most] = [
                need
                for need in self.case.needs
                if self.case.steps_to(need).get(kind, most + 1) <= most
            ]
        return self._known[kind, most]

    def _nearest(self, need: Fact, others: list[Fact]) -> list[Fact]:
        begins, run = self.case.starts[need.ids], need.ids[0]

        def away(other: Fact) -> tuple[bool, int, bool]:
            """Return how far another need is: in minutes, then by run; itself first."""
            apart_min = abs(self.case.starts[other.ids] - begins)
            return other is not need, apart_min, other.ids[0] != run

        return sorted(others, key=away)

    def _when(self, need: Fact) -> int:
        return self.case.starts[need.ids]

    def _steps_first(self, need: Fact) -> tuple[int, int]:
        return min(self.case.steps_to(need).values(), default=0), self._when(need)
