"""The rundown: the runs in clock order, edited; one is moved, or one and all after it."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day, Run
from app.planning.minutes import Clock, NoSuchTime
from app.planning.moments import moved_along
from app.planning.overlaps import on_set, overlaps
from app.planning.refusals.spans import MOST_DAYS
from app.storage.changes.runs import move_run, move_run_and_all_after
from app.storage.changes.undo import Steps, steps
from app.storage.engine import reading, writing
from app.storage.parts import Values
from app.storage.queries.sheets import Sheet, sheet
from app.storage.refusals import Conflict, NotThere, Refusal
from app.web import words
from app.web.allergens import meetings_of
from app.web.cells import Editor
from app.web.drafts import asked
from app.web.faults import faults
from app.web.fields.demonstrations import KINDS
from app.web.forms import Form, Typed, new_once
from app.web.letters import Letter, letters
from app.web.page import answer, go_to
from app.web.seen import Seen, see, who
from app.web.timeline import timeline
from app.web.underway import move_under_way

router = APIRouter(prefix="/productions/{id}/rundown")
WHICH = ("one", "after")
NOTHING: dict[str, Any] = {
    "at": "",
    "faults": {},
    "typed": {},
    "conflict": None,
    "said": "",
    "moved": "",
    "adding": {},
    "add_faults": {},
    "day_at": "",
    "day_to": "",
    "day_fault": "",
}


@dataclass(frozen=True)
class Row:
    """One run as the rundown shows it."""

    run: Run
    letter: Letter
    airs: str
    ends: str
    beats: int
    is_new_day: bool
    values: Values
    beat_names: str


@router.get("")
def rundown(request: Request, id: int) -> Response:
    """Show the runs in clock order."""
    return show(request, id)


@router.get("/edit")
def editor(request: Request, id: int) -> Response:
    """Show the part whose fields are filled in."""
    return show(request, id, part="rundown/_editor.html")


@router.get("/beside")
def beside(request: Request, id: int) -> Response:
    """Show what follows from the fields: what is wrong, what overlaps, the time line."""
    return show(request, id, part="rundown/_beside.html")


@router.get("/table")
def table(request: Request, id: int) -> Response:
    """Show the runs as a table, over which a block of cells can be pasted."""
    return show(request, id, page="rundown/table.html", part="rundown/_table.html")


@router.post("/{run}")
def move(request: Request, id: int, run: str, form: Form) -> Response:
    """Give a run another start; with `which=after` all that start with it or after it move, too."""
    seen = see(id)
    day = seen.day
    starts = _starts(form)
    which = form.choice("which", WHICH)
    began_from = form.text("began_from", most=22)
    if not form.faults and (why := too_far(day, starts, run if which == "after" else "")):
        form.faults["starts"] = why
    if form.faults:
        return show(request, id, 422, at=run, faults=form.faults, typed=form.values)
    if seen.plan is not None and seen.has_begun:
        return _move_under_way(request, form, id, run, starts, all_after=which == "after")
    mover = move_run if which == "one" else move_run_and_all_after
    by, once = who(request), form.once
    try:
        with writing() as conn:
            change = mover(conn, id, run, starts, began_from=began_from, by=by, once=once)
    except Conflict as conflict:
        return show(request, id, 409, at=run, typed=form.values, conflict=conflict)
    except NotThere:
        raise
    except Refusal as refusal:
        faults = {"starts": refusal.words}
        return show(request, id, 422, at=run, faults=faults, typed=form.values)
    return show(request, id, said=change.words, moved=run)


def _move_under_way(
    request: Request, form: Typed, id: int, run: str, starts: str, *, all_after: bool
) -> Response:
    """Tell that a run moves, on a day that is under way; the plan is mended, to be accepted."""
    try:
        move_under_way(request, id, run, starts, all_after=all_after)
    except (Refusal, NoSuchTime) as why:
        words = why.words if isinstance(why, Refusal) else "That time does not exist that day."
        return show(request, id, 422, at=run, faults={"starts": words}, typed=form.values)
    return go_to(request, f"/productions/{id}/today")


def _starts(form: Typed) -> str:
    """Return the typed date and hour as a local text; a fault beside the field if it is none."""
    on, hour = form.text("date", least=1, most=10), form.text("hour", least=1, most=14)
    minutes, offset = hour[:5].replace(".", ":").replace("h", ":"), hour[5:].strip(" ()")
    if len(minutes) == 4 and minutes.isdigit():
        minutes = f"{minutes[:2]}:{minutes[2:]}"
    try:
        moment = datetime.strptime(f"{on} {minutes}", "%Y-%m-%d %H:%M")
    except ValueError:
        form.faults["starts"] = f"A date and an hour, such as 14:20, not “{on} {hour}”."
        return ""
    return moment.isoformat(timespec="minutes") + offset


def too_far(day: Day, starts: str, run: str = "") -> str:
    """Return why a run, or it and all after it, may not leave the sixty days of a production."""
    first = _days(day.prep_from)
    away = [_days(starts) - first]
    shifted = next((each for each in day.runs if each.id == run), None)
    if shifted is not None:
        dates = {each.id: each.starts for each in day.runs}
        along = moved_along(Clock(day.timezone), dates, run, starts)
        later = [_days(dates[each]) for each in along]
        away.append(max(later) - _days(shifted.starts) + away[0])
    if all(abs(each) < MOST_DAYS for each in away):
        return ""
    return (
        f"A production lies within {MOST_DAYS} days of {words.date(day.prep_from)}, when its "
        "prep starts; this would leave them."
    )


def _days(text: str) -> int:
    return date.fromisoformat(text[:10]).toordinal()


def show(
    request: Request,
    id: int,
    status: int = 200,
    page: str = "rundown/page.html",
    part: str = "rundown/_part.html",
    **more: Any,
) -> Response:
    """Show the rundown, or a part of it, with what a form of it has to tell."""
    seen, rows, known = _read(request, id)
    found, told = faults(seen.day, rows)
    in_order = _rows(seen.day, rows)
    values = {
        "seen": seen,
        "production": seen.production,
        "rows": in_order,
        "runs": [each.values for each in in_order],
        "touched": _touched(seen.day),
        "asked": asked(request, seen),
        "once": new_once(),
        "edit": Editor(rows, found),
        "sheet": rows,
        "steps": known,
        "told": told,
        "line": timeline(seen.day),
        "overlaps": _overlaps(seen.day),
        "kinds": tuple(KINDS),
        "day_next": _next_day(seen.day),
    }
    return answer(request, page, part, status, **values, **(NOTHING | more))


def _next_day(day: Day) -> str:
    """Return the date after the last run, on which a day is most likely duplicated."""
    last = max((run.starts for run in day.runs), default=day.prep_from)
    return (date.fromisoformat(last[:10]) + timedelta(days=1)).isoformat()


def _read(request: Request, id: int) -> tuple[Seen, Sheet, Steps]:
    seen = see(id)
    with reading() as conn:
        return seen, sheet(conn, id), steps(conn, id, who(request))


def _overlaps(day: Day) -> list[str]:
    """Return in words which runs start while another is on set."""
    clock = Clock(day.timezone)
    return [
        f"{each.later.called} starts at {clock.hour(each.starts)}, while {each.earlier.called} is "
        f"on set until {clock.hour(each.until)}."
        for each in overlaps(day)
    ]


def _touched(day: Day) -> dict[str, list[str]]:
    """Return who of the people of each run would meet what they avoid, in words."""
    found: dict[str, list[str]] = {}
    for each in meetings_of(day):
        found.setdefault(each.run, []).append(each.said)
    return {run: list(dict.fromkeys(said)) for run, said in found.items()}


def _rows(day: Day, sheet: Sheet) -> list[Row]:
    stored = {row["key"]: row for row in sheet.all("runs")}
    clock, known = Clock(day.timezone), letters(day)
    timed = sorted(
        ((on_set(day, run), run) for run in day.runs if run.id in stored), key=lambda each: each[0]
    )
    rows: list[Row] = []
    before = ""
    for (first, last), run in timed:
        airs = clock.text(first)
        rows.append(
            Row(
                run=run,
                letter=known[run.demonstration],
                airs=airs,
                ends=clock.text(last),
                beats=len(day.beats_of(run)),
                is_new_day=airs[:10] != before,
                values=stored[run.id],
                beat_names=", ".join(each.called for each in day.beats_of(run)),
            )
        )
        before = airs[:10]
    return rows
