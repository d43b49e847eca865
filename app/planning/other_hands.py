"""Other hands at the same minutes: who does what stays where it is, though somebody is away."""

from collections.abc import Iterator
from dataclasses import replace

from app.planning.day import Cook, Phase
from app.planning.difference import weight_at
from app.planning.frozen import Frozen
from app.planning.happened import Happened
from app.planning.hours import shifts_of
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan
from app.planning.sharing import Crews, Task, meeting, shared

# Somebody has to see to what has begun.
OF_BEGUN = 100


class OtherHands:
    """The phases to come, shared anew among those who are there.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    frozen
        What a search takes as it is.

    `left` are the demonstrations of which a batch was left with nobody at last.
    """

    left: frozenset[str] = frozenset()

    def __init__(self, state: Happened, plan: Plan, frozen: Frozen) -> None:
        self.state, self.plan, self.frozen = state, plan, frozen
        self.clock = Clock(state.day.timezone)
        self.cooks = frozen.day.kitchen.crew
        self.shifts = {cook.id: shifts_of(self.clock, cook) for cook in self.cooks}
        self.owners = {batch.id: batch.demonstration for batch in plan.batches}

    def given(self) -> Plan:
        """Return the published plan with other people where those planned are not there.

        As few batches as will do are left with nobody, those that start soon last of all. As few
        people as will do are changed. Where nobody is for what has begun, it keeps its people.
        """
        tasks = list(self._tasks())
        meant = meeting(tasks, {task.key for task in tasks if not self._has_all(task)})
        able = {task.key: [cook for cook in self.cooks if self._can(cook, task)] for task in meant}
        crews = shared(meant, able) if meant else {}
        left = {task.key[0] for task in meant if task.key not in crews} - self.state.begun.keys()
        crews |= {task.key: () for task in tasks if task.key[0] in left}
        self.left = frozenset(self.owners[batch] for batch in left)
        batches = tuple(_crewed(batch, crews) for batch in self.plan.batches)
        return self.plan.model_copy(update={"batches": batches})

    def _tasks(self) -> Iterator[Task]:
        """Yield what is to be done in batches that have not begun, and what begun ones lack."""
        for batch in self.plan.batches:
            starts = self.clock.minute(batch.starts)
            if batch.id in self.state.begun or starts < self.state.now:
                continue
            weight = weight_at(starts, self.state.now)
            for number, phase in enumerate(self._phases(batch)):
                if phase.hands:
                    yield self._task(batch, number, phase, weight)
        for part in self.frozen.uncovered:
            batch = self.state.begun[part.batch].batch
            task = self._task(batch, part.phase, self._phases(batch)[part.phase], OF_BEGUN)
            yield replace(task, starts=part.starts, ends=part.ends)

    def _phases(self, batch: Batch) -> tuple[Phase, ...]:
        return self.state.day.stage(batch.demonstration, batch.stage).way(batch.way).phases

    def _task(self, batch: Batch, number: int, phase: Phase, weight: int) -> Task:
        told = batch.phases[number]
        starts, ends = self.clock.spans([(told.starts, told.ends)])[0]
        crew, key = frozenset(told.crew), (batch.id, number)
        return Task(key, starts, ends, phase.hands, phase.skill, crew, weight)

    def _can(self, cook: Cook, task: Task) -> bool:
        return any(
            starts <= task.starts and task.ends <= ends for starts, ends in self.shifts[cook.id]
        )

    def _has_all(self, task: Task) -> bool:
        there = {cook.id for cook in self.cooks if self._can(cook, task)}
        return task.crew <= there


def _crewed(batch: Batch, crews: Crews) -> Batch:
    if not any((batch.id, number) in crews for number in range(len(batch.phases))):
        return batch
    phases = tuple(
        phase.model_copy(update={"crew": crews.get((batch.id, number), phase.crew)})
        for number, phase in enumerate(batch.phases)
    )
    return batch.model_copy(update={"phases": phases})
