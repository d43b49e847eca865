"""On the day: what does not go as planned is told, and the plan is mended for people to accept."""

import json
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.difference import Change
from app.planning.lacking import Shortage, shortages
from app.planning.plan import Batch
from app.storage.changes.mended import publish_mended
from app.storage.engine import reading, writing
from app.storage.log import append
from app.storage.queries.ticks import states
from app.storage.refusals import OutOfDate
from app.storage.ticks import AnyTick, Staged, tick_of
from app.web.choices import filled
from app.web.clocks import house_now
from app.web.desk import Draft, desk_of
from app.web.errors import Told
from app.web.floor import Floor, floor
from app.web.forms import Form, Typed, new_once
from app.web.offers import Offer
from app.web.otherwise import nothing
from app.web.page import answer, go_to
from app.web.proof import GOAL_WORDS
from app.web.seen import who
from app.web.told import Teller
from app.web.underway import have_mended, tick_as_planned, under_way

router = APIRouter(prefix="/productions/{id}/today")
SHOWN = 60
UNREADABLE = "That button sends something that cannot be read here."


@dataclass(frozen=True)
class Mending:
    """What the part about the mended plan shows."""

    state: str
    draft: Draft | None
    goal: str
    changes: tuple[Change, ...]
    more: int
    shortages: tuple[Shortage, ...]
    notices: tuple[str, ...]
    once: str
    offers: tuple[Offer, ...] = ()
    is_offering: bool = False


@router.get("")
def look(request: Request, id: int) -> Response:
    """Show what was told, what a mended plan would change, and what else can be told."""
    return _show(request, id)


@router.get("/mend")
def mending(request: Request, id: int) -> Response:
    """Show how far the mending is; asked for again while it is being worked out."""
    return _show(request, id, part="today/_mend.html")


@router.post("/tell")
def tell(request: Request, id: int, form: Form) -> Response:
    """Store what a button says, and have the plan mended."""
    said = _tick(request, id, form.values.get("say", ""))
    append(id, [said])
    if isinstance(said, Staged):
        # Staged is what was planned, so nothing need be otherwise; but here it was to be mended.
        have_mended(request, id)
        return _back(request, id)
    return _mended_if_needed(request, id)


@router.post("/mend")
def mend(request: Request, id: int) -> Response:
    """Have the plan mended as things stand."""
    have_mended(request, id)
    return _back(request, id)


@router.post("/as-planned")
def as_planned(request: Request, id: int) -> Response:
    """Tick all that should have begun as it was planned, and have the plan mended from there."""
    tick_as_planned(request, id)
    return _mended_if_needed(request, id)


@router.post("/stop")
def stop(request: Request, id: int) -> Response:
    """Have the search end; its best is kept."""
    desk_of(request).stop(id)
    return _show(request, id, part="today/_mend.html")


@router.post("/refuse")
def refuse(request: Request, id: int) -> Response:
    """Leave the plan as it is; what was told stands."""
    desk_of(request).discard(id)
    return _back(request, id)


@router.post("/accept")
def accept(request: Request, id: int, form: Form) -> Response:
    """Publish the mended plan: from now on it is the plan on every screen."""
    began_from = form.whole("began_from", least=0, most=10**6)
    draft = desk_of(request).draft(id)
    if draft is None or draft.mends is None or draft.plan is None:
        if under_way(id).plan.number == began_from + 1:
            return _back(request, id)
        raise nothing(id, "There is no mended plan to accept any more.", 409)
    by, name = who(request), form.text("offer")
    offer = next((each for each in draft.offers if each.name == name), None)
    if name and offer is None:
        raise nothing(id, "That is not offered any more. Look at what is now.", 409)
    also = append(id, [_moved(request, id, offer, form)])[0] if offer and offer.moved else None
    plan, mends = (offer.plan, offer.mends) if offer else (draft.plan, draft.mends)
    try:
        with writing() as conn:
            publish_mended(
                conn, id, plan, mends.day, told=draft.mends.told,
                began_from=began_from, by=by, once=form.once, also=also,
            )  # fmt: skip
    except OutOfDate as late:
        have_mended(request, id)
        there = f"/productions/{id}/today"
        words = f"{late.words} It is being worked out."
        raise Told(409, words, kept="", then="On the day", go=there) from late
    desk_of(request).discard(id)
    return _back(request, id)


