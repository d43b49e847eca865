"""What is wrong with a production as it stands, beside the fields that it speaks of.

A production that is being built may be incomplete: its rows are stored all the same, and only a
whole day is planned. The rules are those of the day file, told in the words of the screens.
"""

import re
from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from app.planning.day import Day
from app.planning.reading import faults_of_day
from app.planning.refusals.fault import Found, Path
from app.storage.parts import BELOW, Place
from app.storage.queries.sheets import Sheet
from app.web.cells import called
from app.web.fields import field_of
from app.web.words import many, when

TABLE_OF = {"from": "inputs", "leaves": "leavings", "crew": "cooks", "closed": "closures"}
FIELD_OF = {
    "demonstration": "taken",
    "slots": "room",
    "copies_per_slot": "room",
    "change_min": "settings",
}
SCREENS = {
    "kitchen": ("kitchens", "equipment", "cooks", "shelves", "shifts", "closures", "stock"),
    "rundown": ("productions", "runs"),
}
WORDS = {
    "batch_max": "most at once",
    "lasts_min, per_copy_min or per_copy_s above 0": "how long it lasts",
    "cold_after_min": "when it is cold",
    "change_min": "what a change takes",
    "ready_to_eat": "marked ready to eat",
    "prep_from": "the start of the prep",
    'add a whole number, such as "setting": 1': "say which one",
    "an empty list gives no work; write one phase at least": "No step yet; add one at least",
    "take one of these out of its from": "take one of these out of what it is made from",
    "hands of 1 or more": "1 person or more",
    "takes the hands of 1 and": "takes 1 person and",
    "takes the hands of": "takes people, this many:",
    "the crew is nobody": "there is nobody in the crew",
    "is missing, as": "the setting is missing, as",
    "write false here or true there": "tick it there, or take it off here",
    "write the later time second": "mend one of the two",
}
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(?:[+-]\d\d:\d\d)?")
# An empty kitchen is told once, not at every stage that could not be made in it.
NEVER = "No way of "
_kept: deque[tuple[Day, list[Found]]] = deque(maxlen=16)
Faults = dict[tuple[str, str], tuple[str, ...]]


class Told(NamedTuple):
    """One fault in the list of a screen: what it is about, the sentence, the field to go to."""

    about: str
    words: str
    place: str
    field: str


def faults(day: Day, sheet: Sheet) -> tuple[Faults, list[Told]]:
    """Return the faults of a day by place and field, and as a list in its order."""
    found: defaultdict[tuple[str, str], list[str]] = defaultdict(list)
    told: list[Told] = []
    said, of_empty = in_words(day, _found(day), _names(sheet))
    for fault, words in said:
        place, field = place_of(sheet, fault.path)
        found[str(place), field].append(words)
        row = sheet.row(place)
        about = called(sheet.row, place.table, row) if row else ""
        told.append(Told(about, words, str(place), field))
    if of_empty:
        told.append(Told("Kitchen", of_empty, f"kitchens/{sheet.kitchen['id']}", ""))
    return {at: tuple(words) for at, words in found.items()}, told


def in_words(
    day: Day, found: Iterable[Found], names: Mapping[str, str]
) -> tuple[list[tuple[Found, str]], str]:
    """Return faults with a sentence each, in the words of the screens; one of an empty kitchen.

    Parameters
    ----------
    names
        What people call things, by the ids that the faults tell.
    """
    is_empty = not (day.kitchen.crew or day.kitchen.equipment)
    said = [(fault, _worded(fault.told().words, names)) for fault in found]
    told = [each for each in said if not (is_empty and each[1].startswith(NEVER))]
    waiting = len(said) - len(told)
    stages = f"It is empty yet, and {many(waiting, 'stage')} can't be made in it."
    return told, stages if waiting else ""


def _found(day: Day) -> list[Found]:
    """Return the faults of a day; those of the last few days that were asked for are kept."""
    for known, found in tuple(_kept):
        if known is day:
            return found
    found = faults_of_day(day)
    _kept.append((day, found))
    return found


def place_of(sheet: Sheet, path: Path) -> tuple[Place, str]:
    """Return the row and the field that a path of the day file leads to."""
    place, steps = Place("productions", sheet.production["id"]), list(path)
    while steps:
        key = str(steps[0])
        if key == "policy":
            steps = steps[1:]
            continue
        if key == "kitchen":
            place, steps = Place("kitchens", sheet.kitchen["id"]), steps[1:]
            continue
        table = "phase_equipment" if (place.table, key) == ("phases", "equipment") else key
        table = TABLE_OF.get(table, table)
        is_below = any(column.table.name == table for column in BELOW[place.table])
        if not is_below or len(steps) < 2 or not isinstance(steps[1], int):
            return place, _field(place.table, key)
        rows = sheet.below(place.table, place.id, table)
        place, steps = Place(table, rows[steps[1]]["id"]), steps[2:]
    return place, ""


def screen_of(place: str) -> str:
    """Return the screen on which a place is filled in."""
    table = place.partition("/")[0]
    return next((name for name, tables in SCREENS.items() if table in tables), "demonstrations")


def _field(table: str, key: str) -> str:
    if field_of(table, key) is not None:
        return key
    other = FIELD_OF.get(key, "taken" if key == "stage" else key)
    return other if field_of(table, other) is not None else key


def _names(sheet: Sheet) -> dict[str, str]:
    tables = ("demonstrations", "stages", "ways", "beats", "runs", "equipment", "cooks", "shelves")
    return {
        str(row["key"]): str(row.get("title") or row["name"] or row["key"])
        for table in tables
        for row in sheet.all(table)
    }


def _worded(words: str, names: Mapping[str, str]) -> str:
    """Return a sentence of the day file in the words of the screens."""
    for theirs, ours in WORDS.items():
        words = words.replace(theirs, ours)

    def named(found: re.Match[str]) -> str:
        if _MOMENT.fullmatch(found[1]):
            return when(found[1])
        parts = [names.get(part, part) for part in found[1].split("/")]
        return f"“{': '.join(parts)}”"

    said = re.sub(r'"([^"]*)"', named, words)
    return f"{said[:1].upper()}{said[1:]}."
