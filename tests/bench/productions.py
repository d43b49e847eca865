"""Believable productions of any size: `python -m tests.bench.productions N SEED > day.json`.

A set shoots six demonstrations a day, each with a rehearsal, two takes and stills; more of them
take more shoot days and more sets, and each set brings three ovens and five of crew. Everything is
drawn from the seed. Words, names and figures are ours; lengths are *common practice*, from memory.
"""

import json
import random
import sys
from math import ceil, sqrt

from tests.bench.dishes import NATURES
from tests.bench.dishes.steps import STILLS, Document, Nature
from tests.bench.studio import PREP_FROM_MIN, Calendar, kitchen

A_DAY = 6
FIRST_BEAT_S, PAUSE_S = 20, 15
BEAT_S = (60, 75, 90, 120, 150)
LEAST, MOST = 1, 96
STOCKED, STILLS_LATER = 0.3, 0.2
# Later on, nobody is there any more who could plate what is photographed.
LAST_STILLS_MIN = 19 * 60 + 20


def production(demonstrations: int, seed: int) -> Document:
    """Return the document of a production.

    Parameters
    ----------
    demonstrations
        How many are shown, 1 to 96: about 18 uses each.
    seed
        Whatever is drawn is drawn from it.
    """
    if not LEAST <= demonstrations <= MOST:
        raise ValueError(f"demonstrations: {LEAST} to {MOST}, not {demonstrations}")
    roll = random.Random(f"{demonstrations}/{seed}")
    blocks = ceil(demonstrations / A_DAY)
    sets = ceil(sqrt(blocks / 2))
    calendar = Calendar(ceil(blocks / sets), sets)
    shown, runs = _rundown(roll, calendar, _cast(roll, demonstrations))
    return {
        "format": "day/1",
        "title": f"Production {demonstrations}/{seed}",
        "timezone": "Europe/Lisbon",
        "prep_from": calendar.text(0, PREP_FROM_MIN),
        "policy": {"step_slack_min": roll.choice((0, 5, 10)), "spread": 0.15},
        "kitchen": kitchen(roll, calendar),
        "stock": _stock(roll, calendar, shown),
        "demonstrations": shown,
        "runs": runs,
    }


def _cast(roll: random.Random, demonstrations: int) -> list[tuple[str, Nature]]:
    """Return an id and a nature for each demonstration: every nature before one comes again."""
    order: list[Nature] = []
    while len(order) < demonstrations:
        order += roll.sample(NATURES, len(NATURES))
    return [(f"{nature.name}-{at + 1}", nature) for at, nature in enumerate(order[:demonstrations])]


def _rundown(
    roll: random.Random, calendar: Calendar, cast: list[tuple[str, Nature]]
) -> tuple[list[Document], list[Document]]:
    """Share the cast out among the sets and shoot days; return demonstrations and runs."""
    shown: list[Document] = []
    runs: list[Document] = []
    blocks = [(day, on) for day in range(len(calendar.shoots)) for on in range(calendar.sets)]
    for at, (day, on) in enumerate(blocks):
        mine = cast[at * len(cast) // len(blocks) : (at + 1) * len(cast) // len(blocks)]
        slot = -1
        for name, nature in sorted(mine, key=lambda each: each[1].slot):
            slot = max(slot + 1, nature.slot)
            shown.append(_demonstration(roll, name, nature))
            runs += _runs(roll, calendar, name, (day, on, slot))
    return shown, runs


def _demonstration(roll: random.Random, name: str, nature: Nature) -> Document:
    dish = nature.make(roll)
    clocks = {True: FIRST_BEAT_S, False: FIRST_BEAT_S}
    for beat in dish.beats:
        still, lasts_s = beat["kinds"] == STILLS, roll.choice(BEAT_S)
        beat |= {"starts_s": clocks[still], "lasts_s": lasts_s}
        clocks[still] += lasts_s + PAUSE_S
    title = f"{roll.choice(nature.firsts)} {roll.choice(nature.lasts)}"
    return {"id": name, "title": title, "stages": dish.stages, "beats": dish.beats}


def _runs(
    roll: random.Random, calendar: Calendar, name: str, place: tuple[int, int, int]
) -> list[Document]:
    """Return a rehearsal, two takes and stills, these at times on the next shoot day."""
    day, on, slot = place
    rehearsal = calendar.slot(on, slot) + roll.choice((0, 5))
    first = rehearsal + roll.choice((20, 25))
    second = first + roll.choice((20, 25, 30))
    stills = min(second + roll.choice((20, 30, 45, 75)), LAST_STILLS_MIN)
    later = day + 1 < len(calendar.shoots) and roll.random() < STILLS_LATER
    times = {"rehearsal": (day, rehearsal), "take-1": (day, first), "take-2": (day, second)}
    times["stills"] = (day + 1 if later else day, stills)
    return [
        {
            "id": f"{name}-{run}",
            "demonstration": name,
            "kind": run.split("-")[0],
            "starts": calendar.text(calendar.shoots[on_day], minute),
        }
        for run, (on_day, minute) in times.items()
    ]


def _stock(roll: random.Random, calendar: Calendar, shown: list[Document]) -> list[Document]:
    """Return a copy left from the trial, for some of what keeps for days in the freezer."""
    return [
        {
            "id": f"trial-{dish['id']}",
            "demonstration": dish["id"],
            "stage": stage["id"],
            "count": 1,
            "staged": calendar.text(0, -16 * 60),
        }
        for dish in shown
        for stage in dish["stages"]
        if stage["keeps_min"] > 3 * 1440 and roll.random() < STOCKED
    ]


if __name__ == "__main__":
    print(json.dumps(production(int(sys.argv[1]), int(sys.argv[2])), indent=1))
