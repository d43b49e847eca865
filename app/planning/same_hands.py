"""Who does it, as far as can be as published: people are changed only where something else did."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from app.planning.crew import Crew, Duty, clash, given_in
from app.planning.day import Day
from app.planning.draft import Draft, Work
from app.planning.minutes import Clock
from app.planning.plan import Plan


def same_hands(day: Day, plan: Plan, draft: Draft, fixed: Mapping[str, object]) -> None:
    """Give the phases that stay the people that the published plan gave them, by exchanges.

    Parameters
    ----------
    day
        The day as it stands; nobody works outside their shifts.
    plan
        The published plan.
    draft
        What is planned now; its crew are changed in place.
    fixed
        The batches that have begun, by id: their people stay.
    """
    _Exchange(day, plan, draft, fixed).run()


@dataclass(frozen=True)
class _Given:
    """A duty and its people: who did it as published, and whether they may be exchanged."""

    duty: Duty
    work: Work
    wanted: frozenset[str]
    is_fixed: bool


class _Exchange:
    def __init__(self, day: Day, plan: Plan, draft: Draft, fixed: Mapping[str, object]) -> None:
        clock = Clock(day.timezone)
        self.crew = Crew(day)
        published = {
            (batch.id, number, clock.minute(phase.starts), clock.minute(phase.ends)): phase.crew
            for batch in plan.batches
            for number, phase in enumerate(batch.phases)
        }
        self.given = [
            _Given(
                duty,
                work,
                frozenset(published.get((*duty.key, duty.starts, duty.ends), ())),
                duty.key[0] in fixed,
            )
            for duty, work in given_in(draft.made)
        ]
        self.given.sort(key=lambda each: (each.duty.starts, each.duty.ends))
        self.of: defaultdict[str, list[_Given]] = defaultdict(list)
        for given in self.given:
            for cook in given.work.crew:
                self.of[cook].append(given)

    def run(self) -> None:
        """Exchange people until each phase has who it had, as far as that goes."""
        for given in self.given:
            if given.is_fixed or len(given.wanted) != len(given.work.crew):
                continue
            for cook in sorted(given.wanted - set(given.work.crew)):
                others = [each for each in given.work.crew if each not in given.wanted]
                any(self._exchanged(given, other, cook) for other in others)

    def _exchanged(self, given: _Given, other: str, cook: str) -> bool:
        """Let one do what another did, and the other what is in the way; undo it if it can't be."""
        if cook not in self.crew.by_name:
            return False
        in_the_way = [each for each in self.of[cook] if clash(each.duty, given.duty)]
        if any(
            each.is_fixed or cook in each.wanted or other in each.work.crew for each in in_the_way
        ):
            return False
        moves = [(given, other, cook), *((each, cook, other) for each in in_the_way)]
        for each, gone, come in moves:
            self._put(each, gone, come)
        if all(self._holds(each) for each, _, _ in moves):
            return True
        for each, gone, come in reversed(moves):
            self._put(each, come, gone)
        return False

    def _put(self, given: _Given, gone: str, come: str) -> None:
        given.work.crew[given.work.crew.index(gone)] = come
        self.of[gone].remove(given)
        self.of[come].append(given)

    def _holds(self, given: _Given) -> bool:
        """Tell whether all who do a duty are there, free, and one of them able."""
        if not self.crew.are_able(given.work.crew, given.duty.phase):
            return False
        return all(
            self.crew.can(cook, given.duty, self._beside(given, cook)) for cook in given.work.crew
        )

    def _beside(self, given: _Given, cook: str) -> list[Duty]:
        return [each.duty for each in self.of[cook] if each is not given]
