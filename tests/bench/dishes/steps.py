"""The bricks of a dish: stages, ways, phases and beats as a day file writes them."""

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

Document = dict[str, Any]
Phases = list[Document]

FILMED = ["rehearsal", "take"]
TAKES = ["take"]
STILLS = ["stills"]
ROUND_MIN = 5
FRAGILE = 0.4


@dataclass(frozen=True)
class Dish:
    """What a nature of dish is made of: its stages from raw to finished, its beats in order."""

    stages: list[Document]
    beats: list[Document]


@dataclass(frozen=True)
class Nature:
    """A nature of dish.

    Parameters
    ----------
    name
        What ids begin with.
    firsts, lasts
        The words that titles are put together from.
    slot
        The first slot of a shoot day that leaves time to make what must be fresh.
    make
        Draws one dish of this nature.
    """

    name: str
    firsts: tuple[str, ...]
    lasts: tuple[str, ...]
    slot: int
    make: Callable[[random.Random], Dish]


def about(roll: random.Random, middle_min: int) -> int:
    """Return a length within a quarter of the usual one, in steps that a cook would say."""
    step = ROUND_MIN if middle_min >= 4 * ROUND_MIN else 1
    low, high = round(middle_min * 0.75 / step), round(middle_min * 1.25 / step)
    return max(1, roll.randint(low, high)) * step


def stage(
    name: str, keeps_min: int, *ways: Document, takes: tuple[str, ...] = (), **more: Any
) -> Document:
    """Return a stage that one copy of each of `takes` goes into."""
    made: Document = {"id": name}
    if takes:
        made["from"] = [{"stage": each} for each in takes]
    return made | {"keeps_min": keeps_min} | more | {"ways": list(ways)}


def fragile(roll: random.Random, percent: int) -> Document:
    """Return a loss of a few percent for some dishes, none for the others."""
    return {"loss": percent / 100} if roll.random() < FRAGILE else {}


def way(name: str, batch_max: int, *phases: Document) -> Document:
    """Return one way, of at most so many copies at once."""
    return {"id": name, "batch_max": batch_max, "phases": list(phases)}


def bench(lasts_min: int, each_min: int = 0, skill: str | None = None) -> Document:
    """Return hands-on work at the bench: so long, and so long for each copy."""
    phase: Document = {"lasts_min": lasts_min, "hands": 1}
    if each_min:
        phase["per_copy_min"] = each_min
    return phase | ({"skill": skill} if skill else {})


def stand(lasts_min: int, zone: str = "ambient") -> Document:
    """Return time on a shelf, unattended."""
    return {"lasts_min": lasts_min, "zone": zone}


def mixer(lasts_min: int, each_min: int = 0) -> Document:
    """Return time in a mixer's bowl: watched where it grows with the copies, else alone."""
    held: Document = {"equipment": [{"kind": "mixer", "per_batch": 1}]}
    if each_min:
        held |= {"per_copy_min": each_min, "hands": 1}
    return {"lasts_min": lasts_min} | held


def hob(lasts_min: int, each_min: int = 0, hands: int = 1, per_burner: int = 1) -> Document:
    """Return time on the hob, so many copies a burner."""
    phase: Document = {"lasts_min": lasts_min}
    if each_min:
        phase["per_copy_min"] = each_min
    if hands:
        phase["hands"] = hands
    return phase | {"equipment": [{"kind": "hob", "copies_per_unit": per_burner}]}


def oven(load_min: int, bake_min: int, setting_c: int, per_level: int) -> tuple[Document, Document]:
    """Return loading by hand and the bake, both in the oven, so many copies a level."""
    held = {"kind": "oven", "copies_per_unit": per_level, "setting": setting_c}
    return (
        {"lasts_min": load_min, "hands": 1, "equipment": [held]},
        {"lasts_min": bake_min, "equipment": [held]},
    )


def need(name: str, count: int = 1, **more: Any) -> Document:
    """Return a need of a beat."""
    return {"stage": name, "count": count} | more


def beat(name: str, kinds: list[str], *needs: Document, leaves: tuple[str, ...] = ()) -> Document:
    """Return a beat that leaves, of each stage named, as many as it needs, or else one."""
    counts = {each["stage"]: each["count"] for each in needs}
    left = [{"stage": each, "count": counts.get(each, 1)} for each in leaves]
    return {"id": name, "kinds": kinds, "needs": list(needs), "leaves": left}


def shown(name: str, kinds: list[str], stage_shown: str, count: int = 1, **more: Any) -> Document:
    """Return a beat that hands back what it shows."""
    return beat(name, kinds, need(stage_shown, count, **more), leaves=(stage_shown,))
