"""The fields of a kitchen and of what is in stock, and how their rows begin."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from app.planning.day import Equipment, Fact, Shelf, Stock
from app.planning.ids import id_from
from app.storage.parts import Values
from app.storage.queries.sheets import Sheet
from app.web.fields import Field, Made, chosen
from app.web.fields.demonstrations import ZONES, kinds_of_equipment, skills
from app.web.fields.lines import NUMBERS, USUAL_KINDS, Line
from app.web.fields.rundown import MomentField
from app.web.fields.taking import Taken, TakenField, called
from app.web.lengths import Length
from app.web.moments import Moment
from app.web.typed import Names, NotUnderstood, Text, Whole, quoted

MOST_LEVELS, MOST_SLOTS = 40, 200
FROM_HOUR, TO_HOUR, MIDNIGHT, DAYS = "07:00", "17:00", "00:00", 60
AT_FIRST_LEVELS = [4, 4]
Again = Mapping[str, Values]
_ALIKE = re.compile(r"(\d{1,2})\s*(?:(?:level|shel[fv]e?|row|tray)s?\s*of|[x×*])\s*(\d{1,3})")

_SEVERAL = re.compile(r"([1-9]\d{0,2}|one|two|three|four) (.+?)s?")
_BESIDES = re.compile(r"\s(?:with|for|in|at|on|of|by)\s|\s*\(")
_HOURS = re.compile(
    r"(?:works |here |there )?(?:from )?(\d[\d:.h]*)?\s*(?:to|until|till|–|-)\s*(\d[\d:.h]*)"
)


class Spanned(Fact):
    """A shift or a closed span, as it is stored: local times."""

    starts: str
    ends: str


@dataclass(frozen=True)
class Levels:
    """The slots of each level from the top: *4, 4, 2*, or *3 levels of 4*."""

    def understand(self, text: str) -> list[int]:
        """Return the slots of each level."""
        found = _ALIKE.fullmatch(text.strip().lower())
        if found:
            numbers = [int(found[2])] * int(found[1])
        else:
            numbers = Names(Whole(1, MOST_SLOTS), 1).understand(text)
        if not 0 < len(numbers) <= MOST_LEVELS or not all(0 < n <= MOST_SLOTS for n in numbers):
            raise NotUnderstood(f"Such as 4, 4, 2 or 3 levels of 4, not {quoted(text)}.")
        return numbers

    def say(self, value: list[int]) -> str:
        """Return the slots with commas between."""
        return ", ".join(map(str, value))


def stages(sheet: Sheet, row: Values) -> Mapping[str, str]:
    """Return every stage of every demonstration, by demonstration and stage."""
    return {
        f"{home['key']}/{stage['key']}": f"{called(stage)} of {called(home)}"
        for home in sheet.all("demonstrations")
        for stage in sheet.below("demonstrations", home["id"], "stages")
    }


def days_of(sheet: Sheet) -> list[str]:
    """Return the dates of a production, from its prep to its last run, at most sixty."""
    first = date.fromisoformat(sheet.production["prep_from"][:10])
    ends = [date.fromisoformat(row["starts"][:10]) for row in sheet.all("runs")]
    last = min(max([first, *ends]), first + timedelta(days=DAYS - 1))
    return [(first + timedelta(days=n)).isoformat() for n in range((last - first).days + 1)]


def _day(sheet: Sheet, name: str) -> str:
    beside = sheet.production["prep_from"]
    return Moment(sheet.production["timezone"], beside, "date").understand(name or beside[:10])[:10]


class NewCook(Fact):
    """One of the crew who is new, with the shifts of this production."""

    id: str
    name: str | None
    skills: tuple[str, ...] = ()
    shifts: tuple[Fact, ...] = ()


def _item(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return an item: *Big oven, 2 units*, *2 ovens*; the last word of its name is its kind."""
    line = Line(name)
    units = line.take(_units)
    called = line.name
    several = _SEVERAL.fullmatch(called.lower())
    if several and several[2] in {*USUAL_KINDS, *kinds_of_equipment(sheet)}:
        units = NUMBERS.get(several[1]) or int(several[1])
        called = several[2].capitalize()
    thing = _BESIDES.split(called.lower())[0]
    kind = re.sub(r"[\s\d]+$", "", thing).rpartition(" ")[2] or "oven"
    ident = id_from(called, otherwise="item")
    return Equipment(id=ident, name=called or None, kind=kind, units=units or 1)


