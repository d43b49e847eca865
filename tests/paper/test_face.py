"""The words for times and lengths, and the usual cautions."""

from app.paper import face
from app.planning.care import HEAT, RAW, cautions
from app.planning.dates import short_date
from app.planning.day import Phase, PhaseEquipment, Stage, Way


def test_a_date_is_said_as_people_say_it() -> None:
    """4 March 2027 is a Thursday (ISO week date 2027-W09-4)."""
    assert face.date("2027-03-04T11:49") == "Thursday 4 March 2027"
    assert short_date("2027-03-04T11:49") == "Thu 4 March"
    assert face.moment("2027-03-04T11:49") == "4 March 2027, 11:49"


def test_an_hour_of_another_day_bears_its_weekday() -> None:
    """An overnight rest begins on Wednesday and ends on Thursday."""
    assert face.hour("2027-03-04T06:00", "2027-03-03T22:00") == "Thu 06:00"
    assert face.hour("2027-03-04T06:00", "2027-03-04") == "06:00"


def test_an_hour_that_is_double_keeps_its_offset() -> None:
    """When clocks go back, 01:30 happens twice."""
    assert face.hour("2027-10-31T01:30+01:00") == "01:30 (+01:00)"


def test_a_length_is_said_in_days_hours_and_minutes() -> None:
    """What is nothing is left out."""
    assert face.length(45) == "45 min"
    assert face.length(120) == "2 h"
    assert face.length(1440 + 60 + 5) == "1 day 1 h 5 min"
    assert face.length(0) == "0 min"


def test_a_long_text_is_cut_at_a_word_where_it_can() -> None:
    """One long word is cut inside."""
    assert face.clipped("fold the butter in and wait", 21) == "fold the butter in…"
    assert face.clipped("unbroken" * 4, 10) == "unbrokenu…"
    assert face.clipped("short", 10) == "short"


def test_the_days_own_caution_goes_before_the_usual_one() -> None:
    """Whoever knows the kitchen has the word."""
    oven = Phase(lasts_min=3, hands=1, equipment=(PhaseEquipment(kind="deck-oven", per_batch=1),))
    rest = Phase(lasts_min=30)
    way = Way(id="bake", phases=(oven, rest))
    stage = Stage(id="baked", keeps_min=60, raw_animal=True, ways=(way,))
    assert cautions(stage, way) == [RAW, HEAT]
    assert cautions(stage, way, 1) == [RAW]
    own = stage.model_copy(update={"caution": "Mind the step."})
    assert cautions(own, way) == ["Mind the step."]
