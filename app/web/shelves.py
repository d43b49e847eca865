"""The shelf map: the shelves from the front at a minute of the day, and where a copy stands."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from app.planning.minutes import Clock
from app.planning.standing import Stay, place_in_words, standing_at, stays
from app.web.board import nearest
from app.web.charts.shelves import units
from app.web.floor import Floor, floor, kept
from app.web.letters import letters
from app.web.page import answer
from app.web.words import date as date_in_words

router = APIRouter()
STEP_MIN = 5


@dataclass(frozen=True)
class Slider:
    """The minutes of one day in which something changes, and the minute that is shown."""

    changes: tuple[int, ...]
    at: int

    @property
    def first(self) -> int:
        """Return the minute that the slider begins with."""
        return self.changes[0] - self.changes[0] % STEP_MIN

    @property
    def last(self) -> int:
        """Return the minute that it ends with."""
        return self.changes[-1]

    @property
    def before(self) -> int | None:
        """Return the last change before the minute that is shown."""
        return max((minute for minute in self.changes if minute < self.at), default=None)

    @property
    def after(self) -> int | None:
        """Return the next change after it."""
        return min((minute for minute in self.changes if minute > self.at), default=None)

    def told(self, clock: Clock) -> dict[str, object]:
        """Return what `shelves.js` slides with: the changes, and the hour of every minute shown."""
        minutes = {*range(self.first, self.last + 1, STEP_MIN), *self.changes}
        hours = {minute: clock.hour(minute) for minute in sorted(minutes)}
        return {"changes": self.changes, "hours": hours}


@dataclass(frozen=True)
class Found:
    """One wait of a copy that was looked for."""

    stay: Stay
    place: str
    is_here: bool


@router.get("/productions/{id}/shelves")
def shelves(
    request: Request, id: int, day: str = "", at: int | None = None, tag: str = ""
) -> HTMLResponse:
    """Show what stands where at a minute; `tag` marks a copy and tells all its places."""
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    waits = kept(id, found.plan, "stays", lambda: stays(found.day, found.plan))
    dates = dates_of(found, waits)
    chosen = day if day in dates else _shown_first(id, found, waits, dates)
    slider = slider_of(found, waits, chosen, at)
    wanted = tag.strip().upper()
    here = standing_at(waits, slider.at)
    return answer(
        request,
        "shelves/page.html",
        "shelves/_map.html",
        production=found.production,
        floor=found,
        letters=letters(found.day, found.plan),
        dates=[(date, date_in_words(date)) for date in dates],
        chosen=chosen,
        slider=slider,
        today=[each for each in waits if each.starts <= slider.last and each.ends > slider.first],
        units=units(found.day, here),
        wanted=wanted,
        typed=tag.strip(),
        places=places_of(found, waits, wanted, here),
        lost=found.states.lost,
        raw={(of.id, stage.id) for of, stage in found.day.all_stages() if stage.raw_animal},
    )


def _shown_first(id: int, floor: Floor, waits: list[Stay], dates: list[str]) -> str:
    """Return today, else the date on which most stands on the shelves."""
    if floor.today in dates or not waits:
        return nearest(dates, floor.today)
    starts = {stay.starts for stay in waits}

    def fullest() -> int:
        return max(sorted(starts), key=lambda minute: len(standing_at(waits, minute)))

    return floor.clock.date(kept(id, floor.plan, "fullest", fullest))


def dates_of(floor: Floor, waits: list[Stay]) -> list[str]:
    """Return the dates on which something stands on a shelf."""
    first = min((stay.starts for stay in waits), default=floor.clock.minute(floor.day.prep_from))
    last = max((stay.ends for stay in waits), default=first)
    minutes = range(first, last + 1, 60)
    return sorted({floor.clock.date(minute) for minute in (*minutes, last)})


def slider_of(floor: Floor, waits: list[Stay], date: str, at: int | None) -> Slider:
    """Return the slider of a date, from the first change to the last.

    It shows the minute that was asked for, else now, else the minute at which most stands there.
    """
    changes = sorted({minute for stay in waits for minute in (stay.starts, stay.ends)})
    todays = [minute for minute in changes if floor.clock.date(minute) == date]
    slider = Slider(tuple(todays or [floor.clock.minute(f"{date}T12:00")]), 0)
    wanted = floor.now if at is None and slider.first <= floor.now <= slider.last else at
    if wanted is None:
        wanted = max(slider.changes, key=lambda minute: len(standing_at(waits, minute)))
    return replace(slider, at=min(max(wanted, slider.first), slider.last))


def places_of(floor: Floor, waits: list[Stay], wanted: str, here: list[Stay]) -> list[Found]:
    """Return every place of the copies with a tag, in order of time."""
    if not wanted:
        return []
    mine = [stay for stay in waits if wanted in (tag.upper() for tag in stay.tags)]
    return [
        Found(stay, place_in_words(floor.day, stay.shelf, stay.level, stay.slot), stay in here)
        for stay in sorted(mine, key=lambda stay: stay.starts)
    ]
