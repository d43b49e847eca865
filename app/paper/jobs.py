"""What one row of the prep board tells: work, and what follows it without a pause."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from app.planning.tasks import Task

MOST_STEPS = 6


@dataclass(frozen=True)
class Job:
    """A task; what then happens to the same food, by itself or by the same hands, is in its row.

    `readers` are those in whose columns it stands: whose hands it holds, else who is closest.
    `beside` are batches of which the same is told, but for their tags.
    """

    task: Task
    then: tuple[Task, ...] = ()
    readers: tuple[str, ...] = ()
    beside: tuple["Job", ...] = ()

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
        if at is not None and _goes_on(found[at], task, found[at + 1 :]):
            found[at] = replace(found[at], then=(*found[at].then, task))
            continue
        if task.batch:
            last[task.batch] = len(found)
        found.append(Job(task))
    return found


def together(jobs: Iterable[Job]) -> list[Job]:
    """Return rows, those joined that tell the same of several batches which nobody's hands hold."""
    found: dict[object, Job] = {}
    for job in jobs:
        first = found.setdefault(_told(job), job)
        if first is not job:
            found[_told(job)] = replace(first, beside=(*first.beside, job))
    return list(found.values())


def _told(job: Job) -> object:
    """Return what a row tells beside its tags; hands can't be at two things at once."""
    task = job.task
    if task.batch is None or task.crew:
        return task.key
    told = (task.starts, task.ends, task.demonstration, task.stage, task.does, task.items)
    return (job.readers, task.last, *told, *((each.ends, each.does) for each in job.then))


def _goes_on(job: Job, task: Task, since: list[Job]) -> bool:
    """Return whether a task follows in the row of what was done to its batch before.

    That is what the food does by itself after work, and what the same hands do next, if nothing
    else has begun for them meanwhile (`since`): times run down a column.
    """
    if not job.task.crew or job.ends != task.starts:
        return False
    if task.kind == "alone":
        return True
    hands = set(task.crew)
    is_free = all(hands.isdisjoint((*each.task.crew, *each.task.near)) for each in since)
    return task.crew == job.task.crew and is_free and len(job.then) < MOST_STEPS
