"""Allergens: what is in which stage, who avoids it, and what somebody has decided by name."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.food.allergens import law
from app.planning.allergen_table import dishes
from app.planning.day import Day
from app.planning.people import Meeting, in_words, meetings, undecided
from app.storage.changes.decisions import decide, take_back_decision
from app.storage.engine import reading, writing
from app.storage.queries.decisions import avoids, decisions
from app.storage.refusals import NotThere, Refusal, StoreTrouble
from app.web.clocks import house_now
from app.web.forms import Form, Typed, new_once
from app.web.letters import letters
from app.web.of_house import local
from app.web.page import answer, go_to
from app.web.seen import NOBODY, Seen, see, who

router = APIRouter(prefix="/productions/{id}/allergens")
PAGE, PART = "allergens/page.html", "allergens/_part.html"
LONGEST_NAME, LONGEST_WORDS = 100, 500
OWN = "own"
CHOICES = {
    "other": "They are served something else.",
    "looks": "They only look, and do not eat.",
    "without": "It is made without it for them.",
    OWN: "In your own words:",
}
KEPT = 16
_kept: dict[int, tuple[Day, list[Meeting]]] = {}


@dataclass(frozen=True)
class Shown:
    """A meeting on the screen, with what was decided on it."""

    meeting: Meeting
    words: str
    decided: str
    by: str
    at: str


@router.get("")
def allergens(request: Request, id: int) -> Response:
    """Show what is in which stage, and who would meet what they avoid."""
    return _show(request, id)


@router.post("/decide")
def decided(request: Request, id: int, form: Form) -> Response:
    """Keep what somebody has decided, by name."""
    key, by = form.text("key", least=1), form.text("by", least=1, most=LONGEST_NAME)
    choice = form.choice("choice", tuple(CHOICES))
    words = CHOICES[choice]
    if choice == OWN:
        words = form.text("words", least=1, most=LONGEST_WORDS)
    if form.faults:
        return _show(request, id, 422, typed=form)
    seen = see(id)
    met = next((each for each in _of_both(seen) if each.key == key), None)
    if met is None:
        raise NotThere("What this was about has changed, so nothing was decided. Look again.")
    try:
        with writing() as conn:
            decide(conn, id, key, in_words(_day_of(seen, met), met), words, by=by, once=form.once)
    except NotThere:
        raise
    except Refusal as refusal:
        form.faults["choice"] = refusal.words
        return _show(request, id, 409, typed=form)
    return go_to(request, _address(id))


@router.post("/undo")
def undo(request: Request, id: int, form: Form) -> Response:
    """Let a warning stand again."""
    key = form.text("key", least=1)
    with writing() as conn:
        take_back_decision(conn, id, key, by=who(request), once=form.once)
    return go_to(request, _address(id))


def undecided_of(id: int) -> list[str]:
    """Return what a tasting would serve somebody who avoids it, undecided."""
    try:
        with reading() as conn:
            if not avoids(conn, id):
                return []
            known = [row.key for row in decisions(conn, id)]
        seen = see(id)
    except (NotThere, StoreTrouble):
        return []
    return [in_words(_day_of(seen, each), each) for each in undecided(_of_both(seen), known)]


def meetings_of(day: Day) -> list[Meeting]:
    """Return the meetings of a day; looked for once as long as the day stays the same."""
    if not any(person.avoids for run in day.runs for person in run.people):
        return []
    found = _kept.get(id(day))
    if found is None or found[0] is not day:
        while len(_kept) >= KEPT:
            _kept.pop(next(iter(_kept)), None)
        found = _kept[id(day)] = (day, meetings(day))
    return found[1]


def _of_both(seen: Seen) -> list[Meeting]:
    """Return the meetings of the day as it stands, and those of the published plan beside them."""
    both = [*meetings_of(seen.day), *meetings_of(seen.planned)]
    return list({each.key: each for each in reversed(both)}.values())[::-1]


def _day_of(seen: Seen, meeting: Meeting) -> Day:
    return seen.day if meeting in meetings_of(seen.day) else seen.planned


def _show(request: Request, id: int, status: int = 200, typed: Typed | None = None) -> Response:
    seen, house = see(id), house_now()
    under = law(house.allergen_law)
    with reading() as conn:
        rows = {row.key: row for row in decisions(conn, id)}
    shown = [
        Shown(
            meeting=each,
            words=in_words(_day_of(seen, each), each),
            decided=rows[each.key].decided if each.key in rows else "",
            by=rows[each.key].by if each.key in rows else "",
            at=local(rows[each.key].at, seen) if each.key in rows else "",
        )
        for each in _of_both(seen)
    ]
    person = who(request)
    values: dict[str, Any] = typed.values if typed else {}
    return answer(
        request,
        PAGE,
        PART,
        status,
        seen=seen,
        production=seen.production,
        law=under,
        letters=letters(seen.day, seen.plan),
        dishes=dishes(seen.day, under),
        open_still=[each for each in shown if each.meeting.is_served and not each.decided],
        decided=[each for each in shown if each.decided],
        others=[each for each in shown if not each.meeting.is_served and not each.decided],
        people=sorted({each.name for run in seen.day.runs for each in run.people}),
        choices=CHOICES,
        name="" if person == NOBODY else person,
        once=new_once(),
        typed=values,
        faults=typed.faults if typed else {},
    )


def _address(id: int) -> str:
    return f"/productions/{id}/allergens"
