"""What all needs together ask for, counted against what there is."""

from typing import Any

import pytest

from app.planning.blockers.case import Case
from app.planning.blockers.clash import Clash
from app.planning.blockers.excess import Excess
from app.planning.blockers.facts import Fact
from app.planning.blockers.looking import Hindrances
from app.planning.blockers.tally import excesses
from app.planning.blockers.words import Wording, more_may, of_more
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Objective, Plan
from app.planning.reading import read_day
from app.planning.remedies.found import remedies_of
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.random_days import tiny_day

SEEDS, FEW = 400, 8
ALL_DAY_MIN = 10**6


def _found(day: Day, hands_min: int = ALL_DAY_MIN, told: tuple[Fact, ...] = ()) -> list[Excess]:
    """Return what there is too little of on a day whose plan takes so much of hands."""
    plan = Plan.model_construct(objective=Objective.model_construct(hands_min=hands_min))
    watch = Watch(None, still, never, nobody)
    case = Case(day, backups=False)
    return list(excesses(case, plan, case.needs, told, watch))


def _day(copies: int, slots: int = 40) -> Day:
    """One cook rolls pastry, a piece in ten minutes, from eight to ten; they chill from then on."""
    way: dict[str, Any] = {"id": "roll", "batch_max": 1, "phases": [{"lasts_min": 10, "hands": 1}]}
    rest = {"lasts_min": 60, "zone": "chill"}
    rested = {"id": "rest", "batch_max": 40, "phases": [rest]}
    return Day.model_validate(
        {
            "title": "Pastry",
            "timezone": "Europe/Lisbon",
            "prep_from": "2027-03-04T08:00",
            "kitchen": {
                "crew": [{"id": "bo", "shifts": [["2027-03-04T08:00", "2027-03-04T10:00"]]}],
                "shelves": [{"id": "fridge", "zone": "chill", "levels": [slots]}],
            },
            "demonstrations": [
                {
                    "id": "tart",
                    "title": "Tart",
                    "stages": [
                        {"id": "rolled", "keeps_min": 600, "ways": [way]},
                        {
                            "id": "rested",
                            "keeps_min": 600,
                            "zone": "chill",
                            "from": [{"stage": "rolled"}],
                            "ways": [rested],
                        },
                    ],
                    "beats": [
                        {
                            "id": "line",
                            "starts_s": 0,
                            "lasts_s": 60,
                            "needs": [{"stage": "rested", "count": copies}],
                        }
                    ],
                }
            ],
            "runs": [
                {
                    "id": "take",
                    "demonstration": "tart",
                    "kind": "take",
                    "starts": "2027-03-04T14:00",
                }
            ],
        }
    )


@pytest.mark.parametrize(("copies", "asked_min"), [(12, None), (13, 130), (20, 200)])
def test_hands_are_counted_against_shifts(copies: int, asked_min: int | None) -> None:
    """Two hours of one cook make twelve pieces."""
    found = [(each.zone, each.asked, each.there) for each in _found(_day(copies))]
    assert found == ([] if asked_min is None else [(None, asked_min, 120)])


def test_hands_are_not_counted_where_a_plan_takes_few() -> None:
    """It would be work in vain."""
    assert _found(_day(20), hands_min=0) == []


def test_slots_are_counted_at_the_fullest_minute() -> None:
    """Twelve pieces rest for an hour before two o'clock."""
    day = _day(12, slots=5)
    (excess,) = _found(day)
    assert (excess.zone, excess.asked, excess.there) == ("chill", 12, 5)
    due = Clock(day.timezone).minute("2027-03-04T14:00") - day.policy.ready_margin_min
    assert due - 60 <= excess.minute < due


def test_what_is_told_is_left_out() -> None:
    """What cannot be met anyway takes nothing."""
    assert _found(_day(20), told=(Fact("need", ("take", "line", "rested")),)) == []


def test_it_is_said_beside_what_is_unknown() -> None:
    """In hours that are rounded so that it stays true, and in slots."""
    day = _day(20, slots=1)
    said = [Wording(day, backups=False).excess(each) for each in _found(day)]
    assert said == [
        f"All else that is needed takes 20 slots in chill at {_at(day)} at least; there is 1.",
        "All else that is needed until 14:00 takes 3 h of hands at least; "
        "the crew is there for 2 h until then.",
    ]
    warning = more_may(1, False, said)
    assert warning.endswith(" ".join(said))
    assert of_more([warning]) == warning


def test_more_hands_are_offered_where_there_are_too_few() -> None:
    """Twenty pieces are eight too many for one cook: with one more all are rolled in time."""
    day = _day(20)
    found = Hindrances(excesses=tuple(_found(day)))
    remedies = remedies_of(
        day, solve(day), found.causes, Watch(None, still, never, nobody)
    ).remedies
    assert [each.words for each in remedies] == ["Have one more cook, 08:00 to 10:00."]


def test_what_would_help_is_first_looked_for_against_what_there_is_too_little_of() -> None:
    """Slots are told alone: more of them help where they are most crowded, or not at all."""
    need = Fact("need", ("take", "line", "rested"))
    slots, clash = Excess("chill", 0, 9, 5), Clash((need,), anyway=True)
    hands = Excess(None, 0, 200, 120, (Fact("crew", ("bo",), "hands"),), (need,))
    found = Hindrances(clashes=(clash,), excesses=(slots, hands))
    assert found.causes == (hands.clash, clash)
    assert set(hands.clash.facts) == {need, *hands.hands}


def _at(day: Day) -> str:
    return Clock(day.timezone).text(_found(day)[0].minute)[11:16]


def test_where_there_is_too_little_no_plan_serves_all() -> None:
    """Tests the counting against the planner, on random days."""
    short = 0
    for seed in range(SEEDS):
        day = read_day(tiny_day(seed))
        if _found(day):
            short += 1
            assert solve(day).objective.unmet > 0, seed
    assert short > FEW
