"""A production from nothing: its title, its kind, its time zone, and when the prep starts."""

from datetime import datetime

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day, Policy
from app.planning.refusals.times import timezones
from app.storage.changes.productions import begin_production
from app.storage.engine import writing
from app.web.errors import Told
from app.web.forms import Form, Typed
from app.web.page import go_to
from app.web.seen import who

router = APIRouter(prefix="/productions")
KINDS = ("broadcast", "class")
STEP_SLACK_MIN = 10


@router.post("/new")
def begin(request: Request, form: Form) -> Response:
    """Store an empty production and open its demonstrations."""
    day = _day(form)
    if day is None:
        what = " ".join(f"{name}: {words}" for name, words in form.faults.items())
        raise Told(422, what, kept="Nothing was stored; what you typed is still in the form.")
    kitchen = form.whole("kitchen", least=0, most=2**31 - 1) if form.has("kitchen") else 0
    with writing() as conn:
        made = begin_production(conn, day, kitchen or None, by=who(request), once=form.once)
    return go_to(request, f"/productions/{made}/demonstrations")


def _day(form: Typed) -> Day | None:
    title = form.text("title", least=1, most=120)
    zone = form.text("timezone", least=1, most=60)
    on, hour = form.text("date", least=1, most=10), form.text("hour", most=5) or "07:00"
    kind = form.choice("kind", KINDS)
    if zone and zone not in timezones():
        form.faults["timezone"] = (
            f"There is no time zone “{zone[:40]}”; write one as Europe/Lisbon."
        )
    try:
        prep_from = datetime.strptime(f"{on} {hour}", "%Y-%m-%d %H:%M")
    except ValueError:
        form.faults["date"] = f"A date and an hour, not “{on} {hour}”."
    if form.faults:
        return None
    return Day(
        title=title,
        kind="class" if kind == "class" else "broadcast",
        timezone=zone,
        prep_from=prep_from.isoformat(timespec="minutes"),
        policy=Policy(step_slack_min=STEP_SLACK_MIN),
    )
