"""From the lines of an event file to the events in order, or to all that is wrong with them."""

from collections.abc import Iterator, Sequence
from heapq import nsmallest
from itertools import islice
from typing import NamedTuple, get_args

from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.events import Added, AnyEvent, Event, Moved, Undone
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.reading import faults_of_day
from app.planning.refusals import course, happenings, mentions
from app.planning.refusals.course import Course
from app.planning.refusals.fault import (
    MOST_TOLD,
    DayFault,
    Found,
    Order,
    Path,
    Refused,
    place,
    shown,
)
from app.planning.refusals.form import EVENT
from app.planning.refusals.happenings import Entry, Log
from app.planning.refusals.keys import missing
from app.planning.refusals.parts import part_of
from app.planning.refusals.shape import Choice
from app.planning.refusals.sketch import MOST_COUNTED, Enough, Reading, Sketch

KINDS: dict[str, type[AnyEvent]] = {
    kind.model_fields["event"].default: kind for kind in get_args(AnyEvent)
}
WORDS_FOR_KINDS = Choice(tuple(KINDS))


class Unread(NamedTuple):
    """A line that says nothing: where in it the fault is, and a sentence."""

    place: str
    words: str


class Line(NamedTuple):
    """One line of an event file: its number, from 1, and what a JSON reader made of it."""

    number: int
    says: object


def read_events(
    lines: Sequence[Line], day: Day, plan: Plan, now: str | None = None
) -> tuple[AnyEvent, ...]:
    """Return the events of a file in the order of their numbers, each once.

    Parameters
    ----------
    lines
        The lines that are not blank.
    day, plan
        What the events speak of: a plan and its day, or what came of them by earlier events.
    now
        The time now, if no event may be later; a local time.

    Returns
    -------
    tuple[AnyEvent, ...]
        Those that were taken back too, each with what takes it back. An undo names the event that
        it undoes by the number that the event has here.

    Raises
    ------
    Refused
        With all that is wrong, in the order of the lines: a hundred faults told, the rest counted.
    """
    log, found = _log(lines, day, plan, now)
    if found:
        raise _refused(lines, found)
    events, paths = _built(log)
    told = Course(day, plan, events, paths)
    found = [*(each for rule in course.RULES for each in rule(told)), *_impossible(told)]
    if found:
        raise _refused(lines, found)
    return tuple(events)


def _log(lines: Sequence[Line], day: Day, plan: Plan, now: str | None) -> tuple[Log, list[Found]]:
    """Return the events as far as they are well shaped, and all that is wrong with them."""
    reading = Reading(Clock(day.timezone))
    log = Log(day, plan, _entries(lines, reading))
    if len(reading.found) < MOST_COUNTED:
        rules = (*happenings.RULES, *mentions.RULES)
        reading.found += islice((each for rule in rules for each in rule(log)), MOST_COUNTED)
        reading.found += _later_than(log, now)
    return log, reading.found


def _entries(lines: Sequence[Line], reading: Reading) -> list[Entry]:
    entries = []
    try:
        for index, line in enumerate(lines):
            entry = _entry(index, line, reading)
            if entry is not None:
                entries.append(entry)
    except Enough:
        pass
    return entries


def _entry(index: int, line: Line, reading: Reading) -> Entry | None:
    """Return one line as far as it is well shaped."""
    says = line.says
    if isinstance(says, Unread):
        reading.note(Found((index,), says.words))
        return None
    told = says.get("event") if isinstance(says, dict) else None
    kind = told if isinstance(told, str) and told in KINDS else ""
    if isinstance(says, dict) and not kind:
        if "event" in says:
            WORDS_FOR_KINDS.read(told, (index, "event"), reading)
        else:
            reading.note(missing("event", (index,), "what happened"))
        says = {key: says[key] for key in Event.model_fields if key in says}
    shape = part_of(KINDS[kind] if kind else Event, EVENT)
    sketch = shape.read(says, (index,), reading)
    if not isinstance(sketch, Sketch):
        return None
    for key in ("n", "undoes"):
        if key in shape.shapes and not sketch.given(key):
            reading.note(missing(key, (index,), shape.shapes[key].wanted))
    return Entry(line.number, kind, sketch)


def _later_than(log: Log, now: str | None) -> Iterator[Found]:
    """Find events that are still to come."""
    for entry in log.fresh if now is not None else ():
        at = entry.sketch.value("at")
        if at is not None and log.clock.minute(at) > log.clock.minute(str(now)):
            words = f"{shown(at)} is later than now, {shown(now)}; write when it happened"
            yield Found(entry.sketch.at("at"), words)


def _built(log: Log) -> tuple[list[AnyEvent], list[Path]]:
    """Return the events with the path of each, undos by the numbers that stand."""
    first: dict[str, int] = {}
    number_of: dict[int, int] = {}
    for entry in log.entries:
        n = entry.sketch.value("n")
        number_of.setdefault(n, first.setdefault(entry.sketch.value("once"), n))
    events = []
    for entry in log.fresh:
        event = KINDS[entry.kind].model_validate(entry.sketch.plain())
        if isinstance(event, Undone):
            event = event.model_copy(update={"undoes": number_of[event.undoes or 0]})
        events.append(event)
    return events, [entry.sketch.path for entry in log.fresh]


def _impossible(told: Course) -> Iterator[Found]:
    """Find what no day may say, on the line of the event that makes the day say it."""
    after = day_now(told.day, told.standing)
    if after == told.day or not told.standing:
        return
    last = {
        event.run.id if isinstance(event, Added) else event.run: event
        for event in told.standing
        if isinstance(event, Added | Moved)
    }
    for fault in faults_of_day(after):
        event = told.standing[-1]
        rest = fault.path
        if fault.path[0] == "runs" and len(fault.path) > 1:
            run = after.runs[int(fault.path[1])].id
            event, rest = last.get(run, event), fault.path[2:]
        path = told.at(event, *(("run", *rest) if isinstance(event, Added) else rest))
        yield Found(path, fault.words)


def _refused(lines: Sequence[Line], found: list[Found]) -> Refused:
    order = Order([line.says for line in lines])
    first = nsmallest(MOST_TOLD, found, key=lambda each: order.position(each.path))
    return Refused([_told(lines, each) for each in first], len(found) - len(first))


def _told(lines: Sequence[Line], found: Found) -> DayFault:
    line = lines[int(found.path[0])]
    there = line.says.place if isinstance(line.says, Unread) else ""
    if len(found.path) > 1:
        there = place(found.path[1:])
    words = found.told().words
    return DayFault(f"line {line.number}{f', {there}' if there else ''}", words)
