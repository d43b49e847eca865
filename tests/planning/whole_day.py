"""A day that says something other than the default in every field, and a way to change it."""

import re
from typing import Any, Final

Document = dict[str, Any]
GONE: Final = object()


def whole_day() -> Document:
    """Return a valid day that uses every field of the model."""
    return {
        "format": "day/1",
        "title": "Sunday jam · “early”",
        "kind": "class",
        "timezone": "Europe/Lisbon",
        "prep_from": "2027-03-04T07:00",
        "policy": {
            "ready_margin_min": 12,
            "return_min": 6,
            "step_slack_min": 10,
            "confidence": 0.9,
            "reuse": False,
            "prefer": "fresh",
            "spread": 0.2,
        },
        "kitchen": _kitchen(),
        "stock": [
            {
                "id": "freezer",
                "name": "Top drawer",
                "demonstration": "buns",
                "stage": "shaped",
                "count": 4,
                "staged": "2027-03-01T18:00",
            }
        ],
        "demonstrations": [_buns(), _jam()],
        "runs": _runs(),
    }


def _kitchen() -> Document:
    return {
        "equipment": [
            {
                "id": "oven-1",
                "name": "Big oven",
                "kind": "oven",
                "units": 3,
                "closed": [["2027-03-04T12:00", "2027-03-04T13:00"]],
                "settings": {"change_min": 15, "cold_after_min": 90},
            },
            {"id": "bowl-1", "kind": "bowl"},
        ],
        "crew": [
            {
                "id": "ines",
                "name": "Inês",
                "shifts": [
                    ["2027-03-04T07:00", "2027-03-04T12:00"],
                    ["2027-03-04T12:00", "2027-03-04T19:00"],
                ],
                "skills": ["pastry"],
            },
            {"id": "tome", "shifts": []},
        ],
        "shelves": [
            {"id": "rack", "name": "Rolling rack", "zone": "ambient", "levels": [4, 6]},
            {"id": "fridge", "zone": "chill", "levels": [2, 0]},
        ],
    }


def _buns() -> Document:
    return {
        "id": "buns",
        "name": "Buns",
        "title": "Jam buns",
        "code": "B",
        "stages": [
            {"id": "mixed", "keeps_min": 30, "ways": [{"id": "spoon", "phases": [_stirring()]}]},
            {
                "id": "shaped",
                "from": [{"stage": "mixed", "count": 2}],
                "copies_per_slot": 6,
                "zone": "chill",
                "keeps_min": 600,
                "ways": [_by_hand(), {"id": "press", "phases": [{"per_copy_s": 20}]}],
            },
            _baked(),
        ],
        "beats": [_shape(), _eat()],
    }


def _stirring() -> Document:
    return {
        "lasts_min": 4,
        "per_copy_min": 1,
        "per_copy_s": 30,
        "does": "Stir until smooth.",
        "hands": 2,
        "skill": "pastry",
        "equipment": [{"kind": "bowl", "per_batch": 1}],
        "zone": "ambient",
    }


def _by_hand() -> Document:
    return {
        "id": "hand",
        "name": "By hand",
        "batch_max": 12,
        "phases": [{"lasts_min": 10, "hands": 1}],
        "from": [{"stage": "mixed", "count": 3}],
        "yields": 8,
        "cost": 1.5,
        "loss": 0.1,
    }


def _baked() -> Document:
    return {
        "id": "baked",
        "name": "Baked bun",
        "code": "BA",
        "from": [{"stage": "shaped"}, {"stage": "set", "count": 2, "demonstration": "jam"}],
        "yields": 2,
        "keeps_min": 240,
        "slots": 2,
        "cost": 0.5,
        "loss": 0.05,
        "ways": [
            {
                "id": "deck",
                "batch_max": 6,
                "phases": [
                    {
                        "lasts_min": 14,
                        "equipment": [{"kind": "oven", "copies_per_unit": 6, "setting": 190}],
                    }
                ],
            }
        ],
        "ingredients": [_butter()],
        "tools": ["tray"],
        "container": "half sheet",
        "look": "deep gold",
        "caution": "hot tray",
        "photo": "bun.jpg",
        "raw_animal": True,
        "ready_to_eat": True,
        "needs_temperature_control": True,
        "cook_to_c": 96,
        "safety_min": 120,
    }


def _butter() -> Document:
    return {
        "name": "butter",
        "amount": 12.5,
        "unit": "g",
        "per": "batch",
        "contains": ["milk"],
        "note": "soft",
    }


def _shape() -> Document:
    return {
        "id": "shape",
        "name": "Shape",
        "starts_s": 30,
        "lasts_s": 120,
        "kinds": ["take", "sitting"],
        "needs": [{"stage": "mixed", "count": 2, "per_station": False}],
        "leaves": [{"stage": "shaped", "count": 2, "per_station": False}],
        "ingredients": [{"name": "flour"}],
        "tools": ["scraper"],
        "dressing": ["linen"],
        "note": "slowly",
    }


def _eat() -> Document:
    need = {"stage": "baked", "count": 2, "backups": 1, "untouched": True, "tasting": True}
    return {
        "id": "eat",
        "starts_s": 200,
        "lasts_s": 60,
        "needs": [need | {"ready_margin_min": 3}],
    }


def _jam() -> Document:
    way = {"id": "boil", "phases": [{"lasts_min": 40}]}
    return {
        "id": "jam",
        "title": "Jam",
        "stages": [{"id": "set", "zone": "hot", "keeps_min": 1440, "ways": [way]}],
    }


def _runs() -> list[Document]:
    return [
        {
            "id": "take-1",
            "name": "First take",
            "demonstration": "buns",
            "kind": "take",
            "starts": "2027-03-04T15:00",
            "starts_at_first_beat": True,
            "beats": ["shape", "eat"],
            "stations": 2,
            "ready_margin_min": 20,
            "people": [{"name": "Rui", "avoids": ["milk"]}],
        },
        {
            "id": "dry-1",
            "demonstration": "buns",
            "kind": "rehearsal",
            "starts": "2027-03-04T14:00",
            "dry": True,
        },
    ]


def changed(document: Document, changes: dict[str, Any]) -> Document:
    """Return a day with something else in some places, told as in `runs[0].beats[1]`.

    A place just behind the end of a list adds to it; GONE takes a key or an entry away.
    """
    for place, value in changes.items():
        *steps, last = [
            int(number) if number else key for key, number in re.findall(r"(\w+)|\[(\d+)\]", place)
        ]
        here: Any = document
        for step in steps:
            here = here[step]
        _put(here, last, value)
    return document


def _put(here: Any, last: Any, value: Any) -> None:
    if value is GONE:
        del here[last]
    elif isinstance(here, list) and last == len(here):
        here.append(value)
    else:
        here[last] = value
