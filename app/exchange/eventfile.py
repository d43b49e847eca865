"""What happened as a file: one JSON object a line, read with suspicion."""

import json
from collections.abc import Iterable

from app.exchange.suspicion import TooMuch, check_size, text_of, value_of, why_no_json
from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.event_log import Line, Unread, read_events
from app.planning.events import AnyEvent, Event
from app.planning.plan import Plan
from app.planning.refusals.fault import DayFault, Refused

MOST_MB_OF_EVENTS = 16
MOST_EVENTS = 100_000


def load_events(data: bytes, day: Day, plan: Plan, now: str | None = None) -> tuple[AnyEvent, ...]:
    """Return the events of a file in the order of their numbers, each once.

    Parameters
    ----------
    data
        The bytes of the file, from whomever; none at all are no events.
    day, plan
        What the events speak of.
    now
        The time now, if no event may be later; a local time.

    Raises
    ------
    Refused
        With all that is wrong, line by line.
    """
    check_size(data, MOST_MB_OF_EVENTS)
    lines = [(number, line) for number, line in enumerate(data.split(b"\n"), 1) if line.strip()]
    if len(lines) > MOST_EVENTS:
        words = f"{len(lines)} events; {MOST_EVENTS} at most, so begin a new file with a new plan"
        raise Refused([DayFault("the file", words)])
    text_of(data)
    return read_events([Line(number, _says(line)) for number, line in lines], day, plan, now)


def dump_events(events: Iterable[Event]) -> bytes:
    """Return events as the bytes of their file: a line each, in canonical form."""
    return b"".join(canonical(event) + b"\n" for event in events)


def _says(line: bytes) -> object:
    """Return what one line says, or what is wrong with it."""
    try:
        return value_of(line.decode("utf-8"), line, MOST_MB_OF_EVENTS)
    except json.JSONDecodeError as error:
        return Unread(f"column {error.colno}", why_no_json(error, "line"))
    except TooMuch as sentence:
        return Unread("", str(sentence))
