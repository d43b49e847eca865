"""What the core of a stage is to be cooked to, and who decides where it was not."""

from app.food.cooking import Core
from app.food.keeping import heats
from app.planning.day import Day, Phase, Stage


def core_due_c(day: Day, demonstration: str, stage: Stage) -> int | None:
    """Return what the core of a stage is cooked to, in °C; None where nothing is due.

    It is what the stage says, else the highest that the raw animal food in it says. What stays raw
    is not cooked yet.
    """
    if stage.raw_animal:
        return None
    if stage.cook_to_c is not None:
        return stage.cook_to_c
    inputs = [stage.takes, *(way.takes for way in stage.ways if way.takes is not None)]
    above = [
        day.stage(each.demonstration or demonstration, each.stage)
        for takes in inputs
        for each in takes
    ]
    told = [each.cook_to_c for each in above if each.raw_animal and each.cook_to_c is not None]
    return max(told, default=None)


def is_heated(phase: Phase) -> bool:
    """Return whether a phase heats what is in it."""
    return any(heats(each.kind) for each in phase.equipment)


def core_key(core: Core) -> str:
    """Return what tells a core from others, so that a decision on it holds for no other."""
    return f"core/{core.of}/{core.at}/{core.celsius:g}"
