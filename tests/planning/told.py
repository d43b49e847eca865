"""Events told in few words, for the tests of what happened."""

from typing import Any, get_args

from app.planning.events import AnyEvent
from tests.planning.drafts import at

KINDS: dict[str, type[AnyEvent]] = {
    kind.model_fields["event"].default: kind for kind in get_args(AnyEvent)
}
TIMES = ("starts", "ends", "from", "to")


def log(*told: tuple[str, str, dict[str, Any]]) -> list[AnyEvent]:
    """Return events from `(kind, hh:mm, what it says)`, numbered from 1."""
    return [_event(n, *each) for n, each in enumerate(told, 1)]


def _event(n: int, kind: str, clock: str, says: dict[str, Any]) -> AnyEvent:
    every = {"n": n, "at": at(clock), "once": f"k{n}", "by": "Ada"}
    times = {key: at(value) for key, value in says.items() if key in TIMES}
    return KINDS[kind].model_validate(every | says | times)
