"""What stands on the prep board of a date: who is there, what begins, who reads it."""

from collections.abc import Iterator
from dataclasses import replace

from app.paper import face
from app.paper.board_columns import NOBODY_HANDS, Column, Item
from app.paper.jobs import Job, jobs, together
from app.planning.day import Cook, Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import tasks

NOBODY = "Ovens and waiting"
LONGEST_NAME = 40


class Dates:
    """Reads the dates of one plan."""

    def __init__(self, day: Day, plan: Plan, in_fahrenheit: bool) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.jobs = jobs(tasks(day, plan, in_fahrenheit))

    def all(self) -> list[str]:
        """Return the dates on which something is to be done or to be shown."""
        found = {self.clock.date(job.starts) for job in self.jobs}
        found |= {run.starts[:10] for run in self.day.runs}
        return sorted(found or {self.day.prep_from[:10]})

    def columns(self, date: str) -> list[Column]:
        """Return a column for each who is there, and one for what nobody reads, if anything."""
        here = [cook for cook in self.day.kitchen.crew if self._is_here(cook, date)]
        people = [
            Column(
                cook.id,
                face.clipped(cook.called, LONGEST_NAME),
                tuple(self._hours(cook, date)),
            )
            for cook in here
        ]
        ids = frozenset(cook.id for cook in here)
        nobody = Column(None, NOBODY, (NOBODY_HANDS,), others=ids)
        is_wanted = any(isinstance(each, Job) and nobody.holds(each) for each in self.items(date))
        return [*people, nobody] if is_wanted or not people else people

    def _is_here(self, cook: Cook, date: str) -> bool:
        return any(True for _ in self._hours(cook, date)) or any(
            cook.id in job.task.crew and self.clock.date(job.starts) == date for job in self.jobs
        )

    def _hours(self, cook: Cook, date: str) -> Iterator[str]:
        for begins, ends in cook.shifts:
            if begins[:10] <= date <= ends[:10]:
                since = face.hour(begins) if begins[:10] == date else "00:00"
                yield f"{since}–{face.hour(ends) if ends[:10] == date else '24:00'}"

    def items(self, date: str) -> list[Item]:
        """Return what goes on from before, then runs and jobs that begin, in order of time."""
        runs: list[Item] = [run for run in self.day.runs if run.starts[:10] == date]
        here = [job for job in self.jobs if self._is_on(job, date)]
        read = [replace(job, readers=self._readers(job, date)) for job in here]
        return sorted([*runs, *together(read)], key=self.minute)

    def _readers(self, job: Job, date: str) -> tuple[str, ...]:
        """Return who reads it; nobody what holds no hands and begins when who is near is away."""
        at = self.clock.text(job.starts)
        if job.task.crew or at[:10] < date:
            return job.task.crew
        shifts = {cook.id: cook.shifts for cook in self.day.kitchen.crew}
        return tuple(
            cook
            for cook in job.task.near[:1]
            if any(begins <= at < ends for begins, ends in shifts.get(cook, ()))
        )

    def _is_on(self, job: Job, date: str) -> bool:
        starts = self.clock.date(job.starts)
        return starts == date or starts < date <= self.clock.date(job.ends)

    def minute(self, item: Item) -> int:
        """Return the minute in which something begins."""
        return item.starts if isinstance(item, Job) else self.clock.minute(item.starts)

    def hour(self, item: Item) -> str:
        """Return when something begins, as a clock shows it."""
        return self.clock.hour(self.minute(item))

    def band_hour(self, item: Item, date: str) -> str:
        """Return the hour in which something begins; none if it is from the day before."""
        is_older = self.clock.date(self.minute(item)) < date
        return "" if is_older else self.hour(item)[:2]
