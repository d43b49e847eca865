"""Working a plan out again: begin, watch, stop, and accept or discard what comes of it."""

import hashlib
import json
from dataclasses import dataclass
from urllib.parse import urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.blockers.words import Wording
from app.planning.difference import Change, changes, run_changes, shelf_changes
from app.planning.lacking import Shortage, shortages
from app.planning.plan import Plan
from app.planning.reading import faults_of_day
from app.storage.changes.drafts import drop_draft
from app.storage.changes.plans import publish_plan
from app.storage.engine import reading, writing
from app.storage.queries.kitchens import changes_elsewhere
from app.storage.queries.plans import published_at
from app.storage.queries.sheets import sheet
from app.web.advice import Advice, advice_on
from app.web.after_edits import after_edits_of
from app.web.desk import Draft, desk_of
from app.web.errors import Told
from app.web.faults import faults, screen_of
from app.web.forms import Form, Typed, new_once
from app.web.page import answer, go_to
from app.web.proof import GOAL_WORDS, Proof, figure, proof
from app.web.seen import Seen, in_fahrenheit, see, who
from app.web.words import many

router = APIRouter(prefix="/productions/{id}/plan")
BEGUN = (
    "Something of plan {number} has started, so no other plan can take its place: what is under "
    "way would be lost from it. It can be mended: what has begun stays as it is."
)
ANOTHER = "Another draft has taken the place of the one that you looked at."
SHOWN = 60
LOOKING = ("blockers", "remedies")


@dataclass(frozen=True)
class Asked:
    """What the planning part of a screen shows; `mark` is another one once that is out of date.

    `seen_draft` goes along with an answer: it tells the draft that somebody looked at.
    """

    state: str
    mark: str
    draft: Draft | None
    plan: Plan | None
    proof: Proof | None
    goal: str
    is_looking: bool
    best: str
    bound: str
    changes: tuple[Change, ...]
    more: int
    around: tuple[Change, ...]
    seen_draft: str
    run_changes: tuple[Change, ...]
    because: tuple[str, ...]
    is_to_follow: bool
    shortages: tuple[Shortage, ...]
    advice: Advice | None
    once: str


def asked(request: Request, seen: Seen) -> Asked:
    """Return where the planning of a production stands: none, working, ready or wrong."""
    draft = desk_of(request).draft(seen.id)
    plan = draft.plan if draft else None
    is_fresh = draft is not None and draft.mends is None
    said = changes(draft.day, seen.plan, plan) if draft and is_fresh and plan and seen.plan else ()
    told = draft.told if draft else None
    goal = told.goal if told else ""
    return Asked(
        state=_state(draft),
        mark=mark_of(draft),
        draft=draft,
        plan=plan,
        proof=proof(plan) if plan else None,
        goal=GOAL_WORDS.get(goal, goal.replace("_", " ")),
        is_looking=goal in LOOKING,
        best=_figure(goal, told.best if told else None),
        bound=_figure(goal, told.bound if told else None),
        changes=said[:SHOWN],
        more=max(0, len(said) - SHOWN),
        around=_around(draft, seen) if draft and is_fresh else (),
        seen_draft=_told_apart(plan) if plan else "",
        run_changes=run_changes(seen.planned, seen.day) if seen.is_outdated else (),
        because=_because(seen),
        is_to_follow=_is_to_follow(request, seen),
        shortages=shortages(draft.day, plan) if draft and is_fresh and plan else (),
        advice=_advice(draft, seen),
        once=new_once(),
    )


def _around(draft: Draft, seen: Seen) -> tuple[Change, ...]:
    """Return what a draft changes beside the batches: the runs, and the shelves in use."""
    if draft.plan is None or seen.plan is None:
        return ()
    shelves = shelf_changes(seen.planned, draft.day, seen.plan, draft.plan)
    return (*run_changes(seen.planned, draft.day), *shelves)


