"""The calendar and the kitchen of a generated production: days, shifts, ovens, shelves."""

import random
from datetime import datetime, timedelta

from tests.bench.dishes.steps import Document

MONDAY = datetime(2027, 3, 8)
OPENS_MIN, SLOT_MIN, LAG_MIN = 9 * 60 + 15, 90, 20
PREP_FROM_MIN = 7 * 60
SKILLS = (
    ("pastry", "noodles"),
    ("pastry", "noodles"),
    ("pastry", "butchery"),
    ("butchery", "noodles"),
    ("pastry", "butchery", "noodles"),
)
# for each of a set's crew, in hours: three prep, all five are there to shoot
PREP_SHIFTS: tuple[tuple[float, float] | None, ...] = ((7, 15), None, (7, 15), (12, 20), None)
SHOOT_SHIFTS = ((5, 15), (8.5, 19), (5, 15), (6, 16), (8.5, 19))


class Calendar:
    """A prep day before each shoot day, and so many sets that shoot on each."""

    def __init__(self, shoots: int, sets: int) -> None:
        self.sets = sets
        self.shoots = [2 * shoot + 1 for shoot in range(shoots)]

    def text(self, day: int, minute: int) -> str:
        """Return the local text of a minute of a day."""
        return (MONDAY + timedelta(days=day, minutes=minute)).strftime("%Y-%m-%dT%H:%M")

    def slot(self, on: int, slot: int) -> int:
        """Return the minute of the day at which a set begins its next demonstration."""
        return OPENS_MIN + on * LAG_MIN + slot * SLOT_MIN

    def shifts(self, cook: int) -> list[list[str]]:
        """Return the shifts of the cook with this place in the crew of a set."""
        found: list[list[str]] = []
        for day in range(self.shoots[-1] + 1):
            shift = SHOOT_SHIFTS[cook] if day in self.shoots else PREP_SHIFTS[cook]
            if shift is not None:
                found.append([self.text(day, round(60 * hour)) for hour in shift])
        return found


def kitchen(roll: random.Random, calendar: Calendar) -> Document:
    """Return what every set brings: three ovens, mixer and hob, five of crew, shelves."""
    equipment: list[Document] = []
    crew: list[Document] = []
    shelves: list[Document] = []
    for at in range(1, calendar.sets + 1):
        equipment += [_oven(roll, f"oven-{at}{letter}") for letter in "abc"]
        equipment += [{"id": f"mixer-{at}{letter}", "kind": "mixer"} for letter in "ab"]
        equipment.append({"id": f"hob-{at}", "kind": "hob", "units": 6})
        crew += [
            {"id": f"cook-{at}{letter}", "shifts": calendar.shifts(place), "skills": list(skills)}
            for place, (letter, skills) in enumerate(zip("abcde", SKILLS, strict=True))
        ]
        shelves += [
            {"id": f"rack-{at}", "zone": "ambient", "levels": [4] * 8},
            {"id": f"trolley-{at}", "zone": "ambient", "levels": [3] * 4},
            {"id": f"fridge-{at}", "zone": "chill", "levels": [4] * 8},
            {"id": f"raw-fridge-{at}", "zone": "chill", "levels": [3] * 8},
            {"id": f"freezer-{at}", "zone": "frozen", "levels": [3] * 6},
        ]
    return {"equipment": equipment, "crew": crew, "shelves": shelves}


def _oven(roll: random.Random, name: str) -> Document:
    settings = {"change_min": roll.choice((10, 15, 20))}
    return {"id": name, "kind": "oven", "units": roll.choice((3, 4, 5)), "settings": settings}
