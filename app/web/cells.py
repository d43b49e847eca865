"""The cells of an editor: what each field shows, what was understood of it, what is wrong with it.

A template asks an `Editor` for a cell by the row and the name of the field; `fields/` says how a
field is typed. What was typed stands in the field as long as it means the value that is stored,
or is not understood.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from app.storage.parts import Place, Values
from app.storage.queries.sheets import Sheet
from app.web.fields import Field, columns_of, field_of, value_in, values_of
from app.web.typed import Container, NotUnderstood, Reader
from app.web.words import date

Find = Callable[[Place], Values | None]


@dataclass(frozen=True)
class Cell:
    """A field of one row as a screen shows it.

    `fault` says why what was typed is not understood, `broken` which rule of the day the value
    breaks. `began` goes along with what is sent: the value and the text that the person began from.
    """

    place: str
    name: str
    field: Field
    label: str
    text: str
    meant: str
    fault: str
    broken: str
    began: str
    choices: Mapping[str, str]
    suggests: str
    otherwise: str

    @property
    def id(self) -> str:
        """Return the id of the field in the page."""
        return f"f-{self.place.replace('/', '-')}-{self.name}"


class Editor:
    """The fields of one sheet; `faults` are sentences by place and field, as `faults.py` finds."""

    def __init__(
        self, sheet: Sheet, faults: Mapping[tuple[str, str], tuple[str, ...]] | None = None
    ) -> None:
        self.sheet, self.faults = sheet, faults or {}

    def cell(self, table: str, row: Values, name: str) -> Cell:
        """Return one field of a row."""
        field = field_of(table, name)
        if field is None:
            raise KeyError(f"{table}.{name}")
        place = f"{table}/{row['id']}"
        reader = field.reads(self.sheet, row)
        value = value_in(name, field, row)
        typed = self.sheet.typed.get(place, {}).get(name)
        text, meant, fault = shown(reader, value, typed)
        told = self.faults.get((place, name), ())
        return Cell(
            place=place,
            name=name,
            field=field,
            label=f"{self.called(table, row)}: {field.label}",
            text=text,
            meant=meant,
            fault=fault,
            broken=" ".join(told),
            began=began_from(name, field, row, typed),
            choices=field.choices(self.sheet, row) if field.choices else _choices(reader),
            suggests=f"suggest-{table}-{name}" if field.suggests else "",
            otherwise=str(row.get("key", "")) if name == "name" else "",
        )

    def suggested(self, table: str, name: str) -> list[str]:
        """Return the words that a field suggests."""
        field = field_of(table, name)
        return field.suggests(self.sheet) if field and field.suggests else []

    def told(self, table: str, row: Values, *fields: str) -> list[str]:
        """Return what is wrong with a row where no cell of its own shows it."""
        place = f"{table}/{row['id']}"
        wanted = fields or {name for at, name in self.faults if at == place}
        return [
            words
            for name in wanted
            for words in self.faults.get((place, name), ())
            if fields or field_of(table, name) is None
        ]

    def called(self, table: str, row: Values) -> str:
        """Return what a row is called, with what it lies in: *Baked, by deck oven, step 2*."""
        return called(self.sheet.row, table, row)


def shown(reader: Reader, value: Any, typed: str | None) -> tuple[str, str, str]:
    """Return the text of a field, what was understood of it where that says more, and what is
    wrong with it."""
    said = reader.say(value)
    if typed is None:
        return said, _beside(reader, value), ""
    try:
        if reader.understand(typed) != value:
            return said, _beside(reader, value), ""
    except NotUnderstood as why:
        return typed, f"still {said}" if said else "", str(why)
    return typed, said if said != typed else _beside(reader, value), ""


def began_from(name: str, field: Field, row: Values, typed: str | None) -> str:
    """Return the value and the text that a form begins from."""
    values = {column: row[column] for column in columns_of(name, field)}
    return json.dumps([values, typed], ensure_ascii=False, separators=(",", ":"))


def read(reader: Reader, name: str, field: Field, text: str) -> tuple[Values, str | None, str]:
    """Return what a text puts into the columns of its field, the text to keep beside that, and
    what is wrong with it."""
    try:
        value = reader.understand(text)
    except NotUnderstood as why:
        return {}, text, str(why)
    kept = None if reader.say(value) == text.strip() else text.strip()
    return values_of(name, field, value), kept if kept else None, ""


def called(find: Find, table: str, row: Values) -> str:
    """Return what a row is called, with what it lies in: *Baked, by deck oven, step 2*.

    `find` returns the row of a place.
    """
    own = str(row.get("title") or row.get("name") or row.get("key") or "")
    if table == "ways":
        return f"{_above(find, 'stages', row['stage_id'])}, by {own}"
    if table == "phases":
        return f"{_above(find, 'ways', row['way_id'])}, step {row['position'] + 1}"
    if table == "phase_equipment":
        return f"{_above(find, 'phases', row['phase_id'])}, {row['kind']}"
    if table == "inputs":
        above, id = ("stages", row["stage_id"]) if row["stage_id"] else ("ways", row["way_id"])
        return f"{_above(find, above, id)}, made from {row['stage']}"
    if table == "ingredients":
        above, id = ("stages", row["stage_id"]) if row["stage_id"] else ("beats", row["beat_id"])
        return f"{_above(find, above, id)}, {own}"
    if table in ("needs", "leavings"):
        verb = "needs" if table == "needs" else "leaves"
        return f"{_above(find, 'beats', row['beat_id'])}, {verb} {row['stage']}"
    if table == "shifts":
        return f"{_above(find, 'cooks', row['cook_id'])}, works {date(row['starts'])}"
    if table == "closures":
        return f"{_above(find, 'equipment', row['equipment_id'])}, closed {date(row['starts'])}"
    if table == "stock":
        return f"in stock, {row['stage']}"
    return own or table


def _above(find: Find, table: str, id: int) -> str:
    row = find(Place(table, id))
    return "" if row is None else called(find, table, row)


def _choices(reader: Reader) -> Mapping[str, str]:
    found = dict(getattr(reader, "choices", {}))
    none = getattr(reader, "none", None)
    return {"": none, **found} if isinstance(none, str) else found


def _beside(reader: Reader, value: Any) -> str:
    return reader.beside(value) if isinstance(reader, Container) else ""
