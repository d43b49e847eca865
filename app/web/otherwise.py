"""What did not go as planned: a page of choices for a batch, a run, an item or a person."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.tasks import tags_in_words
from app.web.choices import Chooser, Group
from app.web.errors import Told
from app.web.floor import Floor, floor
from app.web.page import answer
from app.web.underway import under_way
from app.web.why_then import why_lines

router = APIRouter(prefix="/productions/{id}/today")


@router.get("/batch/{batch}")
def of_batch(request: Request, id: int, batch: str) -> Response:
    """Show what can be said of a batch."""
    found = _floor(request, id)
    known = next((each for each in found.plan.batches if each.id == batch), None)
    if known is None:
        raise nothing(id, f"Plan {found.plan.number} has no such batch any more.")
    row = next(row for row in found.rows if row.batch == batch)
    stage = found.day.stage(known.demonstration, known.stage).called
    title = found.day.demonstration(known.demonstration).title
    starts = found.clock.hour_seen_from(row.starts, found.today)
    about = f"{title}: {stage} {tags_in_words(row.tags)}, {starts}"
    groups = list(_chooser(found).of_batch(known))
    return _choose(request, found, about, groups, why_lines(found, batch))


@router.get("/run/{run}")
def of_run(request: Request, id: int, run: str) -> Response:
    """Show what can be said of a run."""
    found = _floor(request, id)
    chooser = _chooser(found)
    known = next((each for each in chooser.day.runs if each.id == run), None)
    if known is None:
        raise nothing(id, "There is no such run on this day any more.")
    title = found.day.demonstration(known.demonstration).title
    starts = found.clock.hour_seen_from(found.clock.minute(known.starts), found.today)
    about = f"{title}: {known.called}, {starts}"
    return _choose(request, found, about, list(chooser.of_run(known)))


@router.get("/item/{item}")
def of_item(request: Request, id: int, item: str) -> Response:
    """Show for how long an item may be down."""
    found = _floor(request, id)
    known = next((each for each in found.day.kitchen.equipment if each.id == item), None)
    if known is None:
        raise nothing(id, "There is no such item in this kitchen.")
    return _choose(request, found, known.called, [_chooser(found).of_item(known)])


@router.get("/cook/{cook}")
def of_cook(request: Request, id: int, cook: str) -> Response:
    """Show for how long somebody may be gone."""
    found = _floor(request, id)
    known = next((each for each in found.day.kitchen.crew if each.id == cook), None)
    if known is None:
        raise nothing(id, "There is nobody of that name in this kitchen.")
    return _choose(request, found, known.called, [_chooser(found).of_cook(known)])


def nothing(id: int, words: str, status: int = 404) -> Told:
    """Return what is told where there is nothing to show or to do, with the way on."""
    return Told(status, words, then="On the day", go=f"/productions/{id}/today")


def _floor(request: Request, id: int) -> Floor:
    found = floor(request, id)
    if not isinstance(found, Floor):
        raise nothing(id, "No plan is published yet, so nothing can be told of its day.", 409)
    return found


def _chooser(found: Floor) -> Chooser:
    known = under_way(found.production.id)
    return Chooser(known.day, known.plan, known.ticks, found.states, found.now)


def _choose(
    request: Request, found: Floor, about: str, groups: list[Group], why: tuple[str, ...] = ()
) -> Response:
    return answer(
        request,
        "today/choose.html",
        "today/_choose.html",
        production=found.production,
        floor=found,
        about=about,
        groups=groups,
        why=why,
    )
