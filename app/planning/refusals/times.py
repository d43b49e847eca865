"""Clock times: their shape, and whether a clock on the wall ever shows them, once."""

import re
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any
from zoneinfo import available_timezones

from app.planning.minutes import Clock, NoSuchTime
from app.planning.refusals.fault import Path, meant, shown
from app.planning.refusals.sketch import Bad, Reading

# Until 1972 some zones lay a fraction of a minute off UTC, which whole minutes cannot tell.
FIRST_YEAR = 1973
LAST_YEAR = 2999
EXAMPLE = "2027-03-04T07:00"
_OFFSET = r"(?:Z|[+-][0-9]{2}:[0-9]{2})"
_TO_THE_MINUTE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}"
_TIME = re.compile(f"{_TO_THE_MINUTE}{_OFFSET}?")
_WITH_SECONDS = re.compile(rf"({_TO_THE_MINUTE}):[0-9]{{2}}(?:[.,][0-9]+)?({_OFFSET}?)")
_NO_PLACE = frozenset({"Factory", "localtime", "posixrules"})


class Time:
    """A local time to the minute, with its offset only where the local time is double."""

    wanted = f"a local time to the minute, such as {shown(EXAMPLE)}"

    def read(self, value: object, path: Path, reading: Reading) -> str | Bad:
        """Return the time in its one form."""
        wrong = _shape_fault(value)
        if wrong or not isinstance(value, str):
            return reading.bad(path, f"{shown(value)} {wrong}")
        if reading.clock is None:
            return value
        try:
            return _told_once(value, reading.clock)
        except _NotOnce as fault:
            return reading.bad(path, f"{shown(value)} {fault}")

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a time."""
        return {"type": "string", "pattern": f"^{_TO_THE_MINUTE}{_OFFSET}?$"}


class Timezone:
    """The name of a time zone."""

    wanted = 'the name of a time zone, such as "Europe/Lisbon"'

    def read(self, value: object, path: Path, reading: Reading) -> str | Bad:
        """Return the name if the zone is known."""
        if isinstance(value, str) and value in timezones():
            return value
        otherwise = f"write {self.wanted}"
        return reading.bad(
            path,
            lambda: f"{shown(value)} is no time zone; {meant(value, timezones(), otherwise)}",
        )

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a name."""
        return {"type": "string", "examples": ["Europe/Lisbon"]}


@lru_cache(maxsize=1)
def timezones() -> frozenset[str]:
    """Return the names of the time zones of the IANA database."""
    return frozenset(available_timezones() - _NO_PLACE)


def clock_of(document: object) -> Clock | None:
    """Return the clock of a document's time zone; None where it names none that is known."""
    zone = document.get("timezone") if isinstance(document, dict) else None
    return Clock(zone) if isinstance(zone, str) and zone in timezones() else None


class _NotOnce(Exception):
    """A time that the clocks of the zone do not show once; its text is the rest of a sentence."""


def _shape_fault(value: object) -> str | None:
    if not isinstance(value, str):
        return f"is no time; write {Time.wanted}, in quotes"
    if not _TIME.fullmatch(value):
        seconds = _WITH_SECONDS.fullmatch(value)
        if seconds:
            return f"has seconds; write it to the minute: {shown(''.join(seconds.groups()))}"
        return f"is no time; write {Time.wanted}"
    try:
        year = datetime.fromisoformat(value[:16]).year
    except ValueError:
        return "is no date and time of the calendar; write one that is"
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return f"is out of reach; write a year from {FIRST_YEAR} to {LAST_YEAR}"
    return None


def _told_once(text: str, clock: Clock) -> str:
    """Return a well-shaped time in its one form, or raise _NotOnce."""
    local, offset = text[:16], text[16:]
    if not offset and _is_plain(local, clock):
        return local
    offsets = _offsets(local, clock)
    if len(offsets) == 1 and offset in ("", *map(_utc_too, offsets), *offsets):
        return local
    if len(offsets) == 1:
        here = f"{clock.zone.key} is at {offsets[0]} then"
        raise _NotOnce(f"has a wrong offset, as {here}; write {shown(local)}")
    for known in offsets:
        if offset and offset in (known, _utc_too(known)):
            return local + known
    raise _NotOnce(_never(local, clock) if not offsets else _twice(local, offsets, clock))


def _is_plain(local: str, clock: Clock) -> bool:
    """Return whether no clock goes forward or back at a local time, as at nearly all."""
    moment = datetime.fromisoformat(local)
    return _utcoffset(moment, 0, clock) == _utcoffset(moment, 1, clock)


def _never(local: str, clock: Clock) -> str:
    moment = datetime.fromisoformat(local)
    before, after = (_utcoffset(moment, fold, clock) for fold in (0, 1))
    mend = (moment + (after - before)).isoformat(timespec="minutes")
    return (
        f"does not exist in {clock.zone.key}, where the clocks go forward then;"
        f" write {shown(mend)} or another time"
    )


def _twice(local: str, offsets: list[str], clock: Clock) -> str:
    first, second = (shown(local + offset) for offset in offsets)
    return (
        f"comes twice in {clock.zone.key}, where the clocks go back then;"
        f" write {first} for the first or {second} for the second"
    )


def _offsets(local: str, clock: Clock) -> list[str]:
    """Return the offsets with which a local time exists: none, one or two, in UTC's order."""
    moment = datetime.fromisoformat(local)
    both = dict.fromkeys(_written(_utcoffset(moment, fold, clock)) for fold in (0, 1))
    return [offset for offset in both if _exists(local + offset, clock)]


def _exists(text: str, clock: Clock) -> bool:
    try:
        clock.minute(text)
    except NoSuchTime:
        return False
    return True


def _utcoffset(moment: datetime, fold: int, clock: Clock) -> timedelta:
    return moment.replace(tzinfo=clock.zone, fold=fold).utcoffset() or timedelta()


def _written(offset: timedelta) -> str:
    minutes = abs(offset) // timedelta(minutes=1)
    sign = "-" if offset < timedelta() else "+"
    return f"{sign}{minutes // 60:02}:{minutes % 60:02}"


def _utc_too(offset: str) -> str:
    return "Z" if offset == "+00:00" else offset
