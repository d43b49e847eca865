"""Photographs of stages: taken in, cleaned, shown; a change of one can be taken back."""

from collections.abc import Iterable, Mapping
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import FileResponse, Response
from sqlalchemy import Connection

from app.planning.day import Day, Demonstration, Stage
from app.planning.reading import Refused
from app.storage.changes.fields import Filled, fill_in
from app.storage.engine import writing
from app.storage.parts import Place, Values
from app.storage.photographs import keep_photograph, photograph
from app.storage.queries.sheets import sheet
from app.storage.refusals import Conflict
from app.web.errors import Told
from app.web.forms import Form
from app.web.letters import stage_codes
from app.web.page import answer, go_to
from app.web.seen import see, who

router = APIRouter(prefix="/productions/{id}")
SCREEN = "/demonstrations/{demonstration}/photographs"
FOREVER = "private, max-age=31536000, immutable"


def pictured(day: Day) -> dict[tuple[str, str], tuple[str, str]]:
    """Return the name and the words of each stage's photograph that is here."""
    return {
        (shown.id, stage.id): (stage.photo, words_for(shown, stage))
        for shown, stage in day.all_stages()
        if stage.photo and photograph(stage.photo)
    }


def words_for(shown: Demonstration, stage: Stage) -> str:
    """Return what a photograph shows, for whoever does not see it."""
    look = f": {stage.look}" if stage.look else ""
    return f"{shown.title}, {stage.called}{look}"


@router.get("/photographs/{name}")
def picture(id: int, name: str) -> Response:
    """Hand out one photograph; its name is told from its bytes, so it never changes."""
    file = photograph(name)
    if file is None:
        raise Told(404, "This photograph is not here.", go=f"/productions/{id}/demonstrations")
    return FileResponse(file, media_type="image/jpeg", headers={"Cache-Control": FOREVER})


@router.get(SCREEN)
def photographs(request: Request, id: int, demonstration: str) -> Response:
    """Show the photographs of a demonstration, a stage each."""
    return _show(request, id, demonstration)


def _show(
    request: Request, id: int, demonstration: str, status: int = 200, **more: Any
) -> Response:
    seen = see(id)
    shown = _shown(seen.day, id, demonstration)
    values: dict[str, Any] = {"fault": "", "at": ""}
    return answer(
        request,
        "photographs/page.html",
        "photographs/_part.html",
        status,
        seen=seen,
        production=seen.production,
        shown=shown,
        codes=stage_codes(shown),
        pictured=pictured(seen.day),
        **(values | more),
    )


def _shown(day: Day, id: int, demonstration: str) -> Demonstration:
    for each in day.demonstrations:
        if each.id == demonstration:
            return each
    there = f"/productions/{id}/demonstrations"
    raise Told(404, "There is no such demonstration.", then="All demonstrations", go=there)


@router.post(SCREEN + "/{stage}")
def take_in(request: Request, id: int, demonstration: str, stage: str, form: Form) -> Response:
    """Keep a photograph of a stage, in place of the one that the form showed."""
    from app.exchange.photograph import cleaned

    data = form.file("file")
    if data is None:
        return _show(request, id, demonstration, 422, fault=form.faults["file"], at=stage)
    try:
        name = keep_photograph(cleaned(data))
    except Refused as refused:
        words = "; ".join(fault.words for fault in refused.faults)
        return _show(request, id, demonstration, 422, fault=f"Not kept: {words}.", at=stage)
    return _put(request, id, demonstration, stage, form, name)


@router.post(SCREEN + "/{stage}/remove")
def take_off(request: Request, id: int, demonstration: str, stage: str, form: Form) -> Response:
    """Show no photograph of a stage any more."""
    return _put(request, id, demonstration, stage, form, "")


def _put(
    request: Request, id: int, demonstration: str, stage: str, form: Form, name: str
) -> Response:
    with writing() as conn:
        row = _row(conn, id, demonstration, stage)
        began = form.values.get("began", row["photo"])
        place = Place("stages", row["id"])
        filled = Filled(place, "photo", {"photo": name}, None, {"photo": began})
        called = row["name"] or row["key"]
        words = f"{'took off' if not name else 'changed'} the photograph of {called}"
        try:
            fill_in(conn, id, filled, words=words, by=who(request), once=form.once)
        except Conflict as clash:
            fault = (
                f"{clash.by} changed this photograph meanwhile; choose again if yours is better."
            )
        else:
            fault = ""
    if fault:
        return _show(request, id, demonstration, 409, fault=fault, at=stage)
    return go_to(request, f"/productions/{id}/demonstrations/{demonstration}/photographs")


def _row(conn: Connection, id: int, demonstration: str, stage: str) -> Values:
    rows = sheet(conn, id)
    for shown in rows.all("demonstrations"):
        if shown["key"] == demonstration:
            for row in rows.below("demonstrations", shown["id"], "stages"):
                if row["key"] == stage:
                    return row
    raise Told(404, "There is no such stage any more.")


def renamed(day: Day, names: Mapping[str, str]) -> Day:
    """Return a day whose photographs have the names under which they are kept."""
    shown = tuple(with_photographs(day.demonstrations, names))
    return day.model_copy(update={"demonstrations": shown})


def with_photographs(
    demonstrations: Iterable[Demonstration], names: Mapping[str, str]
) -> list[Demonstration]:
    """Return demonstrations whose photographs have the names under which they are kept."""
    return [
        each.model_copy(update={"stages": tuple(_pictured(stage, names) for stage in each.stages)})
        for each in demonstrations
    ]


def _pictured(stage: Stage, names: Mapping[str, str]) -> Stage:
    kept = names.get(stage.photo)
    return stage.model_copy(update={"photo": kept}) if kept else stage


def taken_in(pictures: Mapping[str, bytes]) -> dict[str, str]:
    """Keep photographs that came with a day; return under which names, by those that it gave.

    Raises
    ------
    Refused
        If one of them is no photograph.
    """
    from app.exchange.photograph import cleaned

    return {name: keep_photograph(cleaned(data)) for name, data in pictures.items()}


def named(days: Iterable[Day]) -> set[str]:
    """Return the names of the photographs of days that are here."""
    return {name for day in days for name, _ in pictured(day).values()}
