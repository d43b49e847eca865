"""Letters and fills: as on the screens, legible in grey, never alone."""

import re
from pathlib import Path

import pytest

from app.paper.letters import FILLS, badges, stage_codes
from app.paper.pdf import style
from app.planning.day import Day
from app.planning.plan import Plan
from app.web import letters
from tests.paper.days import hard_day

TEMPLATES = Path(__file__).parents[2] / "templates" / "paper"


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("fill", FILLS)
def test_black_letters_are_legible_on_each_fill(fill: str) -> None:
    """At least 4.5 : 1 (WCAG 2.2, 1.4.3); grey keeps luminance, so the same holds in greyscale."""
    assert contrast(fill, "#000000") >= 4.5


def test_the_style_prints_black_and_grey_only() -> None:
    """Every colour in the style has equal parts, and text is dark: a grey printer loses nothing."""
    colours = re.findall(r"#[0-9a-f]{3,6}\b", style())
    assert colours
    for colour in colours:
        signs = colour[1:]
        each = len(signs) // 3
        assert len({signs[i : i + each] for i in range(0, len(signs), each)}) == 1, colour
    for rule in re.findall(r"\{([^{}]*)\}", style()):
        ground = re.search(r"background: (#[0-9a-f]+)", rule)
        for ink in re.findall(r"(?:^|[^-])color: (#[0-9a-f]+)", rule):
            assert contrast(_full(ink), _full(ground[1]) if ground else "#ffffff") >= 7, rule


def _full(colour: str) -> str:
    return colour if len(colour) == 7 else f"#{''.join(sign * 2 for sign in colour[1:])}"


def test_no_fill_stands_without_letters() -> None:
    """Wherever a template sets a fill, the letters stand inside it."""
    for file in TEMPLATES.glob("*.html"):
        for filled in re.findall(r"style=\"background:[^>]*>(.{0,40})", file.read_text("utf-8")):
            assert ".code }}" in filled, file.name


def test_paper_and_screens_use_the_same_letters(knots_day: Day, knots_plan: Plan) -> None:
    """The same codes and the same colours, in the same order."""
    assert FILLS == letters.OKABE_ITO
    for day in (knots_day, hard_day()):
        plan = knots_plan if day is knots_day else knots_plan.model_copy(update={"copies": ()})
        screen = letters.letters(day, plan)
        for demonstration, badge in badges(day, plan).items():
            assert badge.code == screen[demonstration].code
            assert badge.fill == letters.OKABE_ITO[screen[demonstration].colour]
        for demonstration in day.demonstrations:
            assert stage_codes(demonstration) == letters.stage_codes(demonstration)


def test_stages_alike_get_letters_of_their_own() -> None:
    """Mixed and milled both begin with mi."""
    codes = stage_codes(hard_day().demonstrations[1])
    assert codes == {"mixed": "mi", "milled": "ml"}
