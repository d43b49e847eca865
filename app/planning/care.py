"""The usual caution of a step that can hurt, where the day gives none of its own.

The words are *common practice*; local food law, the venue's own rules and licensed people decide.
"""

import re
from collections.abc import Sequence

from app.planning.cores import is_heated
from app.planning.day import Phase, Stage, Way

HEAT = "Hot: dry cloths, say it as you pass."
SUGAR = "Hot sugar: it sticks and burns; no bare fingers, cold water at hand."
KNIFE = "Blade: fingers clear, in sight when it is laid down."
CORE = "Core {} °C ({:.0f} °F) at least: measure it as it leaves the heat."
RAW = "Raw: its own board and knife; wash hands after."
OF_KIND = {
    "oven": HEAT,
    "hob": HEAT,
    "grill": HEAT,
    "steamer": "Steam: open away from your face.",
    "kettle": "Steam: open away from your face.",
    "fryer": "Hot fat: lower food in slowly, keep water away, lid at hand.",
    "slicer": "Blade: guard on, fingers clear.",
    "mixer": "Switch off before hands go in.",
    "blender": "Switch off before hands go in.",
    "bath": "Caustic: gloves and goggles.",
}
# What a step that can hurt says, by the words of its directions.
OF_WORDS = {
    "caramel": SUGAR,
    "hot sugar": SUGAR,
    "boil sugar": SUGAR,
    "deep-fry": OF_KIND["fryer"],
    "knife": KNIFE,
    "chop": KNIFE,
    "carve": KNIFE,
    "slice": KNIFE,
    "mandoline": KNIFE,
    "lye": OF_KIND["bath"],
    "caustic": OF_KIND["bath"],
}


def cautions(
    stage: Stage, way: Way | None = None, step: int | None = None, core_c: int | None = None
) -> list[str]:
    """Return what to take care of in a way of a stage, or in one step of it.

    Parameters
    ----------
    core_c
        What its core is cooked to, in °C: told where a step heats it.
    """
    phases = () if way is None else way.phases if step is None else way.phases[step : step + 1]
    heated = core_c is not None and any(is_heated(phase) for phase in phases)
    core = [CORE.format(core_c, (core_c or 0) * 1.8 + 32)] if heated else []
    return [*core, stage.caution] if stage.caution else [*core, *_usual(stage, phases)]


def _usual(stage: Stage, phases: Sequence[Phase]) -> list[str]:
    """Return the usual cautions of raw food, of equipment and of what is done with it."""
    found = [RAW] if stage.raw_animal else []
    for kind in (each.kind for phase in phases for each in phase.equipment):
        words = next((OF_KIND[known] for known in OF_KIND if known in kind.lower()), None)
        if words is not None and words not in found:
            found.append(words)
    for does in (phase.does for phase in phases):
        said = re.findall(r"[\w-]+", does.lower())
        plain = f" {' '.join(said)} "
        for known, words in OF_WORDS.items():
            if re.search(rf" {known}[a-z]* ", plain) and words not in found:
                found.append(words)
    return found
