"""The fields of the editors: which there are, how each is typed, and what it is called.

A file a screen, with `FIELDS`, the fields of each table by their names, and `MADE`, how a row of
each table begins. A new file joins by being there.
"""

import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from types import ModuleType
from typing import Any, Literal

from app.planning.day import Fact
from app.storage.parts import Values
from app.storage.queries.sheets import Sheet
from app.web.typed import Choice, Reader, Truth

Kind = Literal["text", "long", "choice", "truth"]
Size = Literal["tiny", "short", "mid", "wide"]


@dataclass(frozen=True)
class Field:
    """One field of a row.

    `columns` are what it fills, its own name unless it says others; a field of several columns has
    a reader whose value is as many. `choices` are found in the sheet, for a row; `suggests` only
    offers words that may be typed. `redraws` where more of its page than the field shows it.
    `along` says what else of a row follows from what is filled in, of the row as it was.
    """

    label: str
    reader: Reader
    size: Size = "short"
    kind: Kind = "text"
    columns: tuple[str, ...] = ()
    choices: Callable[[Sheet, Values], Mapping[str, str]] | None = None
    suggests: Callable[[Sheet], list[str]] | None = None
    redraws: bool = False
    along: Callable[[Values, Values], Values] = lambda _row, _values: {}

    @property
    def depends(self) -> bool:
        """Return whether what may be typed depends on the row."""
        return self.choices is not None

    def reads(self, sheet: Sheet, row: Values) -> Reader:
        """Return the reader for a row: what may be chosen depends on it."""
        if self.choices is None:
            return self.reader
        none = self.reader.none if isinstance(self.reader, Choice) else None
        return Choice(self.choices(sheet, row), none)


def chosen(label: str, choices: Mapping[str, str], size: Size = "short") -> Field:
    """Return a field that is one of a few words."""
    return Field(label, Choice(choices), size, "choice")


def ticked(label: str, *, redraws: bool = False) -> Field:
    """Return a field that is so or not."""
    return Field(label, Truth(), "tiny", "truth", redraws=redraws)


@dataclass(frozen=True)
class Made:
    """How a row of a table is begun: the fact that it holds at first, and what people call one.

    `named` makes the fact of a name that was typed, or of nothing. `again` says what a duplicate of
    a row has otherwise, by field: what no two of its like may share.
    """

    noun: str
    named: Callable[[Sheet, Values, str], Fact]
    again: Callable[[Sheet, Values], Mapping[str, Values]] = lambda _sheet, _row: {}


def columns_of(name: str, field: Field) -> tuple[str, ...]:
    """Return the columns that a field fills."""
    return field.columns or (name,)


def values_of(name: str, field: Field, value: Any) -> Values:
    """Return what a field's value puts into its columns."""
    columns = columns_of(name, field)
    return dict(zip(columns, (value,) if len(columns) == 1 else value, strict=True))


def value_in(name: str, field: Field, row: Values) -> Any:
    """Return the value of a field of a row."""
    found = tuple(row[column] for column in columns_of(name, field))
    return found[0] if len(found) == 1 else found


@cache
def _files() -> tuple[ModuleType, ...]:
    names = sorted(each.name for each in pkgutil.iter_modules(__path__))
    return tuple(import_module(f"{__name__}.{name}") for name in names)


def field_of(table: str, name: str) -> Field | None:
    """Return a field of a table; None if people do not fill in such a one."""
    for file in _files():
        found: Field | None = getattr(file, "FIELDS", {}).get(table, {}).get(name)
        if found is not None:
            return found
    return None


def made_of(table: str) -> Made | None:
    """Return how a row of a table begins; None if people add none."""
    found = (getattr(file, "MADE", {}).get(table) for file in _files())
    return next((made for made in found if made is not None), None)
