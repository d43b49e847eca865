"""What an earlier production leaves over, and this one may take over as stock."""

from collections import Counter
from typing import NamedTuple

from fastapi import APIRouter, Request
from fastapi.responses import Response
from sqlalchemy import Connection

from app.planning.day import Stock
from app.planning.ids import id_from
from app.planning.minutes import Clock
from app.storage.changes.structure import Added, add_part
from app.storage.engine import reading, writing
from app.storage.queries.plans import day_planned, published
from app.storage.queries.productions import ProductionRow, all_productions
from app.storage.queries.sheets import Sheet, sheet
from app.storage.queries.ticks import states
from app.web.errors import Told
from app.web.fields.kitchens import stages
from app.web.forms import Form
from app.web.page import go_to
from app.web.seen import who

router = APIRouter(prefix="/productions/{id}/stock")
MOST_EARLIER = 5


class LeftOver(NamedTuple):
    """Copies of one stage, staged at one time, that no beat and no batch of a plan takes."""

    production: int
    title: str
    demonstration: str
    stage: str
    called: str
    staged: str
    copies: int


@router.post("/carry")
def carry(request: Request, id: int, form: Form) -> Response:
    """Take what an earlier production leaves over into stock."""
    wanted = tuple(form.text(name) for name in ("from", "demonstration", "stage", "staged"))
    with reading() as conn:
        rows = sheet(conn, id)
        found = [each for each in left_over(conn, id, rows) if _key(each) == wanted]
    if not found:
        raise Told(409, "That is not left over any more. Nothing was added.")
    (one,) = found
    stock = Stock(
        id=id_from(f"{one.demonstration[:22]}-{one.stage[:22]}"),
        demonstration=one.demonstration,
        stage=one.stage,
        count=one.copies,
        staged=one.staged,
    )
    words = f"took over {one.copies} × {one.called} from “{one.title}”"
    added = Added("stock", stock, {"production_id": id})
    with writing() as conn:
        add_part(conn, id, added, words=words, by=who(request), once=form.once)
    return go_to(request, f"/productions/{id}/kitchen#stock")


def left_over(connection: Connection, id: int, rows: Sheet) -> list[LeftOver]:
    """Return what earlier productions leave over that still keeps when this one's prep starts.

    Only stages that this production has as well, under the same ids; copies that have been on
    camera are left out, since stock is taken not to have been.
    """
    here, prep_from = stages(rows, {}), rows.production["prep_from"]
    there = {(row["demonstration"], row["stage"], row["staged"]) for row in rows.all("stock")}
    earlier = [
        each
        for each in all_productions(connection)
        if each.id != id and each.plan and each.timezone == rows.production["timezone"]
    ]
    earlier = [each for each in earlier if (each.last_run or each.prep_from) < prep_from]
    earlier.sort(key=lambda each: each.last_run or each.prep_from, reverse=True)
    found: list[LeftOver] = []
    for each in earlier[:MOST_EARLIER]:
        for (home, stage, staged), count in _counted(connection, each, prep_from).items():
            called = here.get(f"{home}/{stage}")
            if called and (home, stage, staged) not in there:
                found.append(LeftOver(each.id, each.title, home, stage, called, staged, count))
    return found


def _counted(
    connection: Connection, of: ProductionRow, prep_from: str
) -> Counter[tuple[str, str, str]]:
    plan, lost = published(connection, of.id), states(connection, of.id).lost
    day, clock = day_planned(connection, of.id), Clock(of.timezone)
    begins = clock.minute(prep_from)
    copies = {copy.id: copy for copy in plan.copies} if plan else {}
    shown = {copy for copy in copies if copies[copy].made_by.batch is None}
    shown |= {copy for use in (plan.uses if plan else ()) for copy in use.copies}
    shown -= {copy for copy in copies if copies[copy].made_by.stock is not None}
    for batch in sorted(plan.batches if plan else (), key=lambda each: each.starts):
        shown |= set(batch.copies if shown.intersection(batch.consumes) else ())
    left: Counter[tuple[str, str, str]] = Counter()
    for copy in copies.values():
        if copy.taken_by or copy.id in lost or copy.id in shown:
            continue
        keeps_min = day.stage(copy.demonstration, copy.stage).keeps_min
        if clock.minute(copy.staged_at) + keeps_min >= begins:
            left[copy.demonstration, copy.stage, copy.staged_at] += 1
    return left


def _key(each: LeftOver) -> tuple[str, str, str, str]:
    return str(each.production), each.demonstration, each.stage, each.staged