def _mended_if_needed(request: Request, id: int) -> Response:
    """Have the plan mended if something is otherwise than it says; else forget what was asked."""
    with reading() as conn:
        is_otherwise = bool(states(conn, id).unknown)
    if is_otherwise:
        have_mended(request, id)
    else:
        desk_of(request).discard(id)
    return _back(request, id)


def _back(request: Request, id: int) -> Response:
    return go_to(request, f"/productions/{id}/today")


def _moved(request: Request, id: int, offer: Offer, form: Typed) -> AnyTick:
    """Return the tick that lets a run start later, as an offer says."""
    assert offer.moved is not None
    says = {"event": "moved", "run": offer.moved.run, "starts": offer.moved.starts}
    found = _floor(request, id)
    every = {"at": found.clock.text(found.now), "by": who(request), "once": f"{form.once}-slip"}
    return tick_of(says | every)


def _tick(request: Request, id: int, sent: str) -> AnyTick:
    """Return what a button says as a tick of whoever asks, made now."""
    found = _floor(request, id)
    try:
        says = json.loads(sent)
    except ValueError as error:
        raise Told(422, UNREADABLE) from error
    if not isinstance(says, dict):
        raise Told(422, UNREADABLE)
    begins = max(found.now, found.clock.minute(found.day.prep_from))
    every = {"at": found.clock.text(found.now), "by": who(request)}
    return tick_of({"once": new_once()} | filled(says, found.clock, begins) | every)


def _floor(request: Request, id: int) -> Floor:
    found = floor(request, id)
    if not isinstance(found, Floor):
        raise nothing(id, "No plan is published yet, so nothing can be told of its day.", 409)
    return found


def _show(request: Request, id: int, part: str = "today/_today.html") -> Response:
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    known = under_way(id)
    days, unknown = (known.fresh, known.planned, known.day), found.states.unknown
    teller = Teller(days, known.plan, known.ticks, unknown)
    return answer(
        request,
        "today/page.html",
        part,
        production=found.production,
        floor=found,
        mending=_mending(request, id),
        entries=teller.entries(known.told),
        taken_back=teller.taken_back(house_now()),
        day=known.day,
        unticked=[_named(batch, found) for batch in known.unticked(found.now)],
    )


def _named(batch: Batch, found: Floor) -> str:
    """Return a batch in a few words: its stage, and when it should have started."""
    stage = found.day.stage(batch.demonstration, batch.stage).called
    starts = found.clock.hour_seen_from(found.clock.minute(batch.starts), found.today)
    return f"{stage} at {starts}"


def _mending(request: Request, id: int) -> Mending:
    """Return where the mending stands: none, working, ready or wrong."""
    draft = desk_of(request).draft(id)
    if draft is None or draft.mends is None:
        return Mending("none", None, "", (), 0, (), (), new_once())
    plan, told = draft.plan, draft.told
    said = draft.mends.changes(plan) if plan else ()
    state = "working" if draft.is_working else "wrong" if draft.failed else "ready"
    goal = told.goal if told else ""
    return Mending(
        state=state,
        draft=draft,
        goal=GOAL_WORDS.get(goal, goal.replace("_", " ")),
        changes=said[:SHOWN],
        more=max(0, len(said) - SHOWN),
        shortages=shortages(draft.mends.day, plan) if plan else (),
        notices=draft.mends.state.notices,
        once=new_once(),
        offers=tuple(draft.offers),
        is_offering=draft.is_offering and state == "ready",
    )