def _shelf(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return a shelf unit: *Fridge, chill, 3 levels of 4*."""
    line = Line(name)
    zone = line.take(lambda part: part.lower() if part.lower() in ZONES else None)
    alike = line.take(lambda part: _ALIKE.fullmatch(part.lower()))
    levels = Levels().understand(alike[0]) if alike else AT_FIRST_LEVELS
    ident = id_from(line.name, otherwise="shelf")
    return Shelf.model_validate(
        {"id": ident, "name": line.name or None, "zone": zone or "ambient", "levels": levels}
    )


def _units(part: str) -> int | None:
    found = re.fullmatch(r"(\d{1,3}) units?", part.lower())
    return int(found[1]) or None if found else None


def _cook(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return a person: *Ada, pastry, 8:00 to 14:00*; where there is one day, they work on it."""
    line = Line(name)
    days = days_of(sheet)
    usual = _shift(sheet, {}, days[0])
    hours = line.take(lambda part: _hours(sheet, usual, part))
    shifts = (hours or usual,) if len(days) == 1 else (hours,) if hours else ()
    called = line.parts[0] if line.parts else ""
    ident = id_from(called, otherwise="cook")
    return NewCook(id=ident, name=called or None, skills=tuple(line.parts[1:]), shifts=shifts)


def _hours(sheet: Sheet, usual: Spanned, part: str) -> Spanned | None:
    """Return the shift of *until 18:00* or *8:00 to 14:00*, on the first day."""
    found = _HOURS.fullmatch(part.lower())
    if found is None:
        return None
    read = Moment(sheet.production["timezone"], usual.starts)
    try:
        starts = read.understand(found[1]) if found[1] else usual.starts
        span = Spanned(starts=starts, ends=read.understand(found[2]))
    except NotUnderstood:
        return None
    return span if span.starts < span.ends else None


def _closure(sheet: Sheet, below: Values, name: str) -> Fact:
    on = _day(sheet, name)
    after = (date.fromisoformat(on) + timedelta(days=1)).isoformat()
    return Spanned(starts=f"{on}T{MIDNIGHT}", ends=f"{after}T{MIDNIGHT}")


def _shift(sheet: Sheet, below: Values, name: str) -> Spanned:
    """Return a shift at the hours of the last one that is within a day."""
    on = _day(sheet, name)
    known = [
        row
        for row in (
            *sheet.all("shifts"),
            *(sheet.below("cooks", below["cook_id"], "shifts") if "cook_id" in below else ()),
        )
        if row["starts"][:10] == row["ends"][:10]
    ]
    hours = (known[-1]["starts"][11:16], known[-1]["ends"][11:16]) if known else ()
    starts, ends = hours or (FROM_HOUR, TO_HOUR)
    return Spanned(starts=f"{on}T{starts}", ends=f"{on}T{ends}")


def _next_free_day(table: str, above: str, column: str) -> Callable[[Sheet, Values], Again]:
    """Return how a span is duplicated: at the same hours, on the next day that has none of it."""

    def again(sheet: Sheet, row: Values) -> Again:
        there = {each["starts"][:10] for each in sheet.below(above, row[column], table)}
        first = date.fromisoformat(row["starts"][:10])
        ahead = (first + timedelta(days=n) for n in range(1, len(there) + 2))
        on = next(each for each in ahead if each.isoformat() not in there)
        lasts = date.fromisoformat(row["ends"][:10]) - first
        days = {"starts": on, "ends": on + lasts}
        read = Moment(sheet.production["timezone"], sheet.production["prep_from"])
        said = {name: f"{day.isoformat()} {row[name][11:16]}" for name, day in days.items()}
        return {name: {name: read.understand(text)} for name, text in said.items()}

    return again


def _stock(sheet: Sheet, below: Values, name: str) -> Fact:
    known = list(stages(sheet, {}))
    if not known:
        raise NotUnderstood("No stage could be in stock. Begin a demonstration first.")
    home, _, stage = known[-1].partition("/")
    staged = sheet.production["prep_from"]
    ident = id_from(f"{home[:22]}-{stage[:22]}")
    return Stock(id=ident, demonstration=home, stage=stage, count=1, staged=staged)


def _span(label: str, column: str, beside: str = "") -> MomentField:
    return MomentField(label, Text(), "mid", columns=(column,), beside=beside)


SPANS: dict[str, Field] = {
    "starts": _span("from", "starts"),
    "ends": _span("until", "ends", "starts"),
}
NAME = Field("name", Text(120, none=True), "mid")
FIELDS: dict[str, dict[str, Field]] = {
    "kitchens": {"name": Field("kitchen", Text(120, least=1), "wide")},
    "equipment": {
        "name": NAME,
        "kind": Field("kind", Text(80, least=1), suggests=kinds_of_equipment),
        "units": Field("units", Whole(1), "tiny"),
        "change_min": Field("another setting takes", Length(none=True)),
        "cold_after_min": Field("cold after", Length(none=True)),
    },
    "cooks": {"name": NAME, "skills": Field("skills", Names(), "mid", suggests=skills)},
    "shelves": {
        "name": NAME,
        "zone": chosen("zone", ZONES),
        "levels": Field("slots of each level from the top", Levels(), "mid"),
    },
    "shifts": SPANS,
    "closures": SPANS,
    "stock": {
        "count": Field("copies", Whole(1), "tiny"),
        "taken": TakenField(
            "stage", Taken({}), "wide", "choice", ("demonstration", "stage"), stages
        ),
        "staged": _span("staged", "staged"),
    },
}
MADE: dict[str, Made] = {
    "equipment": Made("piece of equipment", _item),
    "cooks": Made("person", _cook),
    "shelves": Made("shelf unit", _shelf),
    "shifts": Made("shift", _shift, _next_free_day("shifts", "cooks", "cook_id")),
    "closures": Made(
        "closed span", _closure, _next_free_day("closures", "equipment", "equipment_id")
    ),
    "stock": Made("stock", _stock),
}
