"""The only time arithmetic: local clock times of one time zone, as whole minutes in UTC.

A minute is counted from 1970-01-01T00:00 UTC, so that spans over a change of the clocks are
right. Local texts go in and out; they carry their offset only where the local time is double.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

MINUTE_S = 60
REMEMBERED, ZONES_REMEMBERED = 2**15, 32
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MINUTE = timedelta(minutes=1)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class NoSuchTime(ValueError):
    """A local time that the clocks skip, or that is double and not told apart by an offset."""


class _Shown:
    """What the clocks on the walls of one zone show, and when."""

    def __init__(self, timezone: str) -> None:
        self.zone = ZoneInfo(timezone)
        self.minute = lru_cache(maxsize=REMEMBERED)(self._minute)
        self.text = lru_cache(maxsize=REMEMBERED)(self._text)

    def _minute(self, text: str) -> int:
        """Return the minute of a local text.

        Raises
        ------
        NoSuchTime
            If the local time does not exist, or is double and bears no offset.
        ValueError
            If the text is no ISO 8601 local time to the minute.
        """
        moment = datetime.strptime(text[:16], "%Y-%m-%dT%H:%M")
        meanings = self._meanings(moment)
        if len(text) > 16:
            offset = datetime.strptime(text[16:], "%z").utcoffset()
            meanings = [each for each in meanings if each.utcoffset() == offset]
        if len(meanings) != 1:
            raise NoSuchTime(text)
        return (meanings[0] - _EPOCH) // _MINUTE

    def _text(self, minute: int) -> str:
        """Return the local text of a minute, with its offset only where it is double."""
        moment = (_EPOCH + minute * _MINUTE).astimezone(self.zone)
        plain = moment.strftime("%Y-%m-%dT%H:%M")
        if len(self._meanings(moment.replace(tzinfo=None))) == 1:
            return plain
        offset = moment.strftime("%z")
        return f"{plain}{offset[:3]}:{offset[3:]}"

    def _meanings(self, moment: datetime) -> list[datetime]:
        """Return the moments in UTC's order that a clock on the wall shows like this: 0, 1 or 2."""
        both = [moment.replace(tzinfo=self.zone, fold=fold) for fold in (0, 1)]
        if both[0].utcoffset() == both[1].utcoffset():
            return both[:1]
        return [each for each in both if _is_real(each)]


@lru_cache(maxsize=ZONES_REMEMBERED)
def _shown_in(timezone: str) -> _Shown:
    return _Shown(timezone)


class Clock:
    """Local times of one IANA time zone to minutes and back.

    All clocks of a zone remember together what they have read.
    """

    def __init__(self, timezone: str) -> None:
        shown = _shown_in(timezone)
        self.zone, self.minute, self.text = shown.zone, shown.minute, shown.text

    def spans(self, told: Iterable[tuple[str, str]]) -> list[tuple[int, int]]:
        """Return the first minutes and the ends of spans of local texts."""
        return [(self.minute(starts), self.minute(ends)) for starts, ends in told]

    def hour(self, minute: int) -> str:
        """Return `hh:mm` of a minute, as a clock on the wall shows it."""
        return self.text(minute)[11:16]

    def hour_seen_from(self, minute: int, date: str) -> str:
        """Return `hh:mm` of a minute, with its day of the week where it lies on another date."""
        is_same = self.date(minute) == date
        return self.hour(minute) if is_same else f"{self._weekday(minute)} {self.hour(minute)}"

    def _weekday(self, minute: int) -> str:
        return WEEKDAYS[datetime.strptime(self.date(minute), "%Y-%m-%d").weekday()]

    def date(self, minute: int) -> str:
        """Return the local date of a minute, `yyyy-mm-dd`."""
        return self.text(minute)[:10]


def _is_real(moment: datetime) -> bool:
    back = moment.astimezone(UTC).astimezone(moment.tzinfo)
    return back.replace(tzinfo=None) == moment.replace(tzinfo=None)


def floor_minute(second: int) -> int:
    """Return the minute that a second lies in."""
    return second // MINUTE_S


def ceil_minute(second: int) -> int:
    """Return the first whole minute at or after a second."""
    return -(-second // MINUTE_S)
