"""A new demonstration: from a skeleton, an earlier production, a recipe, or a spreadsheet."""

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day, Demonstration
from app.planning.reading import Refused, faults_of_day
from app.storage.brought import keep_brought
from app.storage.changes.demonstrations import add_demonstrations
from app.storage.engine import reading, writing
from app.storage.queries.productions import all_productions
from app.storage.queries.productions import day as day_of
from app.web.brought import (
    Brought,
    looked_at,
    of_earlier,
    of_recipe,
    of_sheet,
    of_skeleton,
    skeletons_by_id,
)
from app.web.errors import Told
from app.web.faults import in_words
from app.web.forms import Form, Typed, new_once
from app.web.outlines import outlined
from app.web.page import answer, go_to
from app.web.photographs import taken_in, with_photographs
from app.web.seen import Seen, in_fahrenheit, see, who

router = APIRouter(prefix="/productions/{id}/begin")
MOST_FAULTS, LONGEST_TITLE = 12, 120


@router.get("")
def begin(request: Request, id: int) -> Response:
    """Show the ways to begin a demonstration."""
    return _begin(request, id)


def _begin(request: Request, id: int, status: int = 200, **more: Any) -> Response:
    seen = see(id)
    with reading() as conn:
        others = [each for each in all_productions(conn) if each.id != id and each.demonstrations]
    values: dict[str, Any] = {"refused": None, "fault": "", "of": "", "typed": ""}
    return answer(
        request,
        "beginnings/page.html",
        "beginnings/_part.html",
        status,
        seen=seen,
        production=seen.production,
        skeletons=list(skeletons_by_id().values()),
        others=others,
        **(values | more),
    )


@router.get("/skeleton/{name}")
def skeleton(request: Request, id: int, name: str) -> Response:
    """Show a skeleton of stages, each of its times marked."""
    return _preview(request, see(id), of_skeleton(name))


@router.post("/skeleton/{name}")
def add_skeleton(request: Request, id: int, name: str, form: Form) -> Response:
    """Add a skeleton of stages to the production."""
    return _add(request, id, of_skeleton(name), form)


@router.get("/earlier/{other}")
def earlier(request: Request, id: int, other: int) -> Response:
    """List the demonstrations of another production."""
    seen = see(id)
    with reading() as conn:
        day = day_of(conn, other)
    return answer(
        request,
        "beginnings/earlier.html",
        "beginnings/_earlier.html",
        seen=seen,
        production=seen.production,
        other=other,
        day=day,
    )


@router.get("/earlier/{other}/{demonstration}")
def one_earlier(request: Request, id: int, other: int, demonstration: str) -> Response:
    """Show a demonstration of another production, with what it is made from."""
    return _preview(request, see(id), of_earlier(_day(other), other, demonstration))


@router.post("/earlier/{other}/{demonstration}")
def add_earlier(request: Request, id: int, other: int, demonstration: str, form: Form) -> Response:
    """Add a demonstration of another production, with what it is made from."""
    return _add(request, id, of_earlier(_day(other), other, demonstration), form)


def _day(production: int) -> Day:
    with reading() as conn:
        return day_of(conn, production)


@router.post("/recipe")
def bring_recipe(request: Request, id: int, form: Form) -> Response:
    """Take in a recipe, pasted or as a file, and go to what it would become."""
    pasted = form.values.get("text", "")
    data = pasted.encode() if pasted.strip() else form.file("file")
    if data is None:
        fault = "Paste the recipe here, or choose its file below."
        return _begin(request, id, 422, fault=fault, of="recipe")
    try:
        of_recipe(data, "")
    except Refused as refused:
        return _begin(request, id, 422, refused=refused, of="recipe", typed=pasted)
    return go_to(request, f"/productions/{id}/begin/recipe/{keep_brought(data)}")


@router.get("/recipe/{brought}")
def recipe(request: Request, id: int, brought: str) -> Response:
    """Show what a recipe would become."""
    return _preview(request, see(id), of_recipe(looked_at(brought), brought))


@router.post("/recipe/{brought}")
def add_recipe(request: Request, id: int, brought: str, form: Form) -> Response:
    """Add what a recipe becomes."""
    return _add(request, id, of_recipe(looked_at(brought), brought), form)


