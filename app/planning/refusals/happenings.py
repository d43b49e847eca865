"""What an event file may not say of itself: numbers out of order, texts too long, spans backwards.

A rule takes the `Log` and yields what it finds; the place of a fault is the number of its entry,
then the keys.
"""

from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

from app.planning.day import Day
from app.planning.events import LONGEST_KEY, LONGEST_WORDS
from app.planning.minutes import Clock
from app.planning.needs import StageKey
from app.planning.plan import Plan
from app.planning.refusals.fault import Found, shown
from app.planning.refusals.sketch import Sketch

LIST_KEYS = ("copies", "lost")


class Entry(NamedTuple):
    """One event as far as it is well shaped; its kind is empty where that is not known."""

    line: int
    kind: str
    sketch: Sketch


class Log:
    """The events of a file beside the day and the plan that they speak of."""

    def __init__(self, day: Day, plan: Plan, entries: list[Entry]) -> None:
        self.day, self.plan, self.entries = day, plan, entries
        self.clock = Clock(day.timezone)
        self.batches = {batch.id: set(batch.copies) for batch in plan.batches}

    @cached_property
    def fresh(self) -> list[Entry]:
        """Return the entries without those whose key stood before: the same event, sent again."""
        first: dict[str, Entry] = {}
        kept = []
        for entry in self.entries:
            once = entry.sketch.value("once")
            if once is None or first.setdefault(once, entry) is entry:
                kept.append(entry)
        return kept

    @cached_property
    def standing(self) -> list[Entry]:
        """Return the fresh entries that no later one takes back."""
        number_of: dict[int, int] = {}
        first: dict[str, int] = {}
        for entry in self.entries:
            n = entry.sketch.value("n")
            number_of.setdefault(n, first.setdefault(entry.sketch.value("once"), n))
        void: set[int | None] = set()
        kept = []
        for entry in reversed(self.fresh):
            if entry.sketch.value("n") in void:
                continue
            kept.append(entry)
            if entry.kind == "undone":
                undoes = entry.sketch.value("undoes")
                void.add(number_of.get(undoes, undoes))
        return kept[::-1]

    @cached_property
    def copies(self) -> dict[str, StageKey]:
        """Return the stage of each copy that the plan knows."""
        made = {
            copy: (batch.demonstration, batch.stage)
            for batch in self.plan.batches
            for copy in batch.copies
        }
        return made | {copy.id: (copy.demonstration, copy.stage) for copy in self.plan.copies}

    @cached_property
    def demonstration_of(self) -> dict[str, str]:
        """Return the demonstration of each run of the day and of each run that is added."""
        known = {run.id: run.demonstration for run in self.day.runs}
        for entry in self.of("added"):
            run = entry.sketch.part("run")
            if run is not None and run.value("id") and run.value("demonstration"):
                known.setdefault(run.value("id"), run.value("demonstration"))
        return known

    @cached_property
    def dropped(self) -> set[str]:
        """Return the runs that are dropped at any time: the day may know them no longer."""
        return {run for entry in self.of("dropped") if (run := entry.sketch.value("run"))}

    def of(self, *kinds: str) -> Iterator[Entry]:
        """Yield the entries of some kinds, each event once."""
        return (entry for entry in self.fresh if entry.kind in kinds)

    def standing_of(self, *kinds: str) -> Iterator[Entry]:
        """Yield the entries of some kinds that are not taken back."""
        return (entry for entry in self.standing if entry.kind in kinds)


def out_of_order(log: Log) -> Iterator[Found]:
    """Find numbers that do not count up."""
    last: Entry | None = None
    for entry in log.fresh:
        n, before = entry.sketch.value("n"), last.sketch.value("n") if last else 0
        if n is None:
            continue
        if last and n <= before:
            words = f"{n} does not count up from {before} on line {last.line}"
            yield Found(entry.sketch.at("n"), f"{words}; number the events in the order of the log")
        last = entry


def undoes_nothing(log: Log) -> Iterator[Found]:
    """Find undos that name no earlier event."""
    known: set[int] = set()
    for entry in log.entries:
        undoes = entry.sketch.value("undoes")
        if undoes is not None and undoes not in known:
            yield Found(
                entry.sketch.at("undoes"),
                f"{undoes} is the number of no event before; write that of the event to take back",
            )
        known.add(entry.sketch.value("n"))


def too_long(log: Log) -> Iterator[Found]:
    """Find keys and names that are empty or too long, and reasons without end."""
    for entry in log.entries:
        for key, most in (("once", LONGEST_KEY), ("by", LONGEST_KEY), ("why", LONGEST_WORDS)):
            text = entry.sketch.value(key)
            if text is not None and len(text) > most:
                words = f"{shown(text)} has {len(text)} characters; write {most} at most"
                yield Found(entry.sketch.at(key), words)
            elif text == "" and key != "why":
                words = "is empty; write who says so, or a key of its own"
                yield Found(entry.sketch.at(key), words)


def twice(log: Log) -> Iterator[Found]:
    """Find copies that stand twice in one event, and events that name none."""
    for entry in log.entries:
        for key in LIST_KEYS:
            seen: set[str] = set()
            for number, copy in entry.sketch.entries(key):
                if copy in seen:
                    words = f"{shown(copy)} stands twice; keep one of the two"
                    yield Found(entry.sketch.at(key, number), words)
                seen.add(copy)
        if entry.sketch.value("copies") == []:
            words = "an empty list; name a copy, or leave the event out"
            yield Found(entry.sketch.at("copies"), words)


def backwards(log: Log) -> Iterator[Found]:
    """Find spans that end before they start, or as they start."""
    for entry in log.of("closed", "absent"):
        starts, ends = entry.sketch.value("from"), entry.sketch.value("to")
        if starts and ends and log.clock.minute(ends) <= log.clock.minute(starts):
            words = f"{shown(ends)} is not after {shown(starts)}; write the later time here"
            yield Found(entry.sketch.at("to"), words)


RULES = (out_of_order, undoes_nothing, too_long, twice, backwards)
