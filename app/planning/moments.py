"""When the beats of a run air, on the clock, and which runs move along with one."""

from collections.abc import Mapping
from functools import lru_cache

from app.planning.day import Day, Run
from app.planning.minutes import MINUTE_S, Clock, ceil_minute, floor_minute


def zero_second(day: Day, run: Run) -> int:
    """Return the second, in UTC, from which the beats of a run are counted."""
    said = _clock(day.timezone).minute(run.starts) * MINUTE_S
    if not run.starts_at_first_beat:
        return said
    return said - min((beat.starts_s for beat in day.beats_of(run)), default=0)


def beat_second(day: Day, run: Run, beat: str) -> int:
    """Return the second, in UTC, at which a beat of a run begins.

    Parameters
    ----------
    day, run, beat
        A run of the day, and the id of a beat of its demonstration.
    """
    return zero_second(day, run) + day.demonstration(run.demonstration).beat(beat).starts_s


def use_minute(day: Day, run: str, beat: str) -> int:
    """Return the minute of a use: its clock time, rounded down."""
    return floor_minute(beat_second(day, day.run(run), beat))


def left_minute(day: Day, run: str, beat: str) -> int:
    """Return the minute at which a beat of a run has ended, rounded up."""
    passed = day.run(run)
    lasts_s = day.demonstration(passed.demonstration).beat(beat).lasts_s
    return ceil_minute(beat_second(day, passed, beat) + lasts_s)


def moved_along(clock: Clock, starts: Mapping[str, str], run: str, to: str) -> list[str]:
    """Return the runs that move with one, itself among them: all that start with it or after it.

    A slip ends with its day: those of later days come along only where it moves to another date.

    Parameters
    ----------
    starts
        When each run starts, in local time, by its id.
    run, to
        The run that is moved, and the local time that it is moved to.
    """
    was, date = clock.minute(starts[run]), starts[run][:10]
    is_slip = to[:10] == date
    return [
        each
        for each, at in starts.items()
        if clock.minute(at) >= was and (at[:10] == date or not is_slip)
    ]


@lru_cache(maxsize=64)
def _clock(timezone: str) -> Clock:
    return Clock(timezone)
