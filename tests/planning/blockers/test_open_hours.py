"""When a way can start, as far as its equipment is open then."""

from app.planning.blockers.open_hours import open_starts
from app.planning.day import Day
from app.planning.hours import ALWAYS, Spans
from app.planning.minutes import Clock

CLOSED = ("2027-03-04T10:00", "2027-03-04T12:00")


def _starts(*closed: tuple[str, str] | None, units: int = 1, before_min: int = 0) -> Spans:
    """Return the starts of a bake of 30 min in minutes after 10, one oven for each given span."""
    ovens = [
        {"id": f"oven-{i}", "kind": "oven", "closed": [span] if span else []}
        for i, span in enumerate(closed)
    ]
    bake = {"lasts_min": 30, "equipment": [{"kind": "oven", "per_batch": units}]}
    phases = [{"lasts_min": before_min}, bake] if before_min else [bake]
    ways = [{"id": "deck", "phases": phases}]
    day = Day.model_validate(
        {
            "title": "Open",
            "timezone": "Europe/Lisbon",
            "prep_from": CLOSED[0],
            "kitchen": {"equipment": ovens},
            "demonstrations": [
                {"id": "bun", "title": "Bun", "stages": [{"id": "s", "keeps_min": 9, "ways": ways}]}
            ],
            "runs": [],
        }
    )
    clock = Clock(day.timezone)
    ten = clock.minute(CLOSED[0])
    found = open_starts(clock, day.kitchen.equipment, day.stage("bun", "s").ways[0], 1, 1)
    return found if found == ALWAYS else tuple((a - ten, b - ten) for a, b in found)


def test_a_bake_is_over_when_the_oven_closes_or_begins_when_it_opens() -> None:
    (_, until), (since, _) = _starts(CLOSED)
    assert (until, since) == (-30, 120)


def test_what_comes_before_the_oven_may_be_done_while_it_is_closed() -> None:
    (_, until), (since, _) = _starts(CLOSED, before_min=20)
    assert (until, since) == (-50, 100)


def test_one_open_oven_will_do() -> None:
    assert _starts(CLOSED, None) == ALWAYS
    (_, until), (since, _) = _starts(CLOSED, ("2027-03-04T11:00", "2027-03-04T15:00"))
    assert (until, since) == (30, 120)
