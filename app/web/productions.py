"""The productions: the list, a new one from a file, the examples, a copy, the file again."""

from datetime import date, timedelta
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.exchange.dayfile import dump_plan
from app.planning.canonical import canonical
from app.planning.reading import Refused, read_unfinished_day
from app.storage.changes.productions import (
    add_production,
    bring_back_production,
    copy_production,
    remove_production,
)
from app.storage.engine import reading, writing
from app.storage.queries.drafts import productions_to_answer
from app.storage.queries.plans import published
from app.storage.queries.productions import (
    all_productions,
    day,
    kitchens,
    production,
    removed_productions,
)
from app.web.errors import Told
from app.web.examples import EXAMPLES, open_example
from app.web.files import attached
from app.web.forms import Form, new_once
from app.web.moments import Moment
from app.web.page import answer, go_to
from app.web.photographs import renamed, taken_in
from app.web.seen import who
from app.web.typed import NotUnderstood

router = APIRouter()
PAGE, PART = "productions/page.html", "productions/_part.html"


def _show(request: Request, part: str = PART, status: int = 200, **more: Any) -> Response:
    with reading() as conn:
        rows, gone, kept = all_productions(conn), removed_productions(conn), kitchens(conn)
        to_answer = productions_to_answer(conn)
    values = {
        "productions": rows,
        "removed": gone,
        "kitchens": kept,
        "to_answer": to_answer,
        "tomorrow": (date.today() + timedelta(days=1)).isoformat(),
        "refused": None,
        "fault": "",
    } | more
    return answer(request, PAGE, part, status, examples=EXAMPLES, once=new_once(), **values)


@router.get("/")
def productions(request: Request) -> Response:
    """Show every production, the last changed first."""
    return _show(request)


@router.get("/productions/{id}", include_in_schema=False)
def opened(request: Request, id: int) -> Response:
    """Go to the rundown: a production has no screen of its own."""
    with reading() as conn:
        production(conn, id)
    return go_to(request, f"/productions/{id}/rundown")


@router.post("/productions")
def add(request: Request, form: Form) -> Response:
    """Store a day, in whatever form, as a new production; it may still be in the making."""
    from app.exchange.incoming import load_any_day

    data = form.file("day")
    if data is None:
        return _show(request, "productions/_refused.html", 422, fault=form.faults["day"])
    name = form.files["day"].filename or ""
    try:
        read, pictures = load_any_day(data, name, read_unfinished_day)
        read = renamed(read, taken_in(pictures))
    except Refused as refused:
        return _show(request, "productions/_refused.html", 422, refused=refused, file=name)
    with writing() as conn:
        added = add_production(conn, read, by=who(request), once=form.once)
    return go_to(request, f"/productions/{added}/rundown")


@router.post("/productions/examples/{name}")
def add_example(request: Request, name: str, form: Form) -> Response:
    """Open one of the example productions as a new production."""
    if name not in EXAMPLES:
        raise Told(404, "There is no such example.")
    added = open_example(name, by=who(request), once=form.once)
    return go_to(request, f"/productions/{added}/count")


@router.post("/productions/{id}/copy")
def copy(request: Request, id: int, form: Form) -> Response:
    """Copy a production, without its plans, and open the copy."""
    title, prep_on = form.text("title", most=120) or None, form.text("date", most=40) or None
    if form.faults:
        raise Told(422, f"The copy's title: {form.faults['title']}")
    with reading() as conn:
        row = production(conn, id)
    if prep_on is not None:
        try:
            prep_on = Moment(row.timezone, row.prep_from, "date").understand(prep_on)
        except NotUnderstood as why:
            raise Told(422, f"When the prep of the copy starts: {why}") from why
    with writing() as conn:
        made = copy_production(conn, id, title, prep_on, by=who(request), once=form.once)
    return go_to(request, f"/productions/{made}/rundown")


@router.post("/productions/{id}/remove")
def remove(request: Request, id: int, form: Form) -> Response:
    """Take a production out of the list; it can be brought back."""
    with writing() as conn:
        remove_production(conn, id, by=who(request), once=form.once)
    return _show(request)


@router.post("/productions/{id}/bring-back")
def bring_back(request: Request, id: int, form: Form) -> Response:
    """Put a removed production back into the list."""
    with writing() as conn:
        bring_back_production(conn, id, by=who(request), once=form.once)
    return _show(request)


@router.get("/productions/{id}/day.json")
def export_day(id: int) -> Response:
    """Hand out the day file, in its canonical form."""
    with reading() as conn:
        row, found = production(conn, id), day(conn, id)
    return attached(canonical(found), row.title, "day.json")


@router.get("/productions/{id}/plan.json")
def export_plan(id: int) -> Response:
    """Hand out the published plan as a file."""
    with reading() as conn:
        row, plan = production(conn, id), published(conn, id)
    if plan is None:
        there = f"/productions/{id}/count"
        raise Told(404, "This production has no plan yet.", then="The count", go=there)
    return attached(dump_plan(plan), f"{row.title} plan {plan.number}", "plan.json")
