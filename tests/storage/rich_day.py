"""A day that gives every field of the form a value of its own, none of them a default."""

from typing import Any

RICH: dict[str, Any] = {
    "format": "day/1",
    "title": "Harvest “hour” – åäö ✓",
    "kind": "class",
    "timezone": "Europe/Lisbon",
    "prep_from": "2027-10-30T07:00",
    "policy": {
        "ready_margin_min": 12,
        "return_min": 6,
        "step_slack_min": 3,
        "confidence": 0.975,
        "reuse": False,
        "prefer": "fresh",
        "spread": 0.25,
    },
    "kitchen": {
        "equipment": [
            {
                "id": "deck-oven",
                "name": "The deck oven",
                "kind": "oven",
                "units": 2,
                "closed": [["2027-10-30T08:00", "2027-10-30T09:00"]],
                "settings": {"change_min": 15, "cold_after_min": 120},
            },
            {"id": "hob", "kind": "hob", "settings": {"change_min": 0}},
        ],
        "crew": [
            {
                "id": "cook-1",
                "name": "Ada",
                "shifts": [
                    ["2027-10-30T07:00", "2027-10-30T12:00"],
                    ["2027-10-31T01:30+01:00", "2027-10-31T01:30+00:00"],
                ],
                "skills": ["pastry", "knife"],
            },
            {"id": "cook-2", "shifts": []},
        ],
        "shelves": [{"id": "rack", "name": "Rack", "zone": "chill", "levels": [4, 1, 3]}],
    },
    "stock": [
        {
            "id": "from-friday",
            "name": "Friday's",
            "demonstration": "knots",
            "stage": "baked",
            "count": 3,
            "staged": "2027-10-29T18:00",
        }
    ],
    "demonstrations": [
        {
            "id": "knots",
            "name": "Knots",
            "title": "Cardamom knots",
            "code": "KN",
            "stages": [
                {
                    "id": "scaled",
                    "keeps_min": 0,
                    "ways": [{"id": "a", "phases": [{"lasts_min": 1}]}],
                },
                {
                    "id": "baked",
                    "name": "Baked",
                    "code": "BK",
                    "from": [
                        {"stage": "scaled", "count": 2},
                        {"stage": "whipped", "demonstration": "cream"},
                    ],
                    "yields": 12,
                    "zone": "hot",
                    "keeps_min": 240,
                    "copies_per_slot": 12,
                    "cost": 2.5,
                    "loss": 0.125,
                    "ways": [
                        {
                            "id": "deck",
                            "name": "In the deck oven",
                            "batch_max": 24,
                            "from": [],
                            "yields": 1,
                            "cost": 1,
                            "loss": 0,
                            "phases": [
                                {
                                    "lasts_min": 3,
                                    "per_copy_min": 1,
                                    "per_copy_s": 20,
                                    "does": "Slide in ⟶ turn once",
                                    "hands": 1,
                                    "skill": "pastry",
                                    "equipment": [
                                        {
                                            "kind": "oven",
                                            "per_batch": 1,
                                            "copies_per_unit": 12,
                                            "setting": 200,
                                        },
                                        {"kind": "hob", "setting": 0, "copies_per_unit": 1},
                                    ],
                                    "zone": "proof",
                                }
                            ],
                        },
                        {"id": "hand", "phases": [{"per_copy_s": 1}]},
                    ],
                    "ingredients": [
                        {
                            "name": "flour",
                            "amount": 0.1,
                            "unit": "kg",
                            "per": "batch",
                            "contains": ["wheat"],
                            "note": "strong",
                        },
                        {"name": "salt"},
                    ],
                    "tools": ["peel"],
                    "container": "half sheet",
                    "look": "golden",
                    "caution": "hot",
                    "photo": "baked.jpg",
                    "raw_animal": True,
                    "ready_to_eat": True,
                    "needs_temperature_control": True,
                    "cook_to_c": 74,
                    "safety_min": 240,
                },
                {"id": "shown", "keeps_min": 5, "slots": 2, "zone": "frozen"},
            ],
            "beats": [
                {
                    "id": "reveal",
                    "name": "Reveal",
                    "starts_s": 330,
                    "lasts_s": 60,
                    "kinds": ["take", "tasting"],
                    "needs": [
                        {
                            "stage": "baked",
                            "count": 6,
                            "backups": 6,
                            "untouched": True,
                            "tasting": True,
                            "ready_margin_min": 0,
                            "per_station": False,
                        }
                    ],
                    "leaves": [
                        {"stage": "shown", "count": 2, "per_station": False},
                        {"stage": "scaled"},
                    ],
                    "ingredients": [{"name": "sugar", "amount": 5, "unit": "g", "per": "set"}],
                    "tools": ["tongs"],
                    "dressing": ["linen"],
                    "note": "wide shot",
                },
                {"id": "empty", "starts_s": 0, "lasts_s": 1, "kinds": []},
            ],
        },
        {
            "id": "cream",
            "title": "Cream",
            "stages": [
                {
                    "id": "whipped",
                    "keeps_min": 30,
                    "ways": [{"id": "whisk", "phases": [{"lasts_min": 4}]}],
                }
            ],
        },
    ],
    "runs": [
        {
            "id": "take-1",
            "name": "Take one",
            "demonstration": "knots",
            "kind": "take",
            "starts": "2027-10-31T01:30+00:00",
            "starts_at_first_beat": True,
            "beats": ["reveal"],
            "stations": 8,
            "ready_margin_min": 0,
            "dry": True,
            "people": [{"name": "Guest", "avoids": ["wheat", "milk"]}, {"name": "Host"}],
        },
        {"id": "stills", "demonstration": "cream", "kind": "stills", "starts": "2027-10-31T09:00"},
        {
            "id": "none",
            "demonstration": "knots",
            "kind": "rehearsal",
            "starts": "2027-10-31T08:00",
            "beats": [],
        },
    ],
}
