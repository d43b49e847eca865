"""The people of a run and what they avoid: which beats, copies and labels would touch them."""

import json
from typing import Any

from app.planning.day import Day
from app.planning.people import Table, in_words, label_warnings, meetings, undecided
from app.planning.plan import Plan

TEO = {"name": "Teo", "avoids": ["nuts"]}


def day_with(knots_day: Day, *people: dict[str, Any], tasting: bool = False, **facts: Any) -> Day:
    """Return the knots day with almonds in its dough, and people in its first take."""
    document = json.loads(knots_day.model_dump_json(by_alias=True))
    document["runs"][0]["people"] = list(people)
    knots = document["demonstrations"][0]
    knots["stages"][0]["ingredients"] = [{"name": "marzipan", "contains": ["almonds"]}]
    knots["stages"][-1] |= {"ready_to_eat": True} | facts
    for need in knots["beats"][-1]["needs"]:
        need["tasting"] = tasting
    return Day.model_validate(document)


def test_every_beat_that_needs_it_is_told(knots_day: Day) -> None:
    """The dough holds almonds, so everything made from it does."""
    told = meetings(day_with(knots_day, TEO))
    assert [(each.run, each.beat, each.stage) for each in told] == [
        ("knots-take-1", "mix", "scaled"),
        ("knots-take-1", "tie", "rested"),
        ("knots-take-1", "reveal", "baked"),
    ]
    assert told[0].said == "Teo avoids nuts: almonds from marzipan"
    assert all(each.is_sure and not each.is_served for each in told)


def test_a_word_that_may_be_it_says_perhaps(knots_day: Day) -> None:
    day = day_with(knots_day, {"name": "Ines", "avoids": ["molluscs"]})
    document = json.loads(day.model_dump_json(by_alias=True))
    flavour = {"name": "stock cube", "contains": ["shellfish"]}
    document["demonstrations"][0]["stages"][0]["ingredients"] = [flavour]
    told = meetings(Day.model_validate(document))
    assert told[0].said == "Ines avoids molluscs: perhaps shellfish from stock cube"


def test_what_the_name_alone_of_an_ingredient_says_is_told_as_perhaps(knots_day: Day) -> None:
    """No law lists fennel, so no ingredient says that it contains it; its name does."""
    people = [{"name": "Ines", "avoids": ["fennel"]}, {"name": "Teo", "avoids": ["nuts"]}]
    document = json.loads(day_with(knots_day, *people).model_dump_json(by_alias=True))
    more = [
        {"name": "Fennel seeds"},
        {"name": "nutmeg"},
        {"name": "chopped nuts", "contains": ["nuts"]},
    ]
    document["demonstrations"][0]["stages"][0]["ingredients"] += more
    day = Day.model_validate(document)
    assert [each.said for each in meetings(day)][:3] == [
        "Ines avoids fennel: perhaps Fennel seeds",
        "Teo avoids nuts: almonds from marzipan",
        "Teo avoids nuts: nuts from chopped nuts",
    ]


def test_who_avoids_nothing_of_it_meets_nothing(knots_day: Day) -> None:
    people = [{"name": "Orla"}, {"name": "Ines", "avoids": ["crustaceans", "peanuts"]}]
    assert meetings(day_with(knots_day, *people)) == []


def test_a_run_without_food_touches_nobody(knots_day: Day) -> None:
    day = day_with(knots_day, TEO)
    dry = day.runs[0].model_copy(update={"dry": True})
    assert meetings(day.model_copy(update={"runs": (dry, *day.runs[1:])})) == []


def test_what_a_beat_measures_on_set_counts_too(knots_day: Day) -> None:
    document = json.loads(day_with(knots_day, TEO).model_dump_json(by_alias=True))
    document["demonstrations"][0]["stages"][0]["ingredients"] = []
    almonds = {"name": "flaked almonds", "contains": ["almonds"]}
    document["demonstrations"][0]["beats"][2]["ingredients"] = [almonds]
    day = Day.model_validate(document)
    (told,) = meetings(day)
    assert (told.beat, told.stage) == ("reveal", "")
    assert "what is measured on set. Teo avoids nuts" in in_words(day, told)


def test_a_tasting_that_serves_them_stands_until_somebody_decides(knots_day: Day) -> None:
    """The decision holds for this person, beat, stage and word, and for no other."""
    day = day_with(knots_day, TEO, tasting=True)
    (served,) = undecided(meetings(day), [])
    assert in_words(day, served) == (
        "knots-take-1, reveal: Cardamom knots, baked. Teo avoids nuts: almonds from marzipan."
    )
    assert undecided(meetings(day), [served.key]) == []
    other = day_with(knots_day, TEO | {"name": "Tea"}, tasting=True)
    assert len(undecided(meetings(other), [served.key])) == 1


def test_a_key_stays_the_same_from_one_reading_to_the_next(knots_day: Day) -> None:
    day = day_with(knots_day, TEO)
    assert [each.key for each in meetings(day)] == [each.key for each in meetings(day)]
    assert len({each.key for each in meetings(day)}) == 3


def test_the_label_of_each_copy_that_comes_to_them_says_so(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Copies of take 1, their backups, and all that goes into them; none that only take 2 sees."""
    day = day_with(knots_day, TEO)
    told = label_warnings(day, knots_plan)
    assert set(told.values()) == {("Not for Teo: almonds (avoids nuts)",)}
    seen = Table(day, knots_plan)
    for copy in knots_plan.copies:
        runs = {taker.use[0] for taker in copy.taken_by if taker.use}
        if "knots-take-1" in runs:
            assert copy.id in told
    only_later = {
        copy.id
        for copy in knots_plan.copies
        if copy.stage == "baked"
        and {run for run, _ in seen.backs.get(copy.id, ())} == {"knots-take-2"}
    }
    assert only_later
    assert not only_later & set(told)


def test_nobody_avoids_anything_and_labels_say_nothing(knots_day: Day, knots_plan: Plan) -> None:
    assert label_warnings(day_with(knots_day), knots_plan) == {}
