"""Runs are added to the rundown, and a day of them is duplicated."""

import itertools
from datetime import date, timedelta

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Run
from app.planning.ids import id_from
from app.planning.refusals.spans import MOST_DAYS
from app.storage.changes.run_days import duplicate_day
from app.storage.changes.structure import Added, add_part
from app.storage.engine import reading, writing
from app.storage.parts import Values
from app.storage.queries.sheets import Sheet, sheet
from app.storage.refusals import Refusal
from app.web import words
from app.web.errors import Told
from app.web.fields.demonstrations import KINDS
from app.web.fields.rundown import FROM_FIRST_BEAT
from app.web.fields.taking import called
from app.web.forms import Form, Typed
from app.web.moments import Moment
from app.web.rundown import show
from app.web.seen import who
from app.web.typed import NotUnderstood

router = APIRouter(prefix="/productions/{id}/runs")
MOST_BENCHES, LONGEST_TITLE = 1_000, 90


@router.post("")
def add(request: Request, id: int, form: Form) -> Response:
    """Add a run; what is wrong is told beside its field, and what was typed is kept."""
    with reading() as conn:
        known = sheet(conn, id)
    run = _run(form, known)
    if run is None:
        return show(request, id, 422, adding=form.values, add_faults=form.faults)
    of_kind = f", {'' if run.kind == 'stills' else 'a '}{run.kind}"
    told = f"added {run.called}" + (of_kind if form.values.get("name") else "")
    added = Added("runs", run, {"production_id": id})
    with writing() as conn:
        change = add_part(conn, id, added, words=told, by=who(request), once=form.once)
    return show(request, id, said=change.words, moved=run.id, adding=_next(form))


@router.post("/day")
def again(request: Request, id: int, form: Form) -> Response:
    """Duplicate a day on another date."""
    of = form.text("of", least=10, most=10)
    with reading() as conn:
        known = sheet(conn, id)
    starts = [row["starts"][:10] for row in known.all("runs")]
    if of not in starts:
        raise Told(409, "There is no run on that day any more. Nothing was added.")
    to = _moment(form, known, "to", f"{max(starts)}T12:00", "date")
    if not form.faults and _is_too_far(known, to):
        form.faults["to"] = f"A production lies within {MOST_DAYS} days of when its prep starts."
    if form.faults:
        return show(request, id, 422, day_at=of, day_to=form.values.get("to", ""), **_first(form))
    told = f"duplicated {words.date(of)} on {words.date(to)}"
    by, shifts, once = who(request), form.has("shifts"), form.once
    try:
        with writing() as conn:
            change = duplicate_day(
                conn, id, of, to[:10], with_shifts=shifts, words=told, by=by, once=once
            )
    except Refusal as refusal:
        return show(request, id, 422, day_at=of, day_to=to[:10], day_fault=refusal.words)
    return show(request, id, said=change.words)


def _first(form: Typed) -> dict[str, str]:
    return {"day_fault": " ".join(form.faults.values())}


def _run(form: Typed, known: Sheet) -> Run | None:
    shown = {row["key"]: row for row in known.all("demonstrations")}
    demonstration = form.values.get("demonstration", "")
    if demonstration not in shown:
        form.faults["demonstration"] = "Choose the demonstration that is shown."
    kind = form.choice("kind", tuple(KINDS))
    name = form.text("name", most=120)
    beside = known.production["prep_from"]
    on = _moment(form, known, "date", beside, "date")
    starts = _moment(form, known, "hour", on or beside, "hour")
    if not form.faults and _is_too_far(known, starts):
        form.faults["date"] = f"A production lies within {MOST_DAYS} days of when its prep starts."
    benches = form.whole("stations", least=1, most=MOST_BENCHES) if form.has("stations") else 1
    if form.faults:
        return None
    taken = {str(row["key"]) for row in known.all("runs")}
    facts = {
        "id": id_from(name or f"{demonstration[:36]}-{kind}", taken, "run"),
        "name": name or _name(known, shown[demonstration], kind),
        "demonstration": demonstration,
        "kind": kind,
        "starts": starts,
        "stations": benches,
        "dry": form.has("dry"),
        "starts_at_first_beat": kind in FROM_FIRST_BEAT,
    }
    return Run.model_validate(facts)


def _name(known: Sheet, shown: Values, kind: str) -> str:
    """Return what a run is called that nobody named: *Plum buns take 2*."""
    said, title = {called(row) for row in known.all("runs")}, str(shown["title"])[:LONGEST_TITLE]
    numbers = (f"{title} {kind}{f' {n}' if n > 1 else ''}" for n in itertools.count(1))
    return next(name for name in numbers if name not in said)


def _moment(form: Typed, known: Sheet, name: str, beside: str, part: str) -> str:
    reader = Moment(known.production["timezone"], beside, "date" if part == "date" else "hour")
    try:
        return reader.understand(form.text(name, most=40))
    except NotUnderstood as why:
        form.faults[name] = str(why)
        return ""


def _is_too_far(known: Sheet, starts: str) -> bool:
    away = date.fromisoformat(starts[:10]) - date.fromisoformat(known.production["prep_from"][:10])
    return abs(away) >= timedelta(days=MOST_DAYS)


def _next(form: Typed) -> dict[str, str]:
    """Return what the next run's form begins from: the same day, kind and demonstration."""
    return {name: form.values.get(name, "") for name in ("demonstration", "kind", "date")}
