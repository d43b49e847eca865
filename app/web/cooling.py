"""Cooling log: what cools, when it will be cold, and what to do while there is still time."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from app.food.curve import Reached
from app.food.limits import House, degrees, section
from app.planning.coolings import Sureness, Watched, coolings
from app.planning.dates import lasting
from app.planning.standing import place_in_words
from app.web.charts.cooling import Curve, curve
from app.web.clocks import eatings
from app.web.floor import Floor, floor
from app.web.letters import Letter, letters
from app.web.page import answer
from app.web.words import hour, when

router = APIRouter(prefix="/productions/{id}/cooling")
SAID: dict[Sureness, str] = {
    "in time": "in time",
    "perhaps late": "perhaps late",
    "late": "too late as it goes",
    "unknown": "not known yet",
}


@dataclass(frozen=True)
class Step:
    """One temperature that is to be reached, in words."""

    degrees: str
    by: str
    left: str
    said: str
    foretold: str
    is_urgent: bool


@dataclass(frozen=True)
class Line:
    """One copy that cools, in words."""

    watched: Watched
    letter: Letter
    stage: str
    place: str
    since: str
    last: str
    steps: tuple[Step, ...]
    section: str
    curve: Curve | None
    is_urgent: bool


@router.get("")
def cooling(request: Request, id: int) -> HTMLResponse:
    """Show what cools now, the most urgent first."""
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    told = eatings(found)
    lines = [
        _line(found, each, told.watch.house)
        for each in coolings(told, found.plan, found.states.lost, found.now)
    ]
    return answer(
        request,
        "cooling/page.html",
        "cooling/_part.html",
        production=found.production,
        floor=found,
        lines=lines,
        air=degrees(told.watch.house.chill_air_c, told.watch.house),
    )


def _line(floor: Floor, watched: Watched, house: House) -> Line:
    copy, clock = watched.copy, floor.clock
    place = copy.places[-1] if copy.places else None
    last = watched.readings[-1] if watched.readings else None
    steps = tuple(_steps(floor, watched, house))
    return Line(
        watched=watched,
        letter=letters(floor.day, floor.plan)[copy.demonstration],
        stage=floor.day.stage(copy.demonstration, copy.stage).called,
        place=place_in_words(floor.day, place.shelf, place.level, place.slot) if place else "",
        since=clock.hour(watched.since),
        last=f"{degrees(last.celsius, house)} at {clock.hour(last.at)}" if last else "",
        steps=steps,
        section=section(house.limits, watched.steps[0].due.limit) if watched.steps else "",
        curve=curve(watched, clock, house) if watched.readings and watched.steps else None,
        is_urgent=bool(watched.failed) or any(step.is_urgent for step in steps),
    )


def _steps(floor: Floor, watched: Watched, house: House) -> list[Step]:
    return [
        Step(
            degrees=degrees(step.due.celsius, house),
            by=_hour(floor, step.due.by),
            left=lasting(step.due.by - floor.now) if step.due.by >= floor.now else "",
            said=SAID[step.sureness],
            foretold=_foretold(floor, step.reached),
            is_urgent=step.sureness in ("late", "perhaps late"),
        )
        for step in watched.steps
    ]


def _foretold(floor: Floor, reached: Reached | None) -> str:
    if reached is None:
        return ""
    if reached.likely is None:
        return "never, in that air"
    first = _hour(floor, round(reached.earliest or reached.likely))
    last = "on, or never" if reached.latest is None else f"to {_hour(floor, round(reached.latest))}"
    return f"likely at {_hour(floor, round(reached.likely))} (from {first} {last})"


def _hour(floor: Floor, minute: int) -> str:
    text = floor.clock.text(minute)
    return hour(text) if text[:10] == floor.today else when(text)
