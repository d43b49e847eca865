"""Of shifts, a clash tells those of the days that it is about, and once what is alike."""

import pytest

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.blockers.words import Wording, together
from app.planning.day import Day
from app.planning.plan import Fault, Plan
from app.web.advice import advice_on

RUN, NEED = Fact("run", ("knots-take-2",)), Fact("need", ("knots-take-2", "reveal", "baked"))
BAKED = Fact("keeps", ("knots", "baked"))
SHAPED = Fact("way", ("knots", "scaled", "scale"))
SHIFTS = tuple((f"2027-03-0{date}T07:00", f"2027-03-0{date}T15:00") for date in range(1, 8))
HANDS = Fact("crew", ("cook-1",), "shifts")


def week(knots_day: Day, shifts: tuple[tuple[str, str], ...] = SHIFTS) -> Day:
    """Return the knots on the fourth day of a week in which two cooks work the same shifts."""
    one = knots_day.kitchen.crew[0].model_copy(update={"shifts": shifts})
    crew = (one, one.model_copy(update={"id": "cook-2"}))
    kitchen = knots_day.kitchen.model_copy(update={"crew": crew})
    return knots_day.model_copy(update={"prep_from": SHIFTS[0][0], "kitchen": kitchen})


def told(day: Day, *facts: Fact) -> str:
    """Return the last of some facts as a clash of all of them tells it."""
    return Wording(day, backups=False).blocker(Clash(facts, anyway=False)).facts[-1].words


def test_shifts_of_other_days_are_not_told(knots_day: Day) -> None:
    """Baked keeps four hours: only the day itself matters."""
    assert told(week(knots_day), RUN, NEED, BAKED, HANDS) == "cook-1 works Thu 07:00 to 15:00"


def test_all_days_before_are_told_where_a_step_may_be_any_time_ago(knots_day: Day) -> None:
    """What is scaled is named, and not how long it keeps; later days never matter."""
    said = told(week(knots_day), RUN, NEED, BAKED, SHAPED, HANDS)
    assert said.startswith("cook-1 works Mon 07:00 to 15:00, Tue ")
    assert said.endswith(" and Thu 07:00 to 15:00")


def test_who_does_not_work_then_is_told_without_a_shift(knots_day: Day) -> None:
    """Tests a cook who is there on other days alone."""
    day = week(knots_day, SHIFTS[:1])
    assert told(day, RUN, NEED, BAKED, HANDS) == "cook-1 has no shift then"


@pytest.mark.parametrize(
    ("said", "rest"),
    [
        ("works 07:00 to 15:00", "work 07:00 to 15:00"),
        ("does one thing at a time", "each do one thing at a time"),
        ("has no skill but pastry", "have no skill but pastry"),
    ],
)
def test_what_is_the_same_of_several_cooks_is_said_once(said: str, rest: str) -> None:
    """Tests three who are alike between other facts, and one who is not."""
    words = ["the oven is closed", f"Ada {said}", f"Ben {said}", f"Cyd {said}", "Dan works never"]
    facts = [
        Fault(kind="crew" if i else "equipment", ids=(str(i),), words=each)
        for i, each in enumerate(words)
    ]
    assert together(facts) == ["the oven is closed", f"Ada, Ben and Cyd {rest}", "Dan works never"]


def test_the_page_tells_each_phrase_in_a_line(knots_day: Day, knots_plan: Plan) -> None:
    """Tests that the sentence over the facts ends before them, however they are put together."""
    day = week(knots_day)
    cooks = [Fact("crew", (cook.id,), "shifts") for cook in day.kitchen.crew]
    clash = Clash((RUN, NEED, BAKED, *cooks), anyway=False)
    blocker = Wording(day, backups=False).blocker(clash)
    advice = advice_on(knots_plan.model_copy(update={"blockers": (blocker,)}))
    assert advice is not None
    [shown] = advice.clashes
    assert shown.says == "These cannot hold together"
    assert shown.facts[-1] == "cook-1 and cook-2 work Thu 07:00 to 15:00"
    assert len(shown.facts) == 4
