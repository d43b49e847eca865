"""The minutes at which work can start, as far as shifts tell: spans of minutes, both ends in."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from app.planning.day import Cook, Day, Phase, Way
from app.planning.minutes import Clock

EVER = 10**9
Spans = tuple[tuple[int, int], ...]
ALWAYS: Spans = ((-EVER, EVER),)


@dataclass(frozen=True)
class Team:
    """Cooks that are alike: the same shifts and skills."""

    name: str
    cooks: tuple[str, ...]
    shifts: Spans
    skills: frozenset[str]

    def starts(self, lasts_min: int) -> Spans:
        """Return when work of so many minutes can start."""
        return tuple(
            (start, end - lasts_min) for start, end in self.shifts if end - start >= lasts_min
        )


def teams_of(day: Day) -> tuple[Team, ...]:
    """Return the crew in teams of the same shifts and skills, in the day's order."""
    clock = Clock(day.timezone)
    alike: dict[tuple[Spans, frozenset[str]], list[str]] = {}
    for cook in day.kitchen.crew:
        alike.setdefault((shifts_of(clock, cook), frozenset(cook.skills)), []).append(cook.id)
    return tuple(
        Team(cooks[0], tuple(cooks), shifts, skills) for (shifts, skills), cooks in alike.items()
    )


def shifts_of(clock: Clock, cook: Cook) -> Spans:
    """Return the shifts of one of the crew in order, in minutes; those that touch are one."""
    return joined(clock.spans(cook.shifts))


def joined(spans: Iterable[tuple[int, int]]) -> Spans:
    """Return spans in order, those that share a minute as one; of minutes in a row each stays."""
    whole: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if whole and start <= whole[-1][1]:
            whole[-1] = (whole[-1][0], max(end, whole[-1][1]))
        else:
            whole.append((start, end))
    return tuple(whole)


def starts_of_way(teams: tuple[Team, ...], way: Way, copies: int, copies_max: int) -> Spans:
    """Return when a batch can start so that each phase finds its hands on shift."""
    return starts_where(
        way, copies, copies_max, lambda phase, lasts_min: starts_of_phase(teams, phase, lasts_min)
    )


def starts_where(
    way: Way, copies: int, copies_max: int, able: Callable[[Phase, int], Spans]
) -> Spans:
    """Return when a batch can start so that each phase, of so many minutes, can.

    Phases after one whose length depends on the copies are left out, and lengths are the least:
    no start that is possible is missing.
    """
    found, at = ALWAYS, 0
    for phase in way.phases:
        least = phase.length_min(copies)
        found = meet(found, moved(able(phase, least), -at))
        if phase.length_min(copies_max) != least:
            break
        at += least
    return found


def starts_of_phase(teams: tuple[Team, ...], phase: Phase, lasts_min: int) -> Spans:
    """Return when a phase of so many minutes can start."""
    if not phase.hands:
        return ALWAYS
    able = [
        span
        for team in teams
        for span in team.starts(lasts_min) * min(len(team.cooks), phase.hands)
    ]
    found = at_least(able, phase.hands)
    if phase.skill is not None:
        skilled = [
            span for team in teams if phase.skill in team.skills for span in team.starts(lasts_min)
        ]
        found = meet(found, joined(skilled))
    return found


def at_least(spans: Iterable[tuple[int, int]], count: int) -> Spans:
    """Return the minutes that so many of the spans hold."""
    steps = sorted(step for start, end in spans for step in ((start, 1), (end + 1, -1)))
    found: list[tuple[int, int]] = []
    depth = 0
    for minute, step in steps:
        if depth < count <= depth + step:
            found.append((minute, minute))
        elif depth + step < count <= depth:
            found[-1] = (found[-1][0], minute - 1)
        depth += step
    return joined(span for span in found if span[0] <= span[1])


def meet(one: Spans, other: Spans) -> Spans:
    """Return the minutes that are in both."""
    both = ((max(a, c), min(b, d)) for a, b in one for c, d in other)
    return tuple(sorted(span for span in both if span[0] <= span[1]))


def moved(spans: Spans, by_min: int) -> Spans:
    """Return the spans later by so many minutes."""
    return tuple((start + by_min, end + by_min) for start, end in spans)


def first_in(spans: Spans, minute: int) -> int:
    """Return the first minute of the spans at or after a minute; EVER if there is none."""
    return min((max(start, minute) for start, end in spans if end >= minute), default=EVER)


def last_in(spans: Spans, minute: int) -> int:
    """Return the last minute of the spans at or before a minute; -EVER if there is none."""
    return max((min(end, minute) for start, end in spans if start <= minute), default=-EVER)