def _told_apart(plan: Plan) -> str:
    """Return a mark of a draft plan, which lasts when the server is started again."""
    written = json.dumps(plan.document(), sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(written.encode()).hexdigest()[:16]


def _is_to_follow(request: Request, seen: Seen) -> bool:
    after = after_edits_of(request)
    return bool(after and after.is_to_follow(seen.id)) and not faults_of_day(seen.day)


def _because(seen: Seen) -> tuple[str, ...]:
    """Return what other productions changed of the kitchen since the plan was published."""
    if seen.plan is None or not seen.is_outdated or seen.planned.kitchen == seen.day.kitchen:
        return ()
    with reading() as conn:
        found = changes_elsewhere(conn, seen.id, since=published_at(conn, seen.id))
    return tuple(each.words for each in found)


def _advice(draft: Draft | None, seen: Seen) -> Advice | None:
    """Return what is told beside the draft, or else beside the plan, of the day as it stands.

    Of a draft in the making, it is what was found so far.
    """
    if draft is not None:
        plan = offering(draft, seen)
    else:
        plan = None if seen.is_outdated or seen.has_begun else seen.plan
    if plan is None or not plan.blockers:
        return advice_on(plan) if plan is not None else None
    return advice_on(plan, Wording(seen.day, False, True) if in_fahrenheit() else None)


def offering(draft: Draft, seen: Seen) -> Plan | None:
    """Return the plan whose remedies fit the day as it stands, also before all are found."""
    if draft.mends is not None or draft.day != seen.day:
        return None
    return draft.job.so_far() if draft.is_working else draft.plan


def _figure(goal: str, value: float | None) -> str:
    return "" if value is None else figure(goal, value)


def mark_of(draft: Draft | None) -> str:
    """Return how a draft stands, and which one it is: *none*, or such as *ready 81234*."""
    return _state(draft) if draft is None else f"{_state(draft)} {round(draft.since * 1000)}"


def _state(draft: Draft | None) -> str:
    if draft is None:
        return "none"
    if draft.mends is not None:
        return "mending"
    if draft.is_working:
        return "working"
    return "wrong" if draft.failed else "ready"


def _show(request: Request, seen: Seen, status: int = 200) -> Response:
    return answer(
        request,
        "plan/page.html",
        "plan/_part.html",
        status,
        seen=seen,
        production=seen.production,
        asked=asked(request, seen),
    )


@router.get("")
def look(request: Request, id: int) -> Response:
    """Show where the planning stands; the part is asked for again while the planner works."""
    return _show(request, see(id))


@router.post("")
def begin(request: Request, id: int, form: Form) -> Response:
    """Have the plan worked out again for the day as it stands now."""
    seen = see(id)
    refuse_if_begun(seen)
    begin_again(request, seen)
    return _show(request, seen)


def begin_again(request: Request, seen: Seen) -> None:
    """Have the next plan of a production worked out."""
    _refuse_if_incomplete(seen)
    number = (seen.plan.number if seen.plan else 0) + 1
    desk_of(request).begin(seen.id, seen.day, number, who(request))


@router.post("/stop")
def stop(request: Request, id: int) -> Response:
    """Have the planner end; its best plan so far is kept as the draft."""
    seen = see(id)
    desk_of(request).stop(id)
    return _show(request, seen)


@router.post("/accept")
def accept(request: Request, id: int, form: Form) -> Response:
    """Publish the draft: from now on it is the plan on every screen."""
    seen = see(id)
    there = f"/productions/{id}/count"
    newest = seen.plan.number if seen.plan else 0
    began_from = form.whole("began_from", least=0, most=10**6) if form.has("began_from") else newest
    draft = desk_of(request).draft(id)
    if draft is None or draft.mends is not None or draft.plan is None:
        if newest == began_from + 1:
            return go_to(request, there)
        raise Told(409, "There is no draft plan to accept any more.", then="The count", go=there)
    refuse_if_begun(seen)
    _refuse_another(id, form, draft)
    with writing() as conn:
        publish_plan(conn, id, draft.plan, began_from=began_from, by=who(request), once=form.once)
        drop_draft(conn, id)
    desk_of(request).clear(id)
    return go_to(request, there)


@router.post("/discard")
def discard(request: Request, id: int, form: Form) -> Response:
    """Forget the draft, and show the page anew on which it stood: it can ask for another."""
    see(id)
    _refuse_another(id, form, desk_of(request).draft(id))
    if after := after_edits_of(request):
        after.forget(id)
    desk_of(request).discard(id)
    came_from = urlsplit(request.headers.get("referer", "")).path
    own = f"/productions/{id}/"
    return go_to(request, came_from if came_from.startswith(own) else f"{own}plan")


def _refuse_another(id: int, form: Typed, draft: Draft | None) -> None:
    """Refuse an answer to a draft whose place another has taken since somebody looked at it."""
    looked_at = form.values.get("draft")
    if looked_at and draft and (draft.plan is None or _told_apart(draft.plan) != looked_at):
        kept = "Nothing was accepted or discarded."
        raise Told(409, ANOTHER, kept=kept, then="What changes now", go=f"/productions/{id}/plan")


def _refuse_if_incomplete(seen: Seen) -> None:
    """Refuse to plan a production that is not whole yet; what is wrong stands beside its fields."""
    with reading() as conn:
        told = faults(seen.day, sheet(conn, seen.id))[1]
    if told:
        first = f"{told[0].about}: {told[0].words}" if told[0].about else told[0].words
        what = f"{many(len(told), 'thing')} must be mended before this can be planned. {first}"
        kept = f"Plan {seen.plan.number} stays." if seen.plan else "What you typed is kept."
        screen = screen_of(told[0].place)
        go = f"/productions/{seen.id}/{screen}"
        raise Told(422, what, kept=kept, then=f"The {screen}", go=go)


def refuse_if_begun(seen: Seen) -> None:
    """Refuse another plan where people work from the published one already."""
    if seen.plan is not None and seen.has_begun:
        words = BEGUN.format(number=seen.plan.number)
        address = f"/productions/{seen.id}/today"
        kept = f"Plan {seen.plan.number} stays."
        raise Told(409, words, kept=kept, then="Mend the plan", go=address)
