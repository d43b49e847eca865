"""A quicker way says what of it has to be quicker: the clash tells the length of the whole."""

import pytest

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.day import Day
from app.planning.remedies.offer import DayFile
from app.planning.remedies.ways import other_ways


@pytest.mark.parametrize(
    ("parts_min", "said"),
    [
        ((40,), "than deck: 12 min less, 28 min in place of 40"),
        ((7, 40, 24), "than deck: 12 min less, its longest part 28 min in place of 40"),
    ],
)
def test_a_quicker_way_says_what_of_it_is_quicker(parts_min: tuple[int, ...], said: str) -> None:
    """A way of one part is told as it is, of several its longest."""
    way = {"id": "deck", "phases": [{"lasts_min": each} for each in parts_min]}
    baked = {"id": "baked", "keeps_min": 60, "ways": [way]}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "baked"}]}
    day = Day.model_validate(
        {
            "title": "Loaves",
            "timezone": "Europe/Lisbon",
            "prep_from": "2027-03-04T08:00",
            "demonstrations": [{"id": "loaf", "title": "Loaf", "stages": [baked], "beats": [beat]}],
            "runs": [],
        }
    )
    clash = Clash((Fact("way", ("loaf", "baked", "deck")),), anyway=False)
    (offer,) = other_ways(DayFile(day), clash)
    assert said in offer.at(12).words
