"""The letters and fills that tell demonstrations and stages: as on the screens, on paper."""

from dataclasses import dataclass

from app.planning.day import Day, Demonstration
from app.planning.plan import Plan

# The palette of Okabe and Ito (Color Universal Design, 2008), those that bear black text, and a
# grey. They repeat, and never stand without the letters.
FILLS = ("#56b4e9", "#e69f00", "#f0e442", "#cc79a7", "#009e73", "#d55e00", "#bbbbbb")
ALPHABET = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Badge:
    """The letters and the fill that tell a demonstration."""

    code: str
    fill: str


def badges(day: Day, plan: Plan) -> dict[str, Badge]:
    """Return the letters that the plan's tags bear, and a fill, for each demonstration."""
    said = {copy.demonstration: copy.tag.rpartition("-")[0] for copy in plan.copies}
    return {
        each.id: Badge(
            said.get(each.id) or each.code or each.id[:2].upper(), FILLS[index % len(FILLS)]
        )
        for index, each in enumerate(day.demonstrations)
    }


def stage_codes(demonstration: Demonstration) -> dict[str, str]:
    """Return two letters for each stage: its own, else from its id, no two alike."""
    given = {each.id: each.code for each in demonstration.stages if each.code}
    taken = {code.lower() for code in given.values()}
    for stage in demonstration.stages:
        if stage.id not in given:
            given[stage.id] = next(each for each in _pairs(stage.id) if each not in taken)
            taken.add(given[stage.id])
    return given


def _pairs(stage: str) -> list[str]:
    """Return letters that a stage could bear, the likeliest first."""
    signs = stage.replace("-", "") or stage
    ahead = [signs[0] + sign for sign in signs[1:]] or [signs * 2]
    others = [signs[0] + letter for letter in ALPHABET]
    return [*ahead, *others, *map(str, range(10, 100)), stage]
