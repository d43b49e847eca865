"""The fields of a kitchen and of what is in stock, and how their rows begin."""

import re
from collections.abc import Callable, Mapping, Sequence
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
_LEVELS = re.compile(
    r"\s*(?:and\b)?\s*(?:(\d{1,2})\s*(?:(?:level|shel[fv]e?|row|tray)s?\s*(?:of|with)|[x×*])\s*)?"
    r"(\d{1,3})(?![\w.])(?:\s*slots?)?(?:\s*each)?\s*[,;/]*\s*",
    re.IGNORECASE,
)
_SEVERAL = re.compile(r"([1-9]\d{0,2}|one|two|three|four) (.+?)s?")
_BESIDES = re.compile(r"\s(?:with|for|in|at|on|of|by)\s|\s*\(")
_HOURS = re.compile(
    r"(?:works |here |there )?(?:from )?(\d[\d:.h]*(?:\s?[ap]m)?|noon|midnight)?"
    r"\s*(?:to|until|till|–|-)\s*(.+)"
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
        numbers, at = list[int](), 0
        while at < len(text) and (found := _LEVELS.match(text, at)):
            numbers += [int(found[2])] * int(found[1] or 1)
            at = found.end()
        is_sound = 0 < len(numbers) <= MOST_LEVELS and all(0 < n <= MOST_SLOTS for n in numbers)
        if at < len(text) or not is_sound:
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


def free_days(days: Sequence[str], spans: Sequence[Values]) -> list[str]:
    """Return the dates on which none of a row's spans begins, and which none covers whole."""
    begun = {row["starts"][:10] for row in spans}
    whole = [(row["starts"][:10], row["ends"][:10]) for row in spans]
    return [
        on for on in days if on not in begun and not any(first < on < last for first, last in whole)
    ]


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
    called, kinds = line.name, {*USUAL_KINDS, *kinds_of_equipment(sheet)}
    several = _SEVERAL.fullmatch(called.lower())
    if several and several[2] in kinds:
        units = NUMBERS.get(several[1]) or int(several[1])
        called = several[2].capitalize()
    thing = _BESIDES.split(line.parts[0].lower() if line.parts else "")[0]
    word = re.sub(r"[\s\d]+$", "", thing).rpartition(" ")[2] or "oven"
    kind = word.removesuffix("s") if word.removesuffix("s") in kinds else word
    ident = id_from(called, otherwise="item")
    return Equipment(id=ident, name=called or None, kind=kind, units=units or 1)


def _shelf(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return a shelf unit: *Fridge, chill, 3 levels of 4*, *Rack, 4, 4, 2*."""
    line = Line(name)
    zone = line.take(lambda part: part.lower() if part.lower() in ZONES else None)
    levels = list[int]()
    while more := line.take(_levels):
        levels += more
    ident = id_from(line.name, otherwise="shelf")
    facts = {"id": ident, "name": line.name or None, "zone": zone or "ambient"}
    return Shelf.model_validate(facts | {"levels": levels or AT_FIRST_LEVELS})


def _levels(part: str) -> list[int] | None:
    """Return the slots of each level that a part names; too many or none of them are told."""
    is_of_levels = re.fullmatch(rf"(?:{_LEVELS.pattern})+", part, re.IGNORECASE)
    return Levels().understand(part) if is_of_levels else None


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
    """Return the shift of *until 18:00* or *22:00 to 06:00*, on the first day."""
    found = _HOURS.fullmatch(part.lower())
    if found is None:
        return None
    zone = sheet.production["timezone"]
    try:
        starts = Moment(zone, usual.starts).understand(found[1]) if found[1] else usual.starts
        ends = Moment(zone, starts, is_after=bool(found[1])).understand(found[2])
        span = Spanned(starts=starts, ends=ends)
    except NotUnderstood:
        return None
    return span if span.starts < span.ends else None


def _closure(sheet: Sheet, below: Values, name: str) -> Fact:
    on = date.fromisoformat(_day(sheet, name))
    return Spanned(starts=_midnight(sheet, on), ends=_midnight(sheet, on + timedelta(days=1)))


def _midnight(sheet: Sheet, on: date) -> str:
    """Return when a day begins; where its midnight is left out, an hour later."""
    try:
        return _at(sheet, on, MIDNIGHT)
    except NotUnderstood:
        return _at(sheet, on, "01:00")


def _at(sheet: Sheet, on: date, hour: str) -> str:
    zone = sheet.production["timezone"]
    return Moment(zone, sheet.production["prep_from"]).understand(f"{on.isoformat()} {hour}")


def _shift(sheet: Sheet, below: Values, name: str) -> Spanned:
    """Return a shift at the hours of the last one that is within a day and a night."""
    on = date.fromisoformat(_day(sheet, name))
    known = [
        (row["starts"][11:16], row["ends"][11:16], _days(row))
        for row in (
            *sheet.all("shifts"),
            *(sheet.below("cooks", below["cook_id"], "shifts") if "cook_id" in below else ()),
        )
        if _days(row) == 0 or (_days(row) == 1 and row["ends"][11:16] <= row["starts"][11:16])
    ]
    starts, ends, days = known[-1] if known else (FROM_HOUR, TO_HOUR, 0)
    until = on + timedelta(days=days)
    return Spanned(starts=_at(sheet, on, starts), ends=_at(sheet, until, ends))


def _days(row: Values) -> int:
    """Return how many midnights lie in a span."""
    return (date.fromisoformat(row["ends"][:10]) - date.fromisoformat(row["starts"][:10])).days


def _next_free_day(table: str, above: str, column: str) -> Callable[[Sheet, Values], Again]:
    """Return how a span is duplicated: at the same hours, on the next day that has none of it."""

    def again(sheet: Sheet, row: Values) -> Again:
        there = {each["starts"][:10] for each in sheet.below(above, row[column], table)}
        first = date.fromisoformat(row["starts"][:10])
        ahead = (first + timedelta(days=n) for n in range(1, len(there) + 2))
        on = next(each for each in ahead if each.isoformat() not in there)
        days = {"starts": on, "ends": on + timedelta(days=_days(row))}
        return {name: {name: _at(sheet, day, row[name][11:16])} for name, day in days.items()}

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
    "starts": _span("start", "starts"),
    "ends": _span("end", "ends", "starts"),
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
