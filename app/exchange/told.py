"""One row of somebody's own spreadsheet: its cells read as what their columns mean."""

from collections.abc import Mapping
from typing import TypeVar, get_args

from app.exchange.cells import read_number, read_text, read_texts
from app.exchange.separators import unseparated
from app.exchange.sheets import Cell, Cells, is_empty
from app.exchange.times_in_words import degrees_c_in, minutes_of, times_in
from app.planning.dates import lasting
from app.planning.kitchen import Zone

V = TypeVar("V")
LONGEST_TEXT, LONGEST_SHOWN, MOST = 2_000, 40, 1_000_000
HOTTEST = 1_000
NUMBERS = frozenset(
    ("lasts", "hands", "setting", "keeps", "batch_max", "yields", "cost", "loss", "amount")
)
ZONES: dict[str, Zone] = {zone: zone for zone in get_args(Zone)}
_WAITS_IN: dict[str, Zone] = {
    "fridge": "chill", "chiller": "chill", "chilled": "chill", "cold": "chill", "cooler": "chill",
    "freezer": "frozen", "room": "ambient", "bench": "ambient", "rack": "ambient",
    "warm": "hot", "prover": "proof", "proofer": "proof",
}  # fmt: skip


class Told:
    """The cells of a row that say something, by what they mean.

    What cannot be read is added to `unread`, with the number of the row and the words of the cell;
    `by_comma` where a comma stands before decimals.
    """

    def __init__(
        self,
        number: int,
        row: Cells,
        columns: Mapping[str, int],
        units: Mapping[str, int],
        by_comma: bool,
        unread: list[str],
    ) -> None:
        self.place, self.units, self.unread = f"Row {number}", units, unread
        self.cells = {
            key: row[column]
            for key, column in columns.items()
            if column < len(row) and not is_empty(row[column])
        }
        for key in self.cells.keys() & NUMBERS:
            if isinstance(cell := self.cells[key], str):
                self.cells[key] = unseparated(cell, by_comma)

    def miss(self, words: str) -> None:
        """Tell what could not be read."""
        self.unread.append(f"{self.place}: {words}.")

    def text(self, key: str, most: int = LONGEST_TEXT) -> str:
        """Return a text without blanks around it, empty where none stands there."""
        return _text(self.cells[key])[:most] if key in self.cells else ""

    def texts(self, key: str) -> list[str]:
        """Return texts; commas part them as well."""
        if key not in self.cells:
            return []
        said = read_texts(self.text(key).replace(",", ";"))
        return [str(each)[:200] for each in said] if isinstance(said, list) else []

    def minutes(self, key: str) -> int | None:
        """Return a length of time, in minutes."""
        if key not in self.cells:
            return None
        found = minutes_of(self.cells[key], self.units.get(key, 1))
        for guess in (each for each in times_in(self.text(key)) if each.is_guess):
            self.miss(f"“{guess.words}” was taken for {lasting(guess.minutes)}")
        return self._read(key, found, "is no length of time")

    def is_number(self, key: str) -> bool:
        """Tell whether a number stands there."""
        return self._value(key) is not None

    def number(self, key: str) -> float | None:
        """Return a number from 0 up."""
        value = self._value(key)
        is_fit = value is not None and 0 <= value <= MOST
        return self._read(key, value if is_fit else None, "is no number that can stand there")

    def whole(self, key: str, *, least: int = 1, most: int = MOST) -> int | None:
        """Return a whole number."""
        value = self._value(key)
        is_fit = isinstance(value, int) and least <= value <= most
        words = f"is no whole number from {least} to {most}"
        return self._read(key, int(value) if is_fit and value is not None else None, words)

    def share(self, key: str) -> float | None:
        """Return a share below 1: *0.05*, *5 %* and *5* are the same."""
        if key not in self.cells:
            return None
        said = _text(self.cells[key])
        value = _number(said.rstrip("% "))
        if value is not None and (said.endswith("%") or value >= 1):
            value /= 100
        is_fit = value is not None and 0 <= value < 1
        return self._read(key, value if is_fit else None, "is no share that is lost")

    def zone(self, key: str) -> Zone | None:
        """Return where something waits."""
        words = self.text(key).lower().replace(",", " ").split()[:20]
        found = [zone for word in words if (zone := ZONES.get(word) or _WAITS_IN.get(word))]
        return self._read(key, found[0] if found else None, f"is none of {', '.join(ZONES)}")

    def setting(self, key: str) -> int | None:
        """Return the setting of an oven: a bare number as it stands, *400 °F* in °C."""
        value = self._value(key)
        if isinstance(value, int) and 0 <= value <= HOTTEST:
            return value
        found = degrees_c_in(self.text(key, 100))
        return self._read(key, found, "is no number of degrees")

    def _value(self, key: str) -> float | None:
        return _number(self.cells[key]) if key in self.cells else None

    def _read(self, key: str, value: V | None, words: str) -> V | None:
        if value is None and key in self.cells:
            self.miss(f"“{self.text(key, LONGEST_SHOWN)}” {words}")
        return value


def _text(cell: Cell) -> str:
    return str(read_text(cell)).strip()


def _number(cell: Cell) -> float | None:
    value = read_number(cell)
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None
