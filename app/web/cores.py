"""A core that was measured too cold: somebody decides on it by name, or takes that back."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.food.cooking import Core
from app.planning.cores import core_key
from app.planning.eating import Eatings
from app.planning.plan import Copy
from app.storage.changes.decisions import decide, take_back_decision
from app.storage.engine import reading, writing
from app.storage.queries.decisions import decision_on
from app.storage.refusals import NotThere
from app.web.clocks import eatings
from app.web.errors import Told
from app.web.floor import Floor, floor
from app.web.forms import Form, new_once
from app.web.page import go_to
from app.web.seen import NOBODY, who

router = APIRouter(prefix="/productions/{id}/cores")
LONGEST_NAME, LONGEST_WORDS = 100, 500
NO_MORE = "What was measured has changed meanwhile, so nothing was decided. Look again."


@dataclass(frozen=True)
class ColdCore:
    """A core that was measured too cold, as the screen of its copy tells it."""

    key: str
    words: str
    decided: str
    by: str
    name: str
    once: str


def cold_core(request: Request, found: Floor, copy: Copy) -> ColdCore | None:
    """Return what to tell and to ask of a copy's core, None where nothing is wrong with it."""
    told = eatings(found)
    core = told.histories.core(copy)
    if core is None:
        return None
    with reading() as conn:
        row = decision_on(conn, found.production.id, core_key(core))
    person = who(request)
    return ColdCore(
        key=core_key(core),
        words=told.core_in_words(core),
        decided=row.decided if row else "",
        by=row.by if row else "",
        name="" if person == NOBODY else person,
        once=new_once(),
    )


@router.post("/decide")
def decided(request: Request, id: int, form: Form) -> Response:
    """Keep what somebody has decided on a core, by name."""
    ref, key = form.text("copy", least=1), form.text("key", least=1)
    words, by = form.text("words", least=1, most=LONGEST_WORDS), form.text("by", least=1)
    if form.faults or len(by) > LONGEST_NAME:
        raise Told(422, "Say what you decide and who you are. Nothing was decided.")
    found = floor(request, id)
    if not isinstance(found, Floor):
        raise NotThere(NO_MORE)
    told = eatings(found)
    copy, core = _core(found, told, ref, key)
    said = f"{copy.tag}: {told.core_in_words(core)}"
    with writing() as conn:
        decide(conn, id, key, said, words, by=by, once=form.once)
    return go_to(request, f"/productions/{id}/copies/{ref}")


@router.post("/undo")
def undo(request: Request, id: int, form: Form) -> Response:
    """Let the warning stand again."""
    ref, key = form.text("copy", least=1), form.text("key", least=1)
    with writing() as conn:
        take_back_decision(conn, id, key, by=who(request), once=form.once)
    return go_to(request, f"/productions/{id}/copies/{ref}")


def _core(found: Floor, told: Eatings, ref: str, key: str) -> tuple[Copy, Core]:
    copy = next((each for each in found.plan.copies if each.id == ref), None)
    core = None if copy is None else told.histories.core(copy)
    if copy is None or core is None or core_key(core) != key:
        raise NotThere(NO_MORE)
    return copy, core
