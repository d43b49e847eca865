"""The allergen sheet: the law's columns, the ingredient's own words, people and decisions."""

import json
import os
from contextlib import redirect_stdout
from pathlib import Path
from typing import Any

import pytest

from app.__main__ import main
from app.paper import allergens, board, face, pulls, runsheet
from app.paper.of_house import Decided, OfHouse
from app.planning.day import Day
from app.planning.people import meetings
from app.planning.plan import Plan
from tests.live import GOLDEN
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened

PRINTED = "2027-03-03T18:05"


def day_with(knots_day: Day, *words: str, people: list[dict[str, Any]] | None = None) -> Day:
    """Return the knots day whose flour contains some words, its end tasted by some people."""
    document = json.loads(knots_day.model_dump_json(by_alias=True))
    document["runs"][0]["people"] = people or []
    knots = document["demonstrations"][0]
    knots["stages"][0]["ingredients"] = [{"name": "strong flour", "contains": list(words)}]
    knots["stages"][-1]["ready_to_eat"] = True
    knots["beats"][-1]["needs"][0]["tasting"] = True
    return Day.model_validate(document)


def drawn(day: Day, plan: Plan, house: OfHouse | None = None) -> Opened:
    """Return the sheet on A4."""
    if house is None:
        return Opened(allergens.draw(day, plan, PRINTED, "A4"))
    return Opened(allergens.PAPER.drawn(day, plan, PRINTED, "A4", house=house).pdf)


def test_it_has_a_row_a_stage_and_the_law_s_columns(knots_day: Day, knots_plan: Plan) -> None:
    words = drawn(day_with(knots_day, "wheat"), knots_plan).words
    assert "Allergens: US nine" in words
    assert "crustacean shellfish" in words
    assert "KN Cardamom knots" in words
    for stage in ("in all", "scaled", "mixed", "rested", "tied", "baked"):
        assert f"{stage} wheat" in words
    assert "wheat: strong flour." in words


def test_under_the_eu_fourteen_the_word_stays_the_ingredient_s_own(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Regulation (EU) No 1169/2011, Annex II: wheat is one of the cereals, and still says wheat."""
    day = day_with(knots_day, "wheat", "prawns")
    told = allergens.content(day, knots_plan, OfHouse("eu"))
    columns = [each.called for each in told["law"].allergens]
    whole = dict(zip(columns, told["dishes"][0].whole.cells, strict=True))
    assert whole["cereals containing gluten"] == ("wheat",)
    assert whole["crustaceans"] == ("prawns",)
    assert whole["molluscs"] == ()
    assert "EU fourteen" in drawn(day, knots_plan, OfHouse("eu")).words


def test_what_may_be_an_allergen_says_perhaps_and_what_is_none_stands_beside(
    knots_day: Day, knots_plan: Plan
) -> None:
    words = drawn(day_with(knots_day, "gluten", "kiwi"), knots_plan).words
    assert "perhaps: gluten" in words
    assert "kiwi" in words


def test_a_tasting_that_nobody_has_decided_on_stands_on_every_page_of_every_paper(
    knots_day: Day, knots_plan: Plan
) -> None:
    day = day_with(knots_day, "wheat", people=[{"name": "Teo", "avoids": ["gluten"]}])
    for opened in (drawn(day, knots_plan), Opened(board.draw(day, knots_plan, PRINTED, "A4"))):
        for page in opened.pages:
            assert "NOT DECIDED: Teo avoids gluten and is served it, knots-take-1." in page
    assert "NOT DECIDED and served to them" in drawn(day, knots_plan).words


def test_a_decision_takes_the_warning_away_and_is_named(knots_day: Day, knots_plan: Plan) -> None:
    day = day_with(knots_day, "wheat", people=[{"name": "Teo", "avoids": ["gluten"]}])
    (served,) = [each for each in meetings(day) if each.is_served]
    decided = Decided(served.key, "Teo only looks.", "Ada", "2027-03-03T17:00")
    words = drawn(day, knots_plan, OfHouse(decided=(decided,))).words
    assert "NOT DECIDED" not in words
    assert "Ada, 3 March 2027, 17:00: Teo only looks." in words
    assert "The people of the runs are checked by what the day names" in words


def test_where_no_run_names_its_people_the_paper_says_so(knots_day: Day, knots_plan: Plan) -> None:
    words = drawn(day_with(knots_day, "wheat"), knots_plan).words
    assert "No run names its people: nobody is checked against allergens." in words
    assert "No run names its people, so nobody is checked. Ask them." in words


@pytest.mark.parametrize("size", ["A4", "letter"])
def test_hostile_names_stay_on_the_page(size: str) -> None:
    day = hard_day()
    opened = Opened(allergens.draw(day, naive(day), PRINTED, size))
    assert opened.pages
    assert all(page.count("Local food law") <= 1 for page in opened.pages)
    assert opened.words.count("Local food law") == 1


def test_the_foot_is_short_enough_for_its_line(knots_day: Day, knots_plan: Plan) -> None:
    people = [{"name": "Maximiliane von Hohenstein zu Unterwald", "avoids": ["gluten", "wheat"]}]
    day = day_with(knots_day, "wheat", people=people)
    told = face.face(day, knots_plan, "Allergen sheet", PRINTED)
    assert told.is_undecided
    assert len(told.people) <= 100
    assert told.people.endswith(", and 1 more.")


def test_the_run_sheet_says_at_which_beats_somebody_meets_what_they_avoid(
    knots_day: Day, knots_plan: Plan
) -> None:
    day = day_with(knots_day, "wheat", people=[{"name": "Teo", "avoids": ["gluten"]}])
    words = Opened(runsheet.draw(day, knots_plan, PRINTED, "A4")).words
    # Once at each of the three beats of the first take; the second has no such people.
    assert "".join(words.split()).count("Teoavoidsgluten:wheatfromstrongflour") == 3


def test_the_pull_list_says_until_when_a_batch_may_be_eaten(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Food Code 3-501.19: out of the oven, four hours; the day says two from when it is staged."""
    document = json.loads(knots_day.model_dump_json(by_alias=True))
    baked = document["demonstrations"][0]["stages"][-1]
    baked |= {"ready_to_eat": True, "needs_temperature_control": True, "safety_min": 120}
    told = pulls.pages(Day.model_validate(document), knots_plan)
    rows = [row.eaten for page in told for row in page.rows]
    assert set(rows) == {"", *(row for row in rows if row.startswith("safe to eat until "))}
    assert [page.stage.id for page in told if any(row.eaten for row in page.rows)] == ["baked"]


@pytest.mark.parametrize(("law", "called"), [((), "US nine"), (("--law", "eu"), "EU fourteen")])
def test_the_command_draws_it_under_the_law_that_is_named(
    tmp_path: Path, law: tuple[str, ...], called: str
) -> None:
    day, plan = str(GOLDEN / "knots.day.json"), str(GOLDEN / "knots.plan.json")
    sheet = tmp_path / "sheet.pdf"
    with open(os.dup(1), "w", encoding="utf-8") as stdout, redirect_stdout(stdout):
        status = main(["print", day, plan, "--paper", "allergens", *law, "-o", str(sheet)])
    assert status == 0
    assert f"Allergens: {called}" in Opened(sheet.read_bytes()).words
