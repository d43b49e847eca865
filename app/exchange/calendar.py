"""Runs as a calendar (RFC 5545), in UTC, so that no calendar program has to know the place."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from app.planning.day import Day, Run
from app.planning.ids import id_from
from app.planning.minutes import Clock
from app.planning.moments import left_minute, use_minute

LONGEST_LINE = 75
PRODUCT = "-//Stagelarder//Runs//EN"
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f\ud800-\udfff]")


def calendar_of(day: Day, made_at: datetime) -> bytes:
    """Return the runs of a day as the bytes of a calendar file.

    Parameters
    ----------
    day
        The day.
    made_at
        When the calendar is made, aware of its zone.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}"]
    for run in day.runs:
        lines += _event(day, run, made_at)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line)).encode("utf-8")


def _event(day: Day, run: Run, made_at: datetime) -> list[str]:
    clock, beats = Clock(day.timezone), day.beats_of(run)
    starts = clock.minute(run.starts)
    ends = max((left_minute(day, run.id, beat.id) for beat in beats), default=starts)
    told = "\n".join(
        f"{clock.hour(use_minute(day, run.id, beat.id))} {beat.called}" for beat in beats
    )
    title = day.demonstration(run.demonstration).title
    kind = f"{run.kind}, dry" if run.dry else run.kind
    return [
        "BEGIN:VEVENT",
        f"UID:{run.id}.{id_from(day.title)}@stagelarder",
        f"DTSTAMP:{made_at.astimezone(UTC):%Y%m%dT%H%M%SZ}",
        f"DTSTART:{_moment(starts)}",
        *([f"DTEND:{_moment(ends)}"] if ends > starts else []),
        f"SUMMARY:{_text(f'{run.called}: {title} ({kind})')}",
        *([f"DESCRIPTION:{_text(told)}"] if told else []),
        "END:VEVENT",
    ]


def _moment(minute: int) -> str:
    return f"{_EPOCH + timedelta(minutes=minute):%Y%m%dT%H%M%SZ}"


def _text(words: str) -> str:
    bare = _CONTROL.sub(" ", words.replace("\r\n", "\n"))
    for sign in ("\\", ";", ","):
        bare = bare.replace(sign, f"\\{sign}")
    return bare.replace("\n", "\\n")


def _folded(line: str) -> Iterator[str]:
    """Yield a line in parts of at most 75 bytes; what goes on begins with a blank."""
    part, room = "", LONGEST_LINE
    for sign in line:
        size = len(sign.encode("utf-8"))
        if size > room:
            yield part
            part, room = " ", LONGEST_LINE - 1
        part, room = part + sign, room - size
    yield part
