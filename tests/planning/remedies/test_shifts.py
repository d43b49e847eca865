"""Of the shifts in a clash, those are tried first whose longer hours come closest to the need."""

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.day import Day
from app.planning.remedies.offer import DayFile
from app.planning.remedies.shifts import longer_shifts

SHIFTS = (
    ("2027-03-03T08:00", "2027-03-03T17:00"),
    ("2027-03-04T09:30", "2027-03-04T16:00"),
    ("2027-03-05T08:00", "2027-03-05T17:00"),
)


def _day() -> Day:
    way = {"id": "knead", "phases": [{"lasts_min": 30, "hands": 1}]}
    dough = {"id": "dough", "keeps_min": 60, "ways": [way]}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "dough"}]}
    run = {"id": "take", "demonstration": "loaf", "kind": "take", "starts": "2027-03-04T09:45"}
    return Day.model_validate(
        {
            "title": "Loaves",
            "timezone": "Europe/Lisbon",
            "prep_from": SHIFTS[0][0],
            "kitchen": {"crew": [{"id": "ada", "name": "Ada", "shifts": SHIFTS}]},
            "demonstrations": [{"id": "loaf", "title": "Loaf", "stages": [dough], "beats": [beat]}],
            "runs": [run],
        }
    )


def test_the_hours_right_before_the_need_are_tried_first() -> None:
    """The morning of the take, then the evening before it; what comes after it helps nothing."""
    facts = (Fact("need", ("take", "show", "dough")), Fact("crew", ("ada",), "shifts"))
    offers = longer_shifts(DayFile(_day()), Clash(facts, anyway=False))
    assert [offer.at(15).words for offer in offers] == [
        "Let Ada begin 15 min earlier, at Thu 09:15",
        "Let Ada work 15 min longer, until Wed 17:15",
        "Let Ada begin 15 min earlier, at Wed 07:45, and the prep with it",
    ]
