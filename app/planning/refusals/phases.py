"""Phases that say too little or contradict themselves."""

from collections.abc import Iterator

from app.planning.refusals.fault import Found, shown
from app.planning.refusals.outline import Outline

LENGTHS = ("lasts_min", "per_copy_min", "per_copy_s")


def no_phases(day: Outline) -> Iterator[Found]:
    """Find ways without a phase."""
    for _, _, way in day.all_ways:
        if way.value("phases") == []:
            yield Found(way.at("phases"), "an empty list gives no work; write one phase at least")


def no_time(day: Outline) -> Iterator[Found]:
    """Find phases that take no time."""
    for phase in day.all_phases:
        if all(phase.value(key) == 0 for key in LENGTHS):
            words = "0 minutes in all; write lasts_min, per_copy_min or per_copy_s above 0"
            yield Found(phase.path, words)


def skill_without_hands(day: Outline) -> Iterator[Found]:
    """Find phases that ask for a skill and hold nobody."""
    for phase in day.all_phases:
        skill = phase.value("skill")
        if skill is not None and phase.value("hands") == 0:
            words = f"{shown(skill)} is asked of nobody; write hands of 1 or more, or leave it out"
            yield Found(phase.at("skill"), words)


def no_setting(day: Outline) -> Iterator[Found]:
    """Find uses that name no setting where an item of the kind has settings."""
    with_settings = {
        item.text("kind"): item.text("id")
        for item in reversed(day.kitchen.parts("equipment"))
        if item.given("settings") and item.text("kind") is not None
    }
    for phase in day.all_phases:
        for use in phase.parts("equipment"):
            kind = use.text("kind")
            if kind in with_settings and not use.given("setting"):
                item = shown(with_settings[kind])
                words = f"is missing, as {item} of the kind {shown(kind)} has settings"
                yield Found(use.at("setting"), f'{words}; add a whole number, such as "setting": 1')


RULES = (no_phases, no_time, skill_without_hands, no_setting)
