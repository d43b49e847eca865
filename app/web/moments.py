"""Dates and hours as people type them: *14:20*, *Thu 4 March*, *2027-03-04 7:00*, *Fri 18:30*.

Hours after midnight may count on, as on call sheets: *26:15* is a quarter past two of the next day.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from app.planning.minutes import Clock, NoSuchTime
from app.web import words
from app.web.typed import NotUnderstood, quoted

Part = Literal["both", "date", "hour"]
FIRST_YEAR, LAST_YEAR, WEEK_DAYS, NOON_H, DAY_H, LAST_H = 2000, 2100, 7, 12, 24, 47
MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
LIKE = {"both": "Thu 4 March, 14:20", "date": "Thu 4 March or 2027-03-04", "hour": "14:20"}
HOURS = {"noon": "12:00", "midday": "12:00", "midnight": "24:00"}
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:t|\b)")
_NEXT_DAY = re.compile(r"\b(?:the )?(?:next|following) day\b")
_DAY_MONTH = re.compile(r"\b(\d{1,2})\.?\s+([a-z]{3,9})\.?(?:\s+(\d{4}))?\b")
_MONTH_DAY = re.compile(r"\b([a-z]{3,9})\.?\s+(\d{1,2})(?:,?\s+(\d{4}))?\b(?![:.h])")
_WEEKDAY = re.compile(r"\b(mon|tue|wed|thu|fri|sat|sun)[a-z]*\b")
_HOUR = re.compile(
    r"\b(?:(\d{1,2})[:.h](\d{2})|(\d{2})(\d{2})|(\d{1,2})(?:\s*h)?)\s*(am|pm)?\s*\(?([+-]\d{2}:\d{2})?\)?$"
)


@dataclass(frozen=True)
class Moment:
    """A local time of a production, or its date or hour alone; what is not typed is `beside`'s.

    `beside` is a local time of the same row; with `is_after` an hour that is not later than it is
    of the day after. A year is said where it is not that of `of_year`, a local time.
    """

    timezone: str
    beside: str
    part: Part = "both"
    is_after: bool = False
    of_year: str = ""

    def understand(self, text: str) -> str:
        """Return the local time, as the day file writes it."""
        rest = " ".join(text.strip().lower().split())
        on, rest = _date(rest, date.fromisoformat(self.beside[:10]))
        hour, rest = _hour(HOURS.get(rest.strip(" ,"), rest))
        is_missing = on is None if self.part == "date" else hour is None and on is None
        is_more = (self.part == "date" and hour) or (self.part == "hour" and on)
        if rest.strip(" ,") or is_missing or is_more:
            raise NotUnderstood(f"Such as {LIKE[self.part]}, not {quoted(text)}.")
        days = 0
        if hour is None:
            hour = self.beside[11:16]
        else:
            days, hour_of_day = divmod(int(hour[:2]), DAY_H)
            hour = f"{hour_of_day:02d}{hour[2:]}"
            if on is None and self.is_after and not days:
                days = int(hour[:5] <= self.beside[11:16])
        there = (on or date.fromisoformat(self.beside[:10])) + timedelta(days=days)
        return self._sound(f"{there.isoformat()}T{hour}", text)

    def say(self, value: str) -> str:
        """Return it as people read it."""
        is_same_day = self.is_after and value[:10] == self.beside[:10]
        if self.part == "hour" or is_same_day:
            return words.hour(value)
        on = words.date(value)
        if self.of_year and value[:4] != self.of_year[:4]:
            on = f"{on} {value[:4]}"
        return on if self.part == "date" else f"{on}, {words.hour(value)}"

    def _sound(self, found: str, text: str) -> str:
        if not FIRST_YEAR <= int(found[:4]) < LAST_YEAR:
            raise NotUnderstood(f"A day of this century, not {quoted(text)}.")
        try:
            Clock(self.timezone).minute(found)
        except NoSuchTime as why:
            raise NotUnderstood(
                f"{words.when(found)} does not exist, or exists twice, because the clocks change."
            ) from why
        return found


def _date(text: str, beside: date) -> tuple[date | None, str]:
    """Return the date in a text and the text without it; a bare weekday is the next such.

    A date that does not exist stays in the text.
    """
    if found := _NEXT_DAY.search(text):
        return beside + timedelta(days=1), text.replace(found[0], " ", 1)
    bare = _WEEKDAY.sub("", text, count=1).strip(" ,")
    weekday = _WEEKDAY.search(text)
    if found := _ISO.search(bare):
        on = _known(int(found[1]), int(found[2]), int(found[3]))
        return _that(on, weekday), bare.replace(found[0], " ", 1) if on else text
    for pattern, day_at, month_at in ((_DAY_MONTH, 1, 2), (_MONTH_DAY, 2, 1)):
        found = pattern.search(bare)
        if found and found[month_at][:3] in MONTHS:
            month, day = MONTHS.index(found[month_at][:3]) + 1, int(found[day_at])
            on = _nearest(month, day, beside) if not found[3] else _known(int(found[3]), month, day)
            return _that(on, weekday), bare.replace(found[0], " ", 1) if on else text
    if weekday:
        ahead = (DAYS.index(weekday[1]) - beside.weekday()) % WEEK_DAYS
        return beside + timedelta(days=ahead), bare
    return None, text


def _that(on: date | None, weekday: re.Match[str] | None) -> date | None:
    """Return a date; NotUnderstood where a weekday that stands beside it is another one's."""
    if on is not None and weekday is not None and DAYS[on.weekday()] != weekday[1]:
        raise NotUnderstood(f"That date is {words.date(on.isoformat())}; mend the date or the day.")
    return on


def _nearest(month: int, day: int, beside: date) -> date | None:
    years = (beside.year - 1, beside.year, beside.year + 1)
    found = [each for each in (_known(year, month, day) for year in years) if each]
    return min(found, key=lambda each: abs(each - beside), default=None)


def _known(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _hour(text: str) -> tuple[str | None, str]:
    found = _HOUR.search(text.strip(" ,"))
    if found is None:
        return None, text
    hour = int(found[1] or found[3] or found[5])
    minute = int(found[2] or found[4] or 0)
    if found[6]:
        if not 1 <= hour <= NOON_H:
            return None, text
        hour = hour % NOON_H + (NOON_H if found[6] == "pm" else 0)
    # The minutes tell *26:15* from a date.
    if hour > LAST_H or minute > 59 or (hour > DAY_H and not (found[2] or found[4])):
        return None, text
    return f"{hour:02d}:{minute:02d}{found[7] or ''}", text.strip(" ,")[: found.start()]
