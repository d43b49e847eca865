"""Letters and colours of demonstrations, codes of stages."""

from app.planning.day import Day, Demonstration
from app.planning.plan import Plan
from app.web.assets import STATIC
from app.web.letters import OKABE_ITO, letters, stage_codes


def test_letters_are_those_of_the_tags(knots_day: Day, knots_plan: Plan) -> None:
    """What stands on the label of a copy stands on the screen."""
    assert letters(knots_day, knots_plan)["knots"].code == "KN"
    assert letters(knots_day)["knots"].code == "KN"


def test_no_two_demonstrations_share_their_letters(knots_day: Day, knots_plan: Plan) -> None:
    """Before there is a plan, and beside those of a plan; they are those that tags will bear."""
    shown = knots_day.demonstrations[0]
    again = shown.model_copy(update={"id": "knots-2", "title": "Knots once more"})
    day = knots_day.model_copy(update={"demonstrations": (shown, again)})
    for plan in (None, knots_plan):
        assert [each.code for each in letters(day, plan).values()] == ["KN", "KO"]


def test_the_style_has_every_colour_of_the_palette() -> None:
    """A demonstration's colour has one place in code and one in the style."""
    style = (STATIC / "site.css").read_text("utf-8")
    for number, colour in enumerate(OKABE_ITO):
        assert f".fill-{number} {{ background: {colour};" in style


def test_no_two_stages_share_a_code() -> None:
    """Also where their names begin alike, are one letter long, or one code is given."""
    names = ["mixed", "minced", "mi", "m", "milled", "mild"]
    stages = [{"id": name, "keeps_min": 1} for name in names]
    stages[2]["code"] = "ml"
    shown = Demonstration.model_validate({"id": "d", "title": "D", "stages": stages})
    codes = stage_codes(shown)
    assert codes["mi"] == "ml"
    assert codes["mixed"] == "mi"
    assert len({code.lower() for code in codes.values()}) == len(names)
    assert all(len(code) == 2 for code in codes.values())
