"""Times and temperatures as recipes tell them: in ISO 8601, or somewhere in a sentence."""

import re
from dataclasses import dataclass
from fractions import Fraction

from app.food.measures import SIGNS, celsius, read_number

MOST_MIN = 60 * 24 * 60
OVERNIGHT_MIN = 600
_DURATION = re.compile(
    r"P(?:(\d{1,6}(?:[.,]\d{1,6})?)W)?(?:(\d{1,6}(?:[.,]\d{1,6})?)D)?"
    r"(?:T(?:(\d{1,6}(?:[.,]\d{1,6})?)H)?(?:(\d{1,6}(?:[.,]\d{1,6})?)M)?"
    r"(?:(\d{1,6}(?:[.,]\d{1,6})?)S)?)?"
)
_SECONDS = (7 * 86_400, 86_400, 3_600, 60, 1)
_FIRST = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")
_WORDS = {word: Fraction(number) for number, word in enumerate((*_FIRST, "twelve"), 1)}
_WORDS |= {"fifteen": Fraction(15), "twenty": Fraction(20), "thirty": Fraction(30)}
_WORDS |= {"forty": Fraction(40), "forty-five": Fraction(45), "fifty": Fraction(50)}
_WORDS |= {"half an": Fraction(1, 2), "a half": Fraction(1, 2), "a quarter of an": Fraction(1, 4)}
_WORDS |= {"three quarters of an": Fraction(3, 4), "a couple of": Fraction(2)}
_WORDS |= {"a": Fraction(1), "an": Fraction(1), "sixty": Fraction(60)}
_MORE = {"half": Fraction(1, 2), "quarter": Fraction(1, 4), "three quarters": Fraction(3, 4)}
_MINUTES = {"hour": 60, "hr": 60, "h": 60, "minute": 1, "min": 1}
_MINUTES |= {"week": 10_080, "wk": 10_080, "day": 1440, "d": 1440}
_UNITS = {word: Fraction(minutes) for word, minutes in _MINUTES.items()}
_UNITS |= dict.fromkeys(("second", "sec", "s"), Fraction(1, 60))
_PARTS = "".join(SIGNS)
_NUMBER = rf"(?:\d{{1,5}}(?:[.,]\d{{1,3}}|\s?[{_PARTS}]|\s\d\s?/\s?\d|/\d)?|[{_PARTS}])"
_SAID = "|".join(sorted(_WORDS, key=len, reverse=True))
_UNIT = "weeks?|wks?|days?|d|hours?|hrs?|h|minutes?|mins?|seconds?|secs?|s"
_TIME = re.compile(
    rf"\b(?P<each>every |each )?(?:(?P<word>{_SAID})[ -]|(?P<from>{_NUMBER})\s?(?:(?:-|–|to|or)\s?"
    rf"(?P<to>{_NUMBER})\s?)?-?)(?:and an? (?P<half>half|quarter) )?(?P<unit>{_UNIT})\b\.?"
    rf"(?: and (?:an? )?(?P<more>{'|'.join(_MORE)})\b|,? ?(?:and )?(?P<rest>\d{{1,2}})"
    r"(?:\s?(?:minutes?|mins?)\b|(?=$|[,.;:)](?:\s|$))))?",
    re.IGNORECASE,
)
_ABOUT = re.compile(r"^(?:c|ca|circa|approx|about|around|~|≈)\.?\s*(?=\d)", re.IGNORECASE)
_SPAN = re.compile(rf"{_NUMBER}\s?(?:-|–|to|or)\s?({_NUMBER})")
_OVERNIGHT = re.compile(r"\bover ?night\b", re.IGNORECASE)
_DEGREES = re.compile(r"(\d{2,3})\s?(?:°|º|degrees?|deg\.?)\s?(c|f|celsius|fahrenheit)?\b", re.I)
_BARE_DEGREES = re.compile(r"(?<![\d.,/])(\d{2,3})\s?([CF])\b")


@dataclass(frozen=True)
class Told:
    """A time as a sentence tells it: the longest that it allows, and the words for it."""

    minutes: int
    words: str
    is_guess: bool = False


def duration_min(text: str) -> int | None:
    """Return the minutes of a duration of ISO 8601 (`PT1H30M`), rounded up; None if it is none."""
    found = _DURATION.fullmatch(text.strip().upper())
    if found is None or not any(found.groups()):
        return None
    parts = zip(found.groups(), _SECONDS, strict=True)
    seconds = sum(Fraction((part or "0").replace(",", ".")) * each for part, each in parts)
    minutes = -(-seconds // 60)
    return int(minutes) if minutes <= MOST_MIN else None


def times_in(sentence: str) -> list[Told]:
    """Return the times that a sentence tells; of a span, its longer end; *every 5 min* is none."""
    found = [told for match in _TIME.finditer(sentence) if (told := _time(match))]
    if not found and (night := _OVERNIGHT.search(sentence)):
        found.append(Told(OVERNIGHT_MIN, night[0], is_guess=True))
    return found


def _time(match: re.Match[str]) -> Told | None:
    if match["each"]:
        return None
    word, unit = match["word"], match["unit"].lower()
    each = _UNITS.get(unit) or _UNITS[unit.rstrip("s")]
    try:
        number = _WORDS[word.lower()] if word else read_number(match["to"] or match["from"])
    except ValueError:
        return None
    more = match["half"] or match["more"]
    minutes = (number + (_MORE[more.lower()] if more else 0)) * each
    if match["rest"] and each == 60:
        minutes += int(match["rest"])
    whole = int(-(-minutes // 1))
    return Told(whole, match[0].strip(" .")) if 0 < whole <= MOST_MIN else None


def degrees_c_in(sentence: str) -> int | None:
    """Return the first temperature of a sentence in whole °C; one told in °C goes first."""
    found = [*_DEGREES.findall(sentence), *_BARE_DEGREES.findall(sentence)]
    for number, scale in found:
        if scale[:1].lower() != "f":
            return int(number)
    for number, _ in found:
        return round(celsius(Fraction(number)))
    return None


def minutes_of(cell: str | int | float | bool | None, unit_min: int = 1) -> int | None:
    """Return the minutes that a cell for a time tells, rounded up; None if it tells none.

    Parameters
    ----------
    cell
        A number, *1:20*, *1 h 20*, *90 min*, *PT1H*; of a span its longer end.
    unit_min
        What a bare number counts, in minutes.
    """
    if isinstance(cell, bool) or cell is None:
        return None
    told = _ABOUT.sub("", str(cell).strip())
    told = span[1] if (span := _SPAN.fullmatch(told)) else told
    if clock := re.fullmatch(r"(\d{1,4}):([0-5]\d)(?::[0-5]\d)?", told):
        return int(clock[1]) * 60 + int(clock[2])
    try:
        number = read_number(told)
    except ValueError:
        found = duration_min(told)
        return found or max((each.minutes for each in times_in(told)), default=None)
    minutes = int(-(-number * unit_min // 1))
    return minutes if 0 < minutes <= MOST_MIN else None
