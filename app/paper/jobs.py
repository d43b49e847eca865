"""What one row of the prep board tells: work, and what the food then does by itself."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.planning.tasks import Task


@dataclass(frozen=True)
class Job:
    """A task; where hands leave the food to itself, what it does then follows on the same row.

    `readers` are those in whose columns it stands: whose hands it holds, else who is closest.
    """

    task: Task
    then: tuple[Task, ...] = ()
    readers: tuple[str, ...] = ()

    @property
    def starts(self) -> int:
        """Return the minute in which it begins."""
        return self.task.starts

    @property
    def ends(self) -> int:
        """Return the minute in which the last of it ends."""
        return (self.task, *self.then)[-1].ends


def jobs(tasks: Iterable[Task]) -> list[Job]:
    """Return tasks as rows of the board, in their order."""
    found: list[Job] = []
    last: dict[str, int] = {}
    for task in tasks:
        at = last.get(task.batch or "")
        if at is not None and _goes_on(found[at], task):
            found[at] = Job(found[at].task, (*found[at].then, task))
            continue
        if task.batch:
            last[task.batch] = len(found)
        found.append(Job(task))
    return found


def _goes_on(job: Job, task: Task) -> bool:
    """Return whether a task is what the food does by itself right after."""
    return task.kind == "alone" and bool(job.task.crew) and job.ends == task.starts
