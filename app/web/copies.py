"""One copy: what it is, what for, where it stands, may it be eaten, and what happened to it."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from app.food.limits import House, degrees
from app.planning.day import Stage
from app.planning.eating import Contained, contained
from app.planning.plan import Copy
from app.planning.standing import Destinations, place_in_words
from app.planning.tasks import sentence
from app.planning.undoing import standing
from app.storage.engine import reading
from app.storage.queries.photographs import photographs_now
from app.storage.queries.ticks import since
from app.storage.states import LostCopy
from app.storage.ticks import AnyTick, Lost, Measured, Staged, Started, Undone
from app.web.clocks import clocked
from app.web.cores import cold_core
from app.web.errors import Told
from app.web.floor import Floor, floor
from app.web.letters import letters
from app.web.page import answer
from app.web.why_then import why_lines
from app.web.words import hour, when

router = APIRouter()
ROLES = {
    "camera": "goes on camera",
    "feeds": "goes into another stage",
    "backup": "backup",
    "spare": "extra for losses",
}


@dataclass(frozen=True)
class Step:
    """One stage in the life of a tag."""

    copy: Copy
    stage: Stage
    staged: str
    is_chosen: bool
    lost: LostCopy | None


@dataclass(frozen=True)
class About:
    """All about one copy, in words."""

    copy: Copy
    stage: Stage
    title: str
    role: str
    made: tuple[str, ...]
    uses: tuple[str, ...]
    places: tuple[tuple[str, str, str], ...]
    staged: str
    good_until: str
    contains: list[Contained]
    lost: LostCopy | None
    ticks: tuple[str, ...]
    state: str
    why_then: tuple[str, ...]


@router.get("/productions/{id}/copies/{ref:path}")
def copy(request: Request, id: int, ref: str) -> HTMLResponse:
    """Show a copy by its tag, as the label has it, or by its id."""
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    life = with_tag(found, ref)
    if not life:
        shelves = f"/productions/{id}/shelves"
        words = f"Plan {found.plan.number} has no copy “{ref}”."
        raise Told(404, words, then="Find a copy on the shelf map", go=shelves)
    chosen = next((each for each in life if each.id == ref), None) or current(found, life)
    with reading() as conn:
        events, photos = since(conn, id), photographs_now(conn, id)
    told = clocked(found, chosen)
    return answer(
        request,
        "copies/page.html",
        "copies/_copy.html",
        production=found.production,
        floor=found,
        letter=letters(found.day, found.plan)[chosen.demonstration],
        about=about(found, chosen, events, told.house),
        photo=photos.get((chosen.demonstration, chosen.stage), ""),
        clocked=told,
        core=cold_core(request, found, chosen),
        life=[step(found, each, chosen) for each in life],
    )


def with_tag(floor: Floor, ref: str) -> list[Copy]:
    """Return the copies that bear a tag, or the tag of the copy with this id, in order of time."""
    by_id = next((each.tag for each in floor.plan.copies if each.id == ref), ref)
    mine = [each for each in floor.plan.copies if each.tag.upper() == by_id.upper()]
    return sorted(mine, key=lambda each: floor.clock.minute(each.staged_at))


def current(floor: Floor, life: list[Copy]) -> Copy:
    """Return what the tag is on now: the last stage that is staged, else the first."""
    past = [each for each in life if floor.clock.minute(each.staged_at) <= floor.now]
    return past[-1] if past else life[0]


def step(floor: Floor, copy: Copy, chosen: Copy) -> Step:
    """Return one stage in the life of a tag."""
    stage = floor.day.stage(copy.demonstration, copy.stage)
    lost = floor.states.lost.get(copy.id)
    return Step(copy, stage, _when(floor, copy.staged_at), copy is chosen, lost)


def about(floor: Floor, copy: Copy, events: list[AnyTick], house: House) -> About:
    """Return all about a copy."""
    stage = floor.day.stage(copy.demonstration, copy.stage)
    good_until = floor.clock.minute(copy.staged_at) + stage.keeps_min
    return About(
        copy=copy,
        stage=stage,
        title=floor.day.demonstration(copy.demonstration).title,
        role=ROLES[copy.role],
        made=tuple(_made(floor, copy)),
        uses=tuple(Destinations(floor.day, floor.plan).all_of(copy)),
        places=tuple(_places(floor, copy)),
        staged=_when(floor, copy.staged_at),
        good_until=_when(floor, floor.clock.text(good_until)),
        contains=contained(floor.day, copy.demonstration, copy.stage),
        lost=floor.states.lost.get(copy.id),
        ticks=tuple(_ticks(copy, events, house)),
        state=floor.states.of(copy.made_by.batch).state if copy.made_by.batch else "",
        why_then=why_lines(floor, copy.made_by.batch),
    )


def _made(floor: Floor, copy: Copy) -> list[str]:
    """Return how the copy comes to be, in words."""
    if copy.made_by.use is not None:
        run, beat = copy.made_by.use
        passed = floor.day.run(run)
        named = floor.day.demonstration(passed.demonstration).beat(beat).called
        return [f"left by {passed.called}, {named}"]
    if copy.made_by.stock is not None:
        return ["from stock"]
    return [sentence(row, floor.clock) for row in floor.rows if row.batch == copy.made_by.batch]


def _places(floor: Floor, copy: Copy) -> list[tuple[str, str, str]]:
    return [
        (
            place_in_words(floor.day, place.shelf, place.level, place.slot),
            _when(floor, place.from_),
            _when(floor, place.to),
        )
        for place in copy.places
    ]


def _ticks(copy: Copy, events: list[AnyTick], house: House) -> list[str]:
    """Return what was ticked about a copy and its batch, and what was taken back."""
    mine = {tick.n: words for tick in events if (words := _words(copy, tick, house))}
    undone = {tick.undoes: tick for tick in standing(events) if isinstance(tick, Undone)}
    return [f"{words}{_taken_back(undone.get(n))}" for n, words in mine.items()]


def _taken_back(undo: Undone | None) -> str:
    return f", taken back {undo.at[11:16]}, {undo.by}" if undo is not None else ""


def _words(copy: Copy, tick: AnyTick, house: House) -> str:
    said = f"{tick.at[11:16]}, {tick.by}"
    if isinstance(tick, Lost):
        why = f": {tick.why}" if tick.why else ""
        return f"lost {said}{why}" if tick.copy_id == copy.id else ""
    if isinstance(tick, Measured) and tick.copy_id == copy.id:
        return f"measured {degrees(tick.celsius, house)} {said}"
    if isinstance(tick, Started) and tick.batch == copy.made_by.batch:
        return f"started {said}"
    if isinstance(tick, Staged) and tick.batch == copy.made_by.batch:
        is_lost = copy.id in tick.lost
        return f"lost in the making {said}" if is_lost else f"staged {said}"
    return ""


def _when(floor: Floor, text: str) -> str:
    """Return the hour of a local time, with its date where that is not today."""
    return hour(text) if text[:10] == floor.today else when(text)
