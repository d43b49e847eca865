"""The day as it stands after what happened: runs moved, added, dropped; ovens closed, crew away.

Telling the same events again to the day that came of them changes nothing, so that a log can be
kept whole over several changes of the plan.
"""

from collections.abc import Iterable, Iterator

from app.planning.day import Cook, Day, Equipment, Run, Span
from app.planning.events import Absent, Added, AnyEvent, Closed, Dropped, Moved, Used
from app.planning.hours import joined
from app.planning.minutes import Clock

Minutes = tuple[int, int]
Runs = dict[str, Run]


def day_now(day: Day, events: Iterable[AnyEvent]) -> Day:
    """Return the day as it now stands.

    Parameters
    ----------
    day
        The day of the plan, whether earlier events are in it already or not.
    events
        The events that stand, in the order of their numbers.

    Returns
    -------
    Day
        A dropped run stays with the beats that have been used; it is gone if there are none. A
        run of which a beat has been used is not moved.
    """
    told, clock = list(events), Clock(day.timezone)
    runs = {run.id: run for run in day.runs}
    for _, after in course_of_runs(day, told):
        runs = after
    equipment = [_closed(clock, item, told) for item in day.kitchen.equipment]
    crew = [_present(clock, cook, told) for cook in day.kitchen.crew]
    kitchen = day.kitchen.model_copy(update={"equipment": tuple(equipment), "crew": tuple(crew)})
    return day.model_copy(update={"kitchen": kitchen, "runs": tuple(runs.values())})


def course_of_runs(day: Day, events: Iterable[AnyEvent]) -> Iterator[tuple[AnyEvent, Runs]]:
    """Yield each event that concerns the rundown, with the runs by id as they are then.

    Parameters
    ----------
    day, events
        As for `day_now`.
    """
    runs = {run.id: run for run in day.runs}
    used: dict[str, set[str]] = {}
    for event in events:
        if isinstance(event, Used):
            used.setdefault(event.run, set()).add(event.beat)
        elif isinstance(event, Moved) and event.run in runs and event.run not in used:
            runs[event.run] = runs[event.run].model_copy(update={"starts": event.starts})
        elif isinstance(event, Added):
            runs[event.run.id] = event.run
        elif isinstance(event, Dropped) and event.run in runs:
            left = _as_far_as_used(day, runs[event.run], used.get(event.run, set()))
            if left.beats:
                runs[event.run] = left
            else:
                del runs[event.run]
        if isinstance(event, Moved | Added | Dropped):
            yield event, runs


def _as_far_as_used(day: Day, run: Run, used: set[str]) -> Run:
    beats = tuple(beat.id for beat in day.beats_of(run) if beat.id in used)
    return run.model_copy(update={"beats": beats})


def _closed(clock: Clock, item: Equipment, events: list[AnyEvent]) -> Equipment:
    """Return an item with what it was closed for, spans that meet as one."""
    told = [
        (event.from_, event.to)
        for event in events
        if isinstance(event, Closed) and event.equipment == item.id
    ]
    closed = joined(clock.spans((*item.closed, *told)))
    return item.model_copy(update={"closed": _texts(clock, closed)}) if told else item


def _present(clock: Clock, cook: Cook, events: list[AnyEvent]) -> Cook:
    """Return one of the crew with the shifts that are left."""
    away = [
        (event.from_, event.to)
        for event in events
        if isinstance(event, Absent) and event.crew == cook.id
    ]
    return without(clock, cook, clock.spans(away))


def without(clock: Clock, cook: Cook, away: Iterable[Minutes]) -> Cook:
    """Return one of the crew without some spans of their shifts.

    Parameters
    ----------
    clock
        The clock of the day.
    cook
        One of its crew; the very same is returned where nothing is taken away.
    away
        Spans in minutes from 1970 in UTC.
    """
    left = all_shifts = clock.spans(cook.shifts)
    for gone, back in away:
        pieces = [part for s, e in left for part in ((s, min(e, gone)), (max(s, back), e))]
        left = [(starts, ends) for starts, ends in pieces if starts < ends]
    if left == all_shifts:
        return cook
    return cook.model_copy(update={"shifts": _texts(clock, left)})


def _texts(clock: Clock, spans: Iterable[Minutes]) -> tuple[Span, ...]:
    return tuple((clock.text(starts), clock.text(ends)) for starts, ends in spans)
