"""The pull list for the set: a row a beat, what goes to set, measured, with tools and dressing."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from app.food.larder import Larder
from app.paper import face
from app.paper.letters import Badge, badges
from app.planning.day import Day
from app.planning.fetches import Fetch
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.pulls import Amount, BeatPull, beat_pulls


@dataclass(frozen=True)
class Row:
    """One beat of one run."""

    badge: Badge
    ready: str
    airs: str
    run: str
    beat: str
    copies: tuple[Fetch, ...]
    lacks: tuple[str, ...]
    backups: tuple[Fetch, ...]
    measured: tuple[Amount, ...]
    tools: str
    dressing: str
    note: str


@dataclass(frozen=True)
class SetPage:
    """All that goes to set on a date."""

    date: str
    rows: tuple[Row, ...]


def set_pages(day: Day, plan: Plan, larder: Larder) -> list[SetPage]:
    """Return what goes to set, a page a date, in the order in which beats air."""
    clock, told = Clock(day.timezone), badges(day, plan)
    pulls = beat_pulls(day, plan, larder)
    return [
        SetPage(face.date(date), tuple(_rows(some, clock, told)))
        for date, some in groupby(pulls, key=lambda each: clock.date(each.starts))
    ]


def _rows(pulls: Iterator[BeatPull], clock: Clock, told: dict[str, Badge]) -> Iterator[Row]:
    for each in pulls:
        airs, ready = clock.text(each.starts), clock.text(each.fetch_by)
        row = Row(
            badge=told[each.demonstration],
            ready=face.hour(ready, airs),
            airs=face.hour(airs),
            run=each.run_name,
            beat=each.beat_name,
            copies=tuple(fetch for need in each.needs for fetch in need.takes),
            lacks=tuple(f"{need.lacks} {need.stage_name}" for need in each.needs if need.lacks),
            backups=tuple(fetch for need in each.needs for fetch in need.backups),
            measured=each.ingredients,
            tools=face.listed(each.tools),
            dressing=face.listed(each.dressing),
            note=each.note,
        )
        if row.copies or row.lacks or row.measured or row.tools or row.dressing:
            yield row
