"""Who does it, as far as can be as published: people are changed only where something else did."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from app.planning.day import Day, Phase
from app.planning.draft import Draft, Work
from app.planning.hours import shifts_of
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
class _Task:
    """One phase with hands: who did it as published, and whether people may be exchanged."""

    work: Work
    phase: Phase
    wanted: frozenset[str]
    is_fixed: bool


class _Exchange:
    def __init__(self, day: Day, plan: Plan, draft: Draft, fixed: Mapping[str, object]) -> None:
        clock = Clock(day.timezone)
        self.skills = {cook.id: set(cook.skills) for cook in day.kitchen.crew}
        self.shifts = {cook.id: shifts_of(clock, cook) for cook in day.kitchen.crew}
        published = {
            (batch.id, number, clock.minute(phase.starts), clock.minute(phase.ends)): phase.crew
            for batch in plan.batches
            for number, phase in enumerate(batch.phases)
        }
        self.tasks = [
            _Task(
                work,
                made.method.way.phases[number],
                frozenset(published.get((made.id, number, work.starts, work.ends), ())),
                made.id in fixed,
            )
            for made in draft.made
            for number, work in enumerate(made.work)
            if work.crew
        ]
        self.tasks.sort(key=lambda task: (task.work.starts, task.work.ends))
        self.of: defaultdict[str, list[_Task]] = defaultdict(list)
        for task in self.tasks:
            for cook in task.work.crew:
                self.of[cook].append(task)

    def run(self) -> None:
        """Exchange people until each phase has who it had, as far as that goes."""
        for task in self.tasks:
            if task.is_fixed or len(task.wanted) != len(task.work.crew):
                continue
            for cook in sorted(task.wanted - set(task.work.crew)):
                others = [each for each in task.work.crew if each not in task.wanted]
                any(self._exchanged(task, other, cook) for other in others)

    def _exchanged(self, task: _Task, other: str, cook: str) -> bool:
        """Let one do what another did, and the other what is in the way; undo it if it can't be."""
        if cook not in self.shifts:
            return False
        in_the_way = [each for each in self.of[cook] if _overlap(each, task)]
        if any(
            each.is_fixed or cook in each.wanted or other in each.work.crew for each in in_the_way
        ):
            return False
        moves = [(task, other, cook), *((each, cook, other) for each in in_the_way)]
        for each, gone, come in moves:
            self._put(each, gone, come)
        if all(self._holds(each) for each, _, _ in moves):
            return True
        for each, gone, come in reversed(moves):
            self._put(each, come, gone)
        return False

    def _put(self, task: _Task, gone: str, come: str) -> None:
        task.work.crew[task.work.crew.index(gone)] = come
        self.of[gone].remove(task)
        self.of[come].append(task)

    def _holds(self, task: _Task) -> bool:
        """Tell whether all who do a phase are there, free, and one of them can."""
        work, skill = task.work, task.phase.skill
        if skill is not None and not any(skill in self.skills[cook] for cook in work.crew):
            return False
        return all(
            any(starts <= work.starts and work.ends <= ends for starts, ends in self.shifts[cook])
            and not any(each is not task and _overlap(each, task) for each in self.of[cook])
            for cook in work.crew
        )


def _overlap(one: _Task, other: _Task) -> bool:
    return one.work.starts < other.work.ends and other.work.starts < one.work.ends
