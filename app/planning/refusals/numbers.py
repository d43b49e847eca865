"""Numbers: whole ones, and the few that may be fractions."""

from dataclasses import dataclass
from math import isnan
from typing import Any

from app.planning.refusals.fault import Path, shown
from app.planning.refusals.form import ABOVE_ZERO, BELOW_ONE, BELOW_ZERO, LEAST_ONE, Form
from app.planning.refusals.sketch import Bad, Reading


@dataclass(frozen=True, slots=True)
class Number:
    """A number between bounds; the bounds themselves count, unless they are open."""

    least: int
    most: int
    whole: bool = True
    above: bool = False
    below: bool = False

    @property
    def wanted(self) -> str:
        """Return in words what should stand there."""
        kind = "a whole number" if self.whole else "a number"
        if self.least < 0:
            return kind
        start = f"above {self.least}" if self.above else f"of {self.least} or more"
        return f"{kind} {start}" + (f" and below {self.most}" if self.below else "")

    def read(self, value: object, path: Path, reading: Reading) -> int | float | Bad:
        """Return the number; whole ones as int."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            return reading.bad(path, self._no_number(value))
        wrong = self._wrong(value)
        if wrong:
            return reading.bad(path, f"{shown(value)} {wrong}")
        return int(value) if value == int(value) else value

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a number."""
        low = "exclusiveMinimum" if self.above else "minimum"
        high = "exclusiveMaximum" if self.below else "maximum"
        return {
            "type": "integer" if self.whole else "number",
            low: self.least,
            high: self.most,
        }

    def _no_number(self, value: object) -> str:
        if isinstance(value, str) and _reads_as_number(value):
            return f"{shown(value)} is text; write the number without quotes"
        return f"{shown(value)} is no number; write {self.wanted}"

    def _wrong(self, value: int | float) -> str | None:
        """Return what is wrong with a number, and the mend; None if nothing is."""
        if isnan(value):
            return f"is no number; write {self.wanted}"
        if value < self.least or (self.above and value == self.least):
            return f"is {self._too_small(value)}; write {self.wanted}"
        if self.below and value >= self.most:
            return f"is not below {self.most}; write {self.wanted}"
        if value > self.most:
            return f"is too large; write {self.most} at most"
        if self.whole and value != int(value):
            return f"is a fraction; write a whole number, such as {max(self.least, int(value))}"
        return None

    def _too_small(self, value: int | float) -> str:
        if value < 0 <= self.least:
            return "negative"
        return f"not above {self.least}" if self.above else f"less than {self.least}"


def _reads_as_number(text: str) -> bool:
    try:
        float(text[:40])
    except ValueError:
        return False
    return True


def number_of(name: str, form: Form, whole: bool) -> Number:
    """Return the number that a field of this name holds.

    Parameters
    ----------
    name
        The name of the field.
    form
        The form of the document; only a day bounds its numbers.
    whole
        False for the few fields that may hold a fraction.
    """
    if not form.is_bounded:
        return Number(-form.most, form.most, whole)
    if name in BELOW_ONE:
        return Number(0, 1, whole, above=name in ABOVE_ZERO, below=True)
    if name in BELOW_ZERO:
        return Number(-form.most, form.most, whole)
    return Number(1 if name in LEAST_ONE else 0, form.most, whole)
