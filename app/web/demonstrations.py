"""Demonstrations, edited: what is made of what, by which ways, and what happens on camera."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day, Demonstration
from app.planning.ids import id_from
from app.planning.plan import Plan
from app.storage.changes.structure import Added, add_part
from app.storage.changes.undo import Steps, steps
from app.storage.engine import reading, writing
from app.storage.parts import Place, Values, row_at
from app.storage.queries.sheets import Sheet, sheet
from app.web.cells import Editor
from app.web.charts.swap import Chart
from app.web.count import chart
from app.web.drafts import Asked, asked
from app.web.errors import Told
from app.web.faults import faults
from app.web.forms import Form, new_once
from app.web.letters import letters, stage_codes
from app.web.page import answer, go_to
from app.web.seen import Seen, has_changed, see, who

if TYPE_CHECKING:
    from app.planning.rough import Rough

router = APIRouter(prefix="/productions/{id}/demonstrations")
WIDE = 1320.0
FOLLOWS = "demonstrations/_follows.html"


@router.get("")
def demonstrations(request: Request, id: int) -> Response:
    """List the demonstrations."""
    seen, rows, known = _read(request, id)
    return answer(
        request,
        "demonstrations/list.html",
        "demonstrations/_list.html",
        seen=seen,
        production=seen.production,
        letters=letters(seen.day, seen.plan),
        edit=Editor(rows),
        sheet=rows,
        steps=known,
        once=new_once(),
    )


@router.post("")
def add(request: Request, id: int, form: Form) -> Response:
    """Add a demonstration and open it."""
    name = form.text("name", least=1, most=120)
    if form.faults:
        raise Told(422, f"Its name: {form.faults['name']}", kept="What you typed is kept.")
    begun = Demonstration(id=id_from(name, otherwise="demonstration"), title=name, stages=())
    with writing() as conn:
        words, by = f"added a demonstration, {name}", who(request)
        added = Added("demonstrations", begun, {"production_id": id})
        change = add_part(conn, id, added, words=words, by=by, once=form.once)
        place = Place.read(change.outcome["place"])
        row = row_at(conn, place) if place else None
    return go_to(request, f"/productions/{id}/demonstrations/{row['key'] if row else ''}")


@router.get("/{demonstration}")
def demonstration(request: Request, id: int, demonstration: str) -> Response:
    """Show one demonstration whole, each field of it to be filled in."""
    return _show(request, id, demonstration, "demonstrations/_part.html")


@router.get("/{demonstration}/beside")
def beside(request: Request, id: int, demonstration: str) -> Response:
    """Show what follows from the fields: the rough count, the swap chart, and what is wrong.

    A count that takes long is a bound at first, and asked for again: `whole=yes`. Whoever edits on
    does not wait for it: it stops, and is asked for anew.
    """
    return _show(request, id, demonstration, FOLLOWS)


def _show(request: Request, id: int, demonstration: str, part: str) -> Response:
    seen, rows, known = _read(request, id)
    row = _row(rows, demonstration, id)
    found, told = faults(seen.day, rows)
    # Late: the solver takes a second to load, which a server that starts does not have.
    from app.planning.rough import rough_count

    is_whole = request.query_params.get("whole") == "yes"
    shown, now = seen.day.demonstration(demonstration), asked(request, seen)
    is_over = partial(has_changed, seen)
    rough = rough_count(seen.day, shown.id, in_haste=not is_whole, is_over=is_over)
    return answer(
        request,
        "demonstrations/page.html",
        part,
        seen=seen,
        production=seen.production,
        shown=shown,
        row=row,
        letters=letters(seen.day, seen.plan),
        codes=stage_codes(shown),
        edit=Editor(rows, found),
        sheet=rows,
        steps=known,
        told=told,
        asked=now,
        rough=rough,
        counts_on=not is_whole or is_over(),
        picture=picture(seen, now, shown.id, rough),
    )


@dataclass(frozen=True)
class Drawn:
    """What a swap chart is drawn of, in words; none where it shows nothing of a demonstration."""

    of: str
    day: Day
    plan: Plan
    is_old: bool = False
    is_rough: bool = False

    def chart(self, demonstration: str) -> Chart | None:
        """Return the chart."""
        if not any(copy.demonstration == demonstration for copy in self.plan.copies):
            return None
        return chart(self.day, self.plan, demonstration, WIDE, is_rough=self.is_rough)


def picture(seen: Seen, now: Asked, demonstration: str, rough: "Rough") -> dict[str, Any]:
    """Return the swap chart of a demonstration and what it is drawn of.

    Of the day as it stands now: the draft, else the plan, else what the rough count supposes. Where
    there is none of these it is of the last draft or plan, and old.
    """
    found = list(_drawn(seen, now, rough))
    best = next((each for each in found if not each.is_old), found[0] if found else None)
    drawn = None if best is None else best.chart(demonstration)
    return {"chart": drawn, "drawn": best}


def _drawn(seen: Seen, now: Asked, rough: "Rough") -> Iterator[Drawn]:
    if now.plan is not None and now.draft is not None:
        of, is_old = f"the draft of plan {now.plan.number}", now.draft.day != seen.day
        yield Drawn(of, now.draft.day, now.plan, is_old)
    if seen.plan is not None:
        yield Drawn(f"plan {seen.plan.number}", seen.planned, seen.plan, seen.is_outdated)
    if rough.supposed is not None:
        yield Drawn("the rough count", rough.supposed.day, rough.supposed.plan, is_rough=True)


def _read(request: Request, id: int) -> tuple[Seen, Sheet, Steps]:
    """Return a production as it stands, its rows, and what the person can take back."""
    seen = see(id)
    with reading() as conn:
        return seen, sheet(conn, id), steps(conn, id, who(request))


def _row(rows: Sheet, demonstration: str, id: int) -> Values:
    for row in rows.all("demonstrations"):
        if row["key"] == demonstration:
            return row
    there = f"/productions/{id}/demonstrations"
    raise Told(404, "There is no such demonstration.", then="All demonstrations", go=there)
