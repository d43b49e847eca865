"""A remedy is taken up: the production changes as it says, and the plan is worked out again."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.canonical import document
from app.planning.day import Day
from app.planning.plan import Remedy
from app.planning.reading import read_day
from app.planning.remedies.patch import patched
from app.storage.changes.remedied import take_up_remedy
from app.storage.engine import writing
from app.web.advice import key_of
from app.web.desk import desk_of
from app.web.drafts import begin_again, offering, refuse_if_begun
from app.web.errors import Told
from app.web.forms import Form
from app.web.page import go_to
from app.web.seen import Seen, see, who

router = APIRouter(prefix="/productions/{id}/remedies")
GONE = (
    "This remedy is not on offer any more: the production has changed since, or another plan has "
    "come."
)


@router.post("")
def take_up(request: Request, id: int, form: Form) -> Response:
    """Change the production as a remedy says, and have the plan worked out again."""
    seen = see(id)
    refuse_if_begun(seen)
    there = f"/productions/{id}/count"
    remedy = _chosen(request, seen, form.text("remedy", least=1))
    if remedy is None:
        draft = desk_of(request).draft(id)
        if draft is not None and draft.mends is None and draft.is_working:
            return go_to(request, there)  # The second tap of a double tap.
        raise Told(409, GONE, then="The count", go=there)
    with writing() as conn:
        take_up_remedy(
            conn,
            id,
            seen.day,
            _remedied(seen.day, remedy),
            words=remedy.words,
            by=who(request),
            once=form.once,
        )
    begin_again(request, see(id))
    return go_to(request, there)


def _chosen(request: Request, seen: Seen, key: str) -> Remedy | None:
    """Return a remedy that is on offer for the day as it stands: of the draft, also
    before it is whole, or of the plan.
    """
    draft = desk_of(request).draft(seen.id)
    of_draft = offering(draft, seen) if draft is not None else None
    of_plan = None if seen.is_outdated else seen.plan
    plans = (of_draft, of_plan)
    offered = (remedy for plan in plans if plan is not None for remedy in plan.remedies)
    return next((each for each in offered if key_of(each) == key), None)


def _remedied(day: Day, remedy: Remedy) -> Day:
    return read_day(patched(document(day), remedy.change))
