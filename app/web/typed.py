"""What people type into a field: understood, and said in one form again.

Each reader turns a text into a value, or tells in one sentence why it can't, and says a value as
people read it. Nothing here knows a screen or the store.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Protocol

from app.food.measures import celsius, read_number
from app.food.pans import pans
from app.web import words

MOST_SHOWN = 40
YES = ("yes", "y", "true", "x", "on", "1")
NO = ("no", "n", "false", "off", "0", "")
_DEGREES = re.compile(
    r"(-?\d{1,4}(?:[.,]\d+)?)\s*(?:°|º|deg(?:rees)?\.?)?\s*(?:(c|℃)(?:elsius)?|(?:f|℉)(?:ahrenheit)?)?",
    re.IGNORECASE,
)
_WHOLE = re.compile(r"([-\u2212]?)(\d{1,3}(?:[ \u00a0\u202f]\d{3}){1,2}|\d{1,9})(?:\s*[^\W\d].*)?")
_IN_GROUPS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+")


class NotUnderstood(ValueError):
    """A text that says nothing that the field can hold; its text is the sentence to show."""


class Reader(Protocol):
    """How one kind of field is typed."""

    def understand(self, text: str) -> Any:
        """Return the value of a text; NotUnderstood if it has none."""

    def say(self, value: Any) -> str:
        """Return the value as people read it, in a form that is understood again."""


@dataclass(frozen=True)
class Whole:
    """A whole number: *12*, *12 copies*; an empty text is 0 where `blank` says so."""

    least: int = 0
    most: int = 1_000_000
    none: bool = False
    blank: bool = False

    def understand(self, text: str) -> int | None:
        """Return the number; words after it say what is counted and are left out."""
        plain = text.strip()
        if not plain and (self.none or self.blank):
            return 0 if self.blank else None
        found = _WHOLE.fullmatch(plain)
        digits = re.sub(r"\s", "", found[2]) if found else ""
        number = int(digits) * (-1 if found[1] else 1) if found else None
        if number is None or not self.least <= number <= self.most:
            low, high = f"{self.least}", f"{self.most:,}".replace(",", "\u202f")
            raise NotUnderstood(f"A whole number from {low} to {high}, not {quoted(text)}.")
        return number

    def say(self, value: int | None) -> str:
        """Return the number in digits."""
        return "" if value is None or (self.blank and not value) else str(value)


@dataclass(frozen=True)
class Number:
    """A number that may be a fraction: *1.5*, *1 1/2*, *½*, *2,25*."""

    most: int = 1_000_000
    none: bool = False

    def understand(self, text: str) -> float | None:
        """Return the number."""
        if not text.strip() and self.none:
            return None
        try:
            number = float(number_in(text))
        except NotUnderstood:
            raise
        except ValueError:
            raise NotUnderstood(f"A number, such as 1.5 or 1 ½, not {quoted(text)}.") from None
        if number > self.most:
            raise NotUnderstood(f"At most {self.most}, not {quoted(text)}.")
        return number

    def say(self, value: float | None) -> str:
        """Return the number without needless zeros."""
        return "" if value is None else f"{value:.6f}".rstrip("0").rstrip(".")


@dataclass(frozen=True)
class Chance:
    """A chance: *1 in 10*, *10 %*, *0.1*."""

    none: bool = False
    least: float = 0.0

    def understand(self, text: str) -> float | None:
        """Return the chance, from 0 to below 1."""
        plain = text.strip().lower()
        if not plain:
            return None if self.none else 0.0
        try:
            chance = float(self._fraction(plain))
        except (ValueError, ZeroDivisionError):
            raise NotUnderstood(f"A chance, such as 1 in 20 or 5 %, not {quoted(text)}.") from None
        if not self.least <= chance < 1:
            raise NotUnderstood(f"From none to nearly all, such as 1 in 20, not {quoted(text)}.")
        return chance

    def say(self, value: float | None) -> str:
        """Return *1 in 10* where that is exact, else per cent; nothing for none."""
        if not value:
            return "" if value is None or self.none is False else "none"
        one_in = round(1 / value)
        if one_in <= 100 and abs(1 / one_in - value) < 1e-9:
            return f"1 in {one_in}"
        return f"{value * 100:.4f}".rstrip("0").rstrip(".") + " %"

    def _fraction(self, plain: str) -> Fraction:
        if plain in ("none", "no", "never"):
            return Fraction(0)
        if found := re.fullmatch(r"(\d+)\s*(?:in|of|out of)\s*(\d+)", plain):
            return Fraction(int(found[1]), int(found[2]))
        if found := re.fullmatch(r"(.+?)\s*(?:%|per\s?cent)", plain):
            return read_number(found[1]) / 100
        return read_number(plain)


@dataclass(frozen=True)
class Degrees:
    """A temperature in °C, rounded to a whole degree: *200*, *400 °F*.

    A setting of equipment is one too, or the number on its dial: it bears no `sign`.
    """

    least: int = -60
    most: int = 1_000
    sign: str = " °C"

    def understand(self, text: str) -> int | None:
        """Return the degrees Celsius; a bare number is Celsius."""
        if not text.strip():
            return None
        found = _DEGREES.fullmatch(text.strip().replace("\u2212", "-"))
        if found is None:
            raise NotUnderstood(f"A temperature, such as 200 °C or 400 °F, not {quoted(text)}.")
        degrees = Fraction(found[1].replace(",", "."))
        is_fahrenheit = bool(re.search(r"f|℉", found[0], re.IGNORECASE))
        value = round(celsius(degrees) if is_fahrenheit else degrees)
        if not self.least <= value <= self.most:
            raise NotUnderstood(f"Between {self.least} and {self.most} °C, not {quoted(text)}.")
        return value

    def say(self, value: int | None) -> str:
        """Return *200 °C*."""
        return "" if value is None else f"{value}{self.sign}"


@dataclass(frozen=True)
class Text:
    """A text; `none` stores an empty one as nothing."""

    most: int = 2_000
    least: int = 0
    none: bool = False

    def understand(self, text: str) -> str | None:
        """Return the text without blanks around it."""
        plain = text.strip()
        if len(plain) < self.least:
            raise NotUnderstood("This must not be empty.")
        if len(plain) > self.most:
            raise NotUnderstood(f"At most {self.most} characters; these are {len(plain)}.")
        return None if self.none and not plain else plain

    def say(self, value: str | None) -> str:
        """Return the text."""
        return value or ""


@dataclass(frozen=True)
class Container(Text):
    """What a copy stands in; a pan that has a size of its own is known."""

    def beside(self, value: str | None) -> str:
        """Return the size of a known pan in mm, else nothing."""
        wanted = (value or "").lower().replace("-", " ").removesuffix(" pan").strip()
        for each in pans():
            if each.name.lower().replace("-", " ").removesuffix(" pan") == wanted:
                return f"{round(each.long_mm)} × {round(each.wide_mm)} mm"
        return ""


@dataclass(frozen=True)
class Names:
    """Names after each other: *whisk, bowl*; `entry` reads each of them."""

    entry: Reader = field(default_factory=Text)
    least: int = 0

    def understand(self, text: str) -> list[Any]:
        """Return the names, each once, in their order."""
        said = [each.strip() for each in re.split(r"[,;\n]", text) if each.strip()]
        if len(said) < self.least:
            raise NotUnderstood("This must not be empty.")
        found = [self.entry.understand(each) for each in said]
        return found if isinstance(self.entry, Whole) else list(dict.fromkeys(found))

    def say(self, value: list[Any] | None) -> str:
        """Return the names with commas between."""
        return ", ".join(self.entry.say(each) for each in value or [])


@dataclass(frozen=True)
class Truth:
    """Yes or no."""

    def understand(self, text: str) -> bool:
        """Return whether it is so."""
        plain = text.strip().lower()
        if plain in YES:
            return True
        if plain in NO:
            return False
        raise NotUnderstood(f"Yes or no, not {quoted(text)}.")

    def say(self, value: bool) -> str:
        """Return *yes* or *no*."""
        return "yes" if value else "no"


@dataclass(frozen=True)
class Choice:
    """One of several: typed as the value itself or by the words for it."""

    choices: Mapping[str, str]
    none: str | None = None

    def understand(self, text: str) -> str | None:
        """Return the value of a choice."""
        plain = text.strip()
        if not plain and self.none is not None:
            return None
        if plain in self.choices:
            return plain
        for value, said in self.choices.items():
            if plain.lower() in (said.lower(), value.lower()):
                return value
        among = words.listed(list(dict.fromkeys(self.choices.values()))[:6])
        raise NotUnderstood(f"There is no {quoted(text)} here; there is {among or 'nothing'}.")

    def say(self, value: str | None) -> str:
        """Return the words for a choice."""
        if value is None:
            return self.none or ""
        return self.choices.get(value, value)


def number_in(text: str) -> Fraction:
    """Return a number as cooks write it; ValueError if it is none.

    Raises
    ------
    NotUnderstood
        If its comma may be that of thousands: *1,000* is one to some and a thousand to others.
    """
    plain = text.strip()
    if _IN_GROUPS.fullmatch(plain):
        thousands, decimals = plain.replace(",", ""), plain.replace(",", ".", 1).rstrip("0.")
        raise NotUnderstood(f"{quoted(text)} may be {thousands} or {decimals}; write which.")
    return read_number(text)


def quoted(text: str) -> str:
    """Return what was typed, cut short, as a sentence quotes it."""
    plain = " ".join(text.split())
    return f"“{plain[:MOST_SHOWN]}”" if plain else "nothing"
