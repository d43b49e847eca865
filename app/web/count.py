"""The count: how many copies of each stage, why so many, how good that is, and the swap chart."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day
from app.planning.difference import Change, changes, run_changes
from app.planning.lacking import Shortage, shortages
from app.planning.plan import Count, Plan
from app.planning.rule_of_thumb import RuleOfThumb, rule_of_thumb
from app.storage.engine import reading
from app.storage.queries.plans import day_planned, plan_numbered
from app.web.charts.swap import Chart, swap_chart
from app.web.drafts import asked
from app.web.errors import Told
from app.web.letters import Letter, letters, stage_codes
from app.web.page import answer
from app.web.proof import Proof, proof
from app.web.seen import Seen, see
from app.web.sure import shown as shown_sure

router = APIRouter(prefix="/productions/{id}/count")
KEPT = 48
CHART_W = 640.0


@dataclass(frozen=True)
class Row:
    """One stage of the count."""

    key: str
    letter: Letter
    code: str
    name: str
    count: Count
    by_thumb: int
    short: int
    unbacked: int


@dataclass(frozen=True)
class Column:
    """A part of the counts that some stage has: what it is called, and its name in the count."""

    name: str
    said: str
    field: str


COLUMNS = (
    Column("In stock", "in stock", "stock"),
    Column("Used again", "used again", "carried_in"),
    Column("On camera", "on camera", "on_camera"),
    Column("Next stage", "to the next stage", "feeds"),
    Column("Backup", "backup", "backups"),
    Column("Extra", "extra for losses", "spares"),
)


@dataclass(frozen=True)
class Answer:
    """The whole count of a plan."""

    rows: tuple[Row, ...]
    columns: tuple[Column, ...]
    made: int
    proof: Proof
    thumb: RuleOfThumb
    thumb_made: int
    shortages: tuple[Shortage, ...]


@router.get("")
def count(request: Request, id: int, show: str = "", sum: str = "") -> Response:
    """Show the count; `show` chooses the swap chart's demonstration, `sum` opens one sum."""
    return _page(request, see(id), show, sum)


@router.get("/swap/{demonstration}")
def swap(request: Request, id: int, demonstration: str) -> Response:
    """Show the swap chart of one demonstration: the part alone, or the count around it."""
    seen = see(id)
    if seen.plan is None or demonstration not in _with_copies(seen):
        there = f"/productions/{id}/count"
        words = "There is no swap chart of such a demonstration in this plan."
        raise Told(404, words, then="The count", go=there)
    return _page(request, seen, demonstration, "", part="count/_swap.html")


def _page(
    request: Request, seen: Seen, show: str, sum: str, part: str = "count/_part.html"
) -> Response:
    values: dict[str, Any] = {"seen": seen, "production": seen.production}
    values["asked"] = asked(request, seen)
    if seen.plan is None:
        return answer(request, "count/page.html", part, answer=None, **values)
    shown = _with_copies(seen)
    chosen = show if show in shown else next(iter(shown), "")
    return answer(
        request,
        "count/page.html",
        part,
        answer=_answer(_Content(seen.planned, seen.plan)),
        chart=chart(seen.planned, seen.plan, chosen) if chosen else None,
        shown=shown,
        sum=sum,
        since_last=_since_last(seen),
        **shown_sure(request, seen),
        **values,
    )


def _since_last(seen: Seen) -> tuple[Change, ...]:
    """Return what the published plan changed of the one before it."""
    if seen.plan is None or seen.plan.number < 2:
        return ()
    with reading() as conn:
        before = plan_numbered(conn, seen.id, seen.plan.number - 1)
        planned = day_planned(conn, seen.id, before.number)
    return run_changes(planned, seen.planned) + changes(seen.planned, before, seen.plan)


def _with_copies(seen: Seen) -> dict[str, Letter]:
    """Return the letters of the demonstrations that the plan makes copies of."""
    used = {each.demonstration for each in seen.plan.copies} if seen.plan else set()
    known = letters(seen.planned, seen.plan)
    return {each: letter for each, letter in known.items() if each in used}


class _Content:
    """A day and its plan, told apart by being the same objects: both are kept once parsed."""

    def __init__(
        self, day: Day, plan: Plan, of: str = "", width: float = 0, is_rough: bool = False
    ) -> None:
        self.day, self.plan, self.told = day, plan, (of, width, is_rough)

    def __hash__(self) -> int:
        return hash((id(self.day), id(self.plan), self.told))

    def __eq__(self, other: object) -> bool:
        same = isinstance(other, _Content) and self.day is other.day and self.plan is other.plan
        return same and self.told == other.told  # type: ignore[attr-defined]


def chart(
    day: Day, plan: Plan, demonstration: str, width: float = CHART_W, *, is_rough: bool = False
) -> Chart:
    """Return the swap chart of a demonstration; drawn once for a plan."""
    return _chart(_Content(day, plan, demonstration, width, is_rough))


@lru_cache(maxsize=KEPT)
def _chart(of: _Content) -> Chart:
    demonstration, width, is_rough = of.told
    return swap_chart(of.day, of.plan, demonstration, width, is_rough=is_rough)


@lru_cache(maxsize=KEPT)
def _answer(of: _Content) -> Answer:
    thumb, counts = rule_of_thumb(of.day), of.plan.counts
    return Answer(
        rows=tuple(_rows(of.day, of.plan, thumb)),
        columns=tuple(
            column for column in COLUMNS if any(getattr(each, column.field) for each in counts)
        ),
        made=sum(each.made for each in counts),
        proof=proof(of.plan),
        thumb=thumb,
        thumb_made=sum(thumb.made.values()),
        shortages=shortages(of.day, of.plan),
    )


def _rows(day: Day, plan: Plan, thumb: RuleOfThumb) -> list[Row]:
    known = letters(day, plan)
    codes = {each.id: stage_codes(each) for each in day.demonstrations}
    lacks = {(kind, key): 0 for kind in ("copies", "backups") for key in _keys(plan)}
    for lack in plan.unmet:
        key = (day.run(lack.run).demonstration, lack.stage)
        lacks[lack.kind, key] = lacks.get((lack.kind, key), 0) + lack.count
    counts = {(each.demonstration, each.stage): each for each in plan.counts}
    return [
        Row(
            key=f"{demonstration.id}.{stage.id}",
            letter=known[demonstration.id],
            code=codes[demonstration.id][stage.id],
            name=stage.called,
            count=counts[demonstration.id, stage.id],
            by_thumb=thumb.made.get((demonstration.id, stage.id), 0),
            short=lacks.get(("copies", (demonstration.id, stage.id)), 0),
            unbacked=lacks.get(("backups", (demonstration.id, stage.id)), 0),
        )
        for demonstration, stage in day.all_stages()
        if (demonstration.id, stage.id) in counts
    ]


def _keys(plan: Plan) -> list[tuple[str, str]]:
    return [(each.demonstration, each.stage) for each in plan.counts]
