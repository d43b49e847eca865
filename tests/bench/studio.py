"""The calendar and the kitchen of a generated production: days, shifts, ovens, shelves."""

import random
from datetime import datetime, timedelta

from tests.bench.dishes.steps import Document

MONDAY = datetime(2027, 3, 8)
OPENS_MIN, SLOT_MIN, LAG_MIN = 9 * 60, 95, 20
PREP_FROM_MIN = 8 * 60
SKILLS = (
    ("pastry",),
    ("pastry", "noodles"),
    ("butchery",),
    ("butchery", "noodles"),
    ("pastry", "butchery"),
)
AHEAD, EARLY = (0, 2), (0, 2)
AHEAD_SHIFT, PREP_SHIFT = (9 * 60, 17 * 60), (8 * 60, 17 * 60)
EARLY_SHIFT, SHOOT_SHIFT = (5 * 60 + 30, 14 * 60 + 30), (8 * 60 + 30, 18 * 60 + 30)
BACK_TO_BACK = 0.4


class Calendar:
    """Which days are for prep and which for shooting.

    Parameters
    ----------
    roll
        Draws whether a shoot day has a prep day of its own or follows the one before.
    shoots, sets
        How many shoot days, and how many sets shoot on each.
    """

    def __init__(self, roll: random.Random, shoots: int, sets: int) -> None:
        self.sets = sets
        self.shoots: list[int] = []
        day = 2  # a day ahead with half the crew, a prep day with all, then the first shoot
        for _ in range(shoots):
            self.shoots.append(day)
            lean = len(self.shoots) > 1 and self.shoots[-1] - self.shoots[-2] == 1
            day += 2 if lean or roll.random() >= BACK_TO_BACK else 1

    def text(self, day: int, minute: int) -> str:
        """Return the local text of a minute of a day; day 0, minute 0 is when prep may begin."""
        begins = PREP_FROM_MIN if day == 0 else 0
        return (MONDAY + timedelta(days=day, minutes=begins + minute)).strftime("%Y-%m-%dT%H:%M")

    def slot(self, on: int, slot: int) -> int:
        """Return the minute of the day at which a set begins its next demonstration."""
        return OPENS_MIN + on * LAG_MIN + slot * SLOT_MIN

    def shifts(self, cook: int) -> list[list[str]]:
        """Return the shifts of the cook with this place in the crew of a set."""
        found: list[list[str]] = []
        for day in range(self.shoots[-1] + 1):
            begins, ends = PREP_SHIFT
            if day in self.shoots:
                begins, ends = EARLY_SHIFT if cook in EARLY else SHOOT_SHIFT
            elif day == 0:
                if cook not in AHEAD:
                    continue
                begins, ends = (each - PREP_FROM_MIN for each in AHEAD_SHIFT)
            found.append([self.text(day, begins), self.text(day, ends)])
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
            {"id": f"trolley-{at}", "zone": "ambient", "levels": [3] * 6},
            {"id": f"fridge-{at}", "zone": "chill", "levels": [4] * 7},
            {"id": f"raw-fridge-{at}", "zone": "chill", "levels": [3] * 6},
            {"id": f"freezer-{at}", "zone": "frozen", "levels": [3] * 4},
        ]
    return {"equipment": equipment, "crew": crew, "shelves": shelves}


def _oven(roll: random.Random, name: str) -> Document:
    settings = {"change_min": roll.choice((10, 15, 20))}
    return {"id": name, "kind": "oven", "units": roll.choice((3, 4, 5)), "settings": settings}
