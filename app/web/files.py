"""Files: what of a production goes out, and in which forms."""

from datetime import UTC, datetime
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import Refused
from app.storage.photographs import photograph_bytes
from app.web.errors import Told
from app.web.page import answer
from app.web.photographs import named
from app.web.seen import Seen, see

router = APIRouter(prefix="/productions/{id}/files")
KINDS = {
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "ics": "text/calendar; charset=utf-8",
    "zip": "application/zip",
}
WHAT = ("production", "plan", "count", "pulls", "runs")
LONGEST_NAME = 80


@router.get("")
def files(request: Request, id: int) -> Response:
    """Show all that can go out."""
    seen = see(id)
    return answer(
        request,
        "files/page.html",
        "files/_part.html",
        seen=seen,
        production=seen.production,
    )


@router.get("/production.zip")
def with_photographs(id: int) -> Response:
    """Hand out the day file with the photographs that it names beside it."""
    seen = see(id)
    return _zipped(seen.day, seen.production.title)


@router.get("/planned.json")
def planned(id: int) -> Response:
    """Hand out the day file that the published plan, its count and its pull list are of."""
    seen = see(id)
    if seen.plan is None:
        raise Told(404, "There is no plan of this day yet.", then="Files", go=_address(id))
    title = f"{seen.production.title} plan {seen.plan.number}"
    return attached(canonical(seen.planned), title, "day.json")


@router.get("/demonstration/{demonstration}.{form}")
def one(id: int, demonstration: str, form: str) -> Response:
    """Hand out one demonstration, with those that it is made from."""
    from app.exchange.outgoing import day_of_one

    seen = see(id)
    if demonstration not in {each.id for each in seen.day.demonstrations}:
        raise Told(404, "There is no such demonstration.", then="Files", go=_address(id))
    day = day_of_one(seen.day, demonstration)
    if form == "zip":
        return _zipped(day, day.title)
    data = _written("demonstration", form, day, None, id)
    return attached(data, day.title, f"day.{form}" if form == "json" else form)


@router.get("/{what}.{form}")
def whole(id: int, what: str, form: str) -> Response:
    """Hand out a production, its plan, its count, its pull list or its runs."""
    seen = see(id)
    if what not in WHAT:
        raise Told(404, "There is no such file.", then="Files", go=_address(id))
    data = _written(what, form, _day(seen, what), seen.plan, id)
    ending = {"production": "", "plan": f" plan {seen.plan.number}" if seen.plan else ""}
    title = seen.production.title + ending.get(what, f" {what}")
    kind = {"production": "day.", "plan": "plan."}.get(what, "") if form == "json" else ""
    return attached(data, title, kind + form)


def _zipped(day: Day, title: str) -> Response:
    from app.exchange.dayzip import dump_day_zip

    pictures = {name: photograph_bytes(name) for name in named([day])}
    return attached(dump_day_zip(canonical(day), pictures), title, "day.zip")


def _day(seen: Seen, what: str) -> Day:
    return seen.planned if what in ("plan", "count", "pulls") else seen.day


def _written(what: str, form: str, day: Day, plan: Plan | None, id: int) -> bytes:
    from app.exchange.outgoing import outgoing

    try:
        return outgoing(what, form, day, plan, datetime.now(UTC))
    except Refused as refused:
        raise Told(404, str(refused), then="Files", go=_address(id)) from refused


def attached(data: bytes, title: str, ending: str) -> Response:
    """Answer with a file to be saved, under a name that any disk takes."""
    plain = "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in title)
    name = quote(f"{title[:LONGEST_NAME]}.{ending}", safe="")
    plain = plain[:LONGEST_NAME]
    said = f"attachment; filename=\"{plain}.{ending}\"; filename*=UTF-8''{name}"
    headers = {"Content-Disposition": said, "Cache-Control": "private, no-cache"}
    return Response(data, media_type=KINDS[ending.rsplit(".", 1)[-1]], headers=headers)


def _address(id: int) -> str:
    return f"/productions/{id}/files"
