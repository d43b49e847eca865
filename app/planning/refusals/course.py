"""What events may not do to the day: begin again, be taken back too late, ask for the impossible.

These rules read whole events, once each of them is well shaped and speaks of what there is.
"""

from collections.abc import Iterator

from app.planning.begun import named
from app.planning.day import Day, Run
from app.planning.day_now import course_of_runs, day_now
from app.planning.events import Absent, Added, AnyEvent, Closed, Dropped, Moved, Undone, Used
from app.planning.needs import BeatKey, StageKey, needs_of
from app.planning.plan import Plan
from app.planning.refusals.fault import Found, Path, shown
from app.planning.undoing import standing

RUNS = Moved | Added | Dropped
AGAIN: dict[type[AnyEvent], str] = {
    Moved: 'move the run again: {"event": "moved"}',
    Added: 'drop the run: {"event": "dropped"}',
    Dropped: 'add the run again: {"event": "added"}',
    Closed: "take the span out of the day",
    Absent: "give the shift back in the day",
}


class Course:
    """Events that can be read, beside the day and the plan; `paths` lead back to their lines."""

    def __init__(self, day: Day, plan: Plan, events: list[AnyEvent], paths: list[Path]) -> None:
        self.day, self.plan, self.events = day, plan, events
        self.path_of = {event.n: path for event, path in zip(events, paths, strict=True)}
        self.standing = standing(events)
        self.runs = {run.id: run for run in day.runs}

    def at(self, event: AnyEvent, *keys: str | int) -> Path:
        """Return the path of something that an event says."""
        return (*self.path_of[event.n], *keys)


def added_again(course: Course) -> Iterator[Found]:
    """Find runs that are added under the id of another one.

    A run that the day has already as some event left it was added before the plan was mended.
    """
    open_: dict[str, Added] = {}
    for event, runs in course_of_runs(course.day, course.standing):
        if isinstance(event, Added):
            open_.setdefault(event.run.id, event)
        for run in [run for run in open_ if _is_as(course.runs.get(run), runs.get(run))]:
            del open_[run]
    for run, event in open_.items():
        words = f"{shown(run)} is the id of another run of the day; choose another"
        yield Found(course.at(event, "run", "id"), words)


def _is_as(there: Run | None, told: Run | None) -> bool:
    return there is None or there == told


def moved_after_it_began(course: Course) -> Iterator[Found]:
    """Find runs that are moved although a beat of them has been used."""
    begun: set[str] = set()
    for event in course.standing:
        if isinstance(event, Used):
            begun.add(event.run)
        elif isinstance(event, Moved) and event.run in begun:
            words = f"{shown(event.run)} has begun; drop it and add a pickup of the beats that lack"
            yield Found(course.at(event, "run"), words)


def moved_after_it_left(course: Course) -> Iterator[Found]:
    """Find runs that are moved or dropped although somebody has spoken of what a beat left."""
    left_by = {copy.id: copy.made_by.use for copy in course.plan.copies}
    used: set[BeatKey] = set()
    left: dict[BeatKey, str] = {}
    for event in course.standing:
        if isinstance(event, Used):
            used.add((event.run, event.beat))
        for copy in named(event):
            beat = left_by.get(copy)
            if beat is not None:
                left.setdefault(beat, copy)
        if isinstance(event, Moved | Dropped):
            open_ = [copy for at, copy in left.items() if at[0] == event.run and at not in used]
            if open_:
                words = f"{shown(event.run)} has begun, {shown(open_[0])} comes from it"
                mend = "tell first which copies its beats used"
                yield Found(course.at(event, "run"), f"{words}; {mend}")


def undone_too_late(course: Course) -> Iterator[Found]:
    """Find undos of what the day has taken up already, so that nobody knows how it was before."""
    by_number = {event.n: event for event in course.events}
    for event in course.standing:
        if isinstance(event, Undone):
            undone = by_number.get(event.undoes)
            if undone is not None and _is_in_the_day(course, undone):
                words = f"the day has taken up event {event.undoes} already; {AGAIN[type(undone)]}"
                yield Found(course.at(event, "undoes"), words)


def _is_in_the_day(course: Course, event: AnyEvent) -> bool:
    if isinstance(event, Closed | Absent):
        others = (each for each in course.standing if type(each) is type(event))
        is_told_again = any(_span(each) == _span(event) for each in others)
        return not is_told_again and day_now(course.day, [event]) == course.day
    if not isinstance(event, RUNS):
        return False
    if any(_run(each) == _run(event) for each in course.standing if isinstance(each, RUNS)):
        return False
    there = course.runs.get(_run(event))
    if isinstance(event, Moved):
        return there is not None and there.starts == event.starts
    return (there is not None) == isinstance(event, Added)


def _run(event: Moved | Added | Dropped) -> str:
    return event.run.id if isinstance(event, Added) else event.run


def _span(event: AnyEvent) -> tuple[str, str, str] | None:
    if isinstance(event, Closed):
        return event.equipment, event.from_, event.to
    return (event.crew, event.from_, event.to) if isinstance(event, Absent) else None


def used_too_many(course: Course) -> Iterator[Found]:
    """Find beats that are told to use more copies of a stage than they need."""
    counts = {
        (use.run, use.beat, use.stage): use.count
        for use in needs_of(day_now(course.day, course.standing)).uses
    }
    stages = {copy.id: (copy.demonstration, copy.stage) for copy in course.plan.copies}
    used: dict[tuple[str, str, StageKey], set[str]] = {}
    for event in course.standing:
        if isinstance(event, Used):
            for copy in event.copies:
                key = event.run, event.beat, stages.get(copy, ("", ""))
                used.setdefault(key, set()).add(copy)
                most = counts.get(key)
                if most is not None and len(used[key]) > most:
                    words = f"{len(used[key])} of {key[2][1]} are used there, and it needs {most}"
                    yield Found(course.at(event, "copies"), f"{words}; tell the others as lost")


RULES = (
    added_again,
    moved_after_it_began,
    moved_after_it_left,
    undone_too_late,
    used_too_many,
)
