"""Lengths of time as people type them: *1 h 20*, *90 min*, *2 days*, *1:20*."""

import re
from dataclasses import dataclass
from fractions import Fraction

from app.planning.dates import lasting
from app.web import words
from app.web.typed import NotUnderstood, number_in, quoted

HALF, ROUND = Fraction(1, 2), 60
UNITS_S = {
    60: "min mins minute minutes m",
    3_600: "h hr hrs hour hours",
    86_400: "d day days",
    604_800: "w week weeks",
    1: "s sec secs second seconds",
}
SMALLER_S = {604_800: 86_400, 86_400: 3_600, 3_600: 60, 60: 1}
SAID = (
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_SECONDS = {name: seconds for seconds, names in UNITS_S.items() for name in names.split()}
_NUMBER = r"\d+(?:[.,]\d+)?(?:\s*[¼½¾⅓⅔⅛⅜⅝⅞]|\s+\d+\s*/\s*\d+)?|\d+\s*/\s*\d+|[¼½¾⅓⅔⅛⅜⅝⅞]"
_QUARTERS = r"(?:(?:an?|one|three)\s+)?quarters?\s+of\s+an?\b"
_STEP = re.compile(
    rf"\s*(?:and\s+)?({_NUMBER}|half an?|{_QUARTERS}|(?:an?|{'|'.join(SAID)})\b)"
    r"(\s+and\s+a\s+half)?\s*((?!and\b)[a-z]*)(\s+and\s+a\s+half\b)?[.,]?",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"(\d{1,4}):([0-5]\d)")


@dataclass(frozen=True)
class Length:
    """A length of time in whole minutes, or in seconds with `unit_s` 1: *1 h 20*, *90 min*.

    An empty text is nothing where `none` allows it, and 0 where `blank` says so.
    """

    least: int = 0
    most: int = 1_000_000
    unit_s: int = 60
    none: bool = False
    blank: bool = False

    def understand(self, text: str) -> int | None:
        """Return the length; a bare number is in the field's own unit."""
        plain = text.strip()
        if not plain and (self.none or self.blank):
            return 0 if self.blank else None
        seconds = self._clock(plain)
        if seconds is None:
            seconds = _in_words(plain, self.unit_s)
        if seconds is None:
            raise NotUnderstood(f"A length of time, such as {self._like}, not {quoted(text)}.")
        value = seconds / self.unit_s
        if value.denominator != 1:
            unit = "minutes" if self.unit_s == ROUND else "seconds"
            raise NotUnderstood(f"Whole {unit}; {quoted(text)} is between two.")
        if not self.least <= value <= self.most:
            low, high = self.say(self.least), self.say(self.most)
            raise NotUnderstood(f"Between {low} and {high}, not {quoted(text)}.")
        return int(value)

    def say(self, value: int | None) -> str:
        """Return *1 h 20*, or *2 min 30 s* of seconds."""
        if value is None or (self.blank and not value):
            return ""
        return lasting(value) if self.unit_s == ROUND else words.seconds(value)

    @property
    def _like(self) -> str:
        return "1 h 20 or 90 min" if self.unit_s == ROUND else "2 min 30 s or 150 s"

    def _clock(self, plain: str) -> Fraction | None:
        """Return the seconds of *1:20*: hours and minutes, or in seconds minutes and seconds."""
        found = _CLOCK.fullmatch(plain)
        if found is None:
            return None
        return Fraction((int(found[1]) * ROUND + int(found[2])) * self.unit_s)


def _in_words(plain: str, unit_s: int) -> Fraction | None:
    at, total, unit = 0, Fraction(0), 0
    while at < len(plain):
        found = _STEP.match(plain, at)
        if found is None:
            return None
        number, name = found[1].lower(), found[3].lower()
        # The 20 of *1 h 20* are minutes; a bare number is in the field's own unit.
        bare = SMALLER_S.get(unit, 0) if unit else unit_s
        smaller = _SECONDS.get(name, 0) if name else bare
        if not smaller or (unit and smaller >= unit):
            return None
        unit = smaller
        try:
            total += (_number(number) + (HALF if found[2] or found[4] else 0)) * unit
        except NotUnderstood:
            raise
        except ValueError:
            return None
        at = found.end()
    return total if unit else None


def _number(text: str) -> Fraction:
    if text in ("a", "an"):
        return Fraction(1)
    if text in SAID:
        return Fraction(SAID.index(text) + 1)
    if text.startswith("half"):
        return HALF
    if "quarter" in text:
        return Fraction(3 if text.startswith("three") else 1, 4)
    return number_in(text)
