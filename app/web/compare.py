"""What a draft plan changes, on the board: what is kept, what moves, what is new, what is gone."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day
from app.planning.difference import changes
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task, tags_in_words, tasks
from app.web import words
from app.web.drafts import asked
from app.web.letters import Letter, letters
from app.web.page import answer
from app.web.seen import Seen, in_fahrenheit, see

router = APIRouter(prefix="/productions/{id}/plan/board")
Fate = Literal["kept", "moved", "new", "gone"]
NOBODY = "Ovens and waiting"


@dataclass(frozen=True)
class Job:
    """One row of work of either plan; `how` tells in the first row of a batch what is different."""

    task: Task
    fate: Fate
    hour: str
    until: str
    tags: str
    letter: Letter | None
    how: str = ""


@dataclass(frozen=True)
class Line:
    """What begins in one minute, a cell a person."""

    minute: int
    hour: str
    cells: tuple[tuple[Job, ...], ...]


@dataclass(frozen=True)
class Page:
    """One prep day of both plans."""

    title: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]


@router.get("")
def compared(request: Request, id: int) -> Response:
    """Show the draft's board beside the published one's, each row with what becomes of it.

    Without a draft, or while one is worked out, the page says so, and shows the board once it can.
    """
    seen = see(id)
    now = asked(request, seen)
    jobs = jobs_of(seen, now.draft.day, now.plan) if now.draft and now.plan else []
    return answer(
        request,
        "compare/page.html",
        "compare/_part.html",
        404 if now.draft is None else 200,
        seen=seen,
        production=seen.production,
        asked=now,
        pages=pages_of(now.draft.day, jobs) if now.draft else [],
        counts={fate: _batches(jobs, fate) for fate in ("kept", "moved", "new", "gone")},
    )


def jobs_of(seen: Seen, day: Day, plan: Plan) -> list[Job]:
    """Return the work of the draft, and what of the published plan is gone, by time."""
    old = seen.plan
    said = changes(day, old, plan) if old is not None else ()
    fates: dict[str, Fate] = {}
    hows: dict[str, list[str]] = {}
    for change in said:
        for batch in change.batches if change.kind != "dropped" else ():
            fate: Fate = "new" if change.kind == "added" else "moved"
            fates[batch] = "new" if fates.get(batch) == "new" else fate
            hows.setdefault(batch, []).extend([change.how] if change.how else [])
    gone = {change.batch for change in said if change.kind == "dropped"}
    clock, known = Clock(day.timezone), letters(day, plan)
    reads_fahrenheit = in_fahrenheit()
    found: list[Job] = []
    for task in tasks(day, plan, reads_fahrenheit):
        fate = fates.get(task.batch or "", "kept") if old else "new"
        how = "; ".join(hows.pop(task.batch or "", []))
        found.append(replace(_job(task, fate, clock, known), how=how))
    if old is not None:
        was = letters(seen.planned, old)
        old_rows = tasks(seen.planned, old, reads_fahrenheit)
        found += [_job(task, "gone", clock, was) for task in old_rows if task.batch in gone]
    return sorted(found, key=lambda job: (job.task.starts, job.task.key))


def pages_of(day: Day, jobs: Iterable[Job]) -> list[Page]:
    """Return a board a date: a column a person, one for what needs nobody."""
    clock = Clock(day.timezone)
    by_date: dict[str, list[Job]] = {}
    for job in jobs:
        by_date.setdefault(clock.date(job.task.starts), []).append(job)
    return [_page(day, clock, date, some) for date, some in sorted(by_date.items())]


def _page(day: Day, clock: Clock, date: str, jobs: list[Job]) -> Page:
    busy = {cook for job in jobs for cook in job.task.crew}
    cooks = [cook for cook in day.kitchen.crew if cook.id in busy]
    strangers = sorted(busy - {cook.id for cook in cooks})
    columns: list[str | None] = [*(cook.id for cook in cooks), *strangers, None]
    lines = [
        Line(
            minute,
            clock.hour(minute),
            tuple(
                tuple(job for job in jobs if job.task.starts == minute and _is_of(job, column))
                for column in columns
            ),
        )
        for minute in sorted({job.task.starts for job in jobs})
    ]
    names = (*(cook.called for cook in cooks), *strangers, NOBODY)
    return Page(words.date(date), names, tuple(lines))


def _is_of(job: Job, column: str | None) -> bool:
    return column in job.task.crew if column is not None else not job.task.crew


def _job(task: Task, fate: Fate, clock: Clock, known: dict[str, Letter]) -> Job:
    return Job(
        task=task,
        fate=fate,
        hour=clock.hour(task.starts),
        until=clock.hour(task.ends),
        tags=tags_in_words(task.tags),
        letter=known.get(task.demonstration),
    )


def _batches(jobs: Iterable[Job], fate: str) -> int:
    return len({job.task.batch for job in jobs if job.fate == fate and job.task.batch})
