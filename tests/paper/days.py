"""Days that are hard to print."""

from typing import Any

from app.planning.day import Day

HOSTILE = "<script>alert(1)</script><img src='file:///etc/passwd'>&amp;{{7*7}}"
LONG = (
    "Grandmother Ottilie’s slow-fermented buckwheat-and-treacle celebration wreath, second version"
)
UNBROKEN = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"


def hard_day(*, cooks: int = 3, title: str = LONG) -> Day:
    """Return two prep days with 48 copies a batch, a night between, long words and wide copies."""
    return Day.model_validate(
        {
            "format": "day/1",
            "title": title,
            "timezone": "Europe/Lisbon",
            "prep_from": "2027-03-03T08:00",
            "kitchen": {
                "equipment": [
                    {
                        "id": "oven",
                        "name": f"{UNBROKEN} oven",
                        "kind": "deck oven",
                        "units": 60,
                        "settings": {"change_min": 15},
                    }
                ],
                "crew": [
                    {
                        "id": f"cook-{number}",
                        "name": f"{number} {LONG}" if number == 1 else f"Cook {number}",
                        "shifts": [
                            ["2027-03-03T08:00", "2027-03-03T18:00"],
                            ["2027-03-04T06:00", "2027-03-04T10:00"],
                            ["2027-03-04T11:00", "2027-03-04T18:00"],
                        ],
                    }
                    for number in range(1, cooks + 1)
                ],
                "shelves": [
                    {"id": "rack", "name": LONG, "zone": "ambient", "levels": [12, 3, 1]},
                    {"id": "fridge", "zone": "chill", "levels": [2, 2]},
                ],
            },
            "demonstrations": [_wreath(), _bowl()],
            "runs": [
                {
                    "id": "take-1",
                    "name": f"Take 1 {UNBROKEN}",
                    "demonstration": "wreath",
                    "kind": "take",
                    "starts": "2027-03-04T14:00",
                },
                {
                    "id": "bowls",
                    "demonstration": "bowl",
                    "kind": "take",
                    "starts": "2027-03-04T14:40",
                },
                {
                    "id": "words",
                    "demonstration": "bowl",
                    "kind": "rehearsal",
                    "starts": "2027-03-04T12:00",
                    "dry": True,
                },
            ],
        }
    )


def _wreath() -> dict[str, Any]:
    words = "Fold, turn and wait; fold, turn and wait, and mind that nothing sticks to the bench. "
    return {
        "id": "wreath",
        "title": LONG,
        "stages": [
            {
                "id": "kneaded",
                "keeps_min": 2000,
                "ways": [
                    {
                        "id": "hands",
                        "batch_max": 48,
                        "phases": [
                            {"per_copy_min": 1, "hands": 2, "does": words * 6},
                            {"lasts_min": 900, "does": "Rest in the chill overnight."},
                        ],
                    }
                ],
                "ingredients": [
                    {"name": UNBROKEN, "amount": 0.1, "unit": "kg", "contains": ["wheat"]},
                    {"name": "water", "amount": 333.25, "unit": "ml", "per": "set"},
                    {"name": "salt", "note": LONG},
                    {"name": "starter", "amount": 1, "per": "batch"},
                ],
                "caution": words * 3,
                "tools": [LONG, UNBROKEN],
                "container": HOSTILE,
            },
            {
                "id": "baked",
                "name": UNBROKEN,
                "from": [{"stage": "kneaded"}],
                "slots": 2,
                "keeps_min": 600,
                "raw_animal": True,
                "ways": [
                    {
                        "id": "deck",
                        "batch_max": 48,
                        "phases": [
                            {
                                "lasts_min": 20,
                                "hands": 1,
                                "equipment": [
                                    {"kind": "deck oven", "copies_per_unit": 1, "setting": 200}
                                ],
                            },
                            {
                                "per_copy_s": 30,
                                "lasts_min": 5,
                                "equipment": [
                                    {"kind": "deck oven", "copies_per_unit": 1, "setting": 200}
                                ],
                            },
                        ],
                    }
                ],
            },
        ],
        "beats": [
            {
                "id": "show",
                "starts_s": 0,
                "lasts_s": 60,
                "needs": [{"stage": "baked", "count": 40, "backups": 8}],
            }
        ],
    }


def _bowl() -> dict[str, Any]:
    return {
        "id": "bowl",
        "title": HOSTILE,
        "stages": [
            {
                "id": "mixed",
                "name": HOSTILE,
                "keeps_min": 60,
                "ready_to_eat": True,
                "ways": [
                    {"id": "whisk", "phases": [{"lasts_min": 6, "hands": 1, "does": HOSTILE}]}
                ],
                "ingredients": [{"name": HOSTILE, "amount": 3, "unit": "g"}],
            },
            {"id": "milled", "keeps_min": 60, "ways": []},
        ],
        "beats": [
            {"id": "pour", "starts_s": 0, "lasts_s": 30, "needs": [{"stage": "mixed", "count": 3}]}
        ],
    }