@router.post("/sheet")
def bring_sheet(request: Request, id: int, form: Form) -> Response:
    """Take in a spreadsheet, and go to what its rows would become."""
    data = form.file("file")
    if data is None:
        return _begin(request, id, 422, fault=form.faults["file"], of="sheet")
    name = form.files["file"].filename or ""
    try:
        of_sheet(data, name, {}, "")
    except Refused as refused:
        return _begin(request, id, 422, refused=refused, of="sheet")
    query = urlencode({"name": name[:LONGEST_TITLE]})
    return go_to(request, f"/productions/{id}/begin/sheet/{keep_brought(data)}?{query}")


@router.get("/sheet/{brought}")
def sheet(request: Request, id: int, brought: str) -> Response:
    """Show what the rows of a spreadsheet would become, as its columns are mapped."""
    return _preview(request, see(id), _sheet(request, brought))


@router.post("/sheet/{brought}")
def add_sheet(request: Request, id: int, brought: str, form: Form) -> Response:
    """Add what the rows of a spreadsheet become, as its columns are mapped."""
    return _add(request, id, _sheet(request, brought), form)


def _sheet(request: Request, brought: str) -> Brought:
    asked = dict(request.query_params)
    name = asked.get("name", "")[:LONGEST_TITLE]
    try:
        return of_sheet(looked_at(brought), name, asked, brought)
    except Refused as refused:
        raise Told(422, str(refused.faults[0])) from refused


def _preview(request: Request, seen: Seen, brought: Brought, status: int = 200) -> Response:
    shown = [each.demonstration for each in brought.beginnings]
    known = {each.id: each for each in [*seen.day.demonstrations, *shown]}
    reads_fahrenheit = in_fahrenheit()
    outlines = [
        (each, outlined(each.demonstration, known, reads_fahrenheit)) for each in brought.beginnings
    ]
    return answer(
        request,
        "beginnings/preview.html",
        "beginnings/_preview.html",
        status,
        seen=seen,
        production=seen.production,
        brought=brought,
        outlines=outlines,
        faults=_faults(seen.day, shown),
        once=new_once(),
        query=request.url.query,
    )


def _faults(day: Day, shown: Sequence[Demonstration]) -> list[str]:
    """Return what of the new demonstrations could not be planned in this kitchen, in words."""
    first = len(day.demonstrations)
    both = day.model_copy(update={"demonstrations": (*day.demonstrations, *shown)})
    found = [
        each
        for each in faults_of_day(both)
        if each.path[:1] == ("demonstrations",)
        and len(each.path) > 1
        and int(each.path[1]) >= first
    ]
    said, of_empty = in_words(both, found, _names(both))
    told = [f"{both.demonstrations[int(each.path[1])].title}: {words}" for each, words in said]
    told += [f"The kitchen: {of_empty}"] if of_empty else []
    return list(dict.fromkeys(told))[:MOST_FAULTS]


def _names(day: Day) -> dict[str, str]:
    """Return what the demonstrations of a day, their stages, ways and beats are called, by id."""
    names = {shown.id: shown.title for shown in day.demonstrations}
    for shown in day.demonstrations:
        ways = [way for stage in shown.stages for way in stage.ways]
        names |= {each.id: each.called for each in (*shown.stages, *ways, *shown.beats)}
    return names


def _add(request: Request, id: int, brought: Brought, form: Typed) -> Response:
    shown = [each.demonstration for each in brought.beginnings]
    if len(shown) == 1 and form.has("title"):
        title = form.text("title", least=1, most=LONGEST_TITLE)
        if form.faults:
            raise Told(422, f"Its name: {form.faults['title']}")
        shown = [brought.called(shown[0], title)]
    try:
        shown = with_photographs(shown, taken_in(brought.pictures))
    except Refused as refused:
        raise Told(422, str(refused.faults[0])) from refused
    with writing() as conn:
        change = add_demonstrations(
            conn, id, shown, source=brought.source, by=who(request), once=form.once
        )
    keys = change.outcome["keys"]
    there = f"/{keys[-1]}" if len(shown) == 1 or brought.is_last_shown else ""
    return go_to(request, f"/productions/{id}/demonstrations{there}")
