"""How demonstrations and stages are told apart: letters, and a colour beside them."""

from dataclasses import dataclass

from app.planning.codes import codes_of
from app.planning.day import Day, Demonstration
from app.planning.plan import Plan

# The palette of Okabe and Ito (Color Universal Design, 2008), those that bear black text, and a
# grey: sky blue, orange, yellow, reddish purple, bluish green, vermilion. `site.css` has them as
# `.fill-0` to `.fill-6`. They repeat, and never stand without the letter.
OKABE_ITO = ("#56b4e9", "#e69f00", "#f0e442", "#cc79a7", "#009e73", "#d55e00", "#bbbbbb")


@dataclass(frozen=True)
class Letter:
    """A demonstration's letters and the number of its colour."""

    code: str
    colour: int
    title: str


def letters(day: Day, plan: Plan | None = None) -> dict[str, Letter]:
    """Return the letters of each demonstration: those that the plan's tags bear, else its own.

    No two are alike, and they are those that tags will bear.
    """
    copies = plan.copies if plan else ()
    own = codes_of(day)
    said = {copy.demonstration: copy.tag.rpartition("-")[0] for copy in copies}
    return {
        each.id: Letter(
            said.get(each.id) or own[each.id],
            index % len(OKABE_ITO),
            each.title,
        )
        for index, each in enumerate(day.demonstrations)
    }


def stage_codes(demonstration: Demonstration) -> dict[str, str]:
    """Return two letters for each stage: its own, else from its id, no two alike."""
    given = {each.id: each.code for each in demonstration.stages if each.code}
    taken = {code.lower() for code in given.values()}
    for stage in demonstration.stages:
        if stage.id not in given:
            code = next(each for each in _pairs(stage.id) if each not in taken)
            given[stage.id] = code
            taken.add(code)
    return {each.id: given[each.id] for each in demonstration.stages}


def _pairs(stage: str) -> list[str]:
    signs = stage.replace("-", "") or stage
    first = signs[0]
    ahead = [first + sign for sign in signs[1:]] or [signs * 2]
    return [
        *ahead,
        *(first + chr(code) for code in range(97, 123)),
        *map(str, range(10, 100)),
        stage,
    ]
