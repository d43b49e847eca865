"""The pull list: a page a stage, with what goes in, from where, and where copies go."""

import pytest

from app.exchange.dayfile import load_plan
from app.food.larder import Larder
from app.paper import pulls
from app.planning.day import Day
from app.planning.plan import Plan
from tests.live import ROOT
from tests.paper.days import hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened
from tests.planning.test_pulls import changed

PRINTED = "2027-03-03T18:05"


@pytest.fixture(scope="module")
def knots(knots_day: Day, knots_plan: Plan) -> Opened:
    """Return the pull list of the knots day."""
    return Opened(pulls.draw(knots_day, knots_plan, PRINTED, "A4"))


@pytest.fixture(scope="module")
def hard() -> Opened:
    """Return the pull list of two hard days."""
    day = hard_day()
    return Opened(pulls.draw(day, naive(day), PRINTED, "letter"))


def test_each_stage_begins_a_page(knots: Opened) -> None:
    """Five stages, five pages, in the order of the day; then what goes to set."""
    heads = ["KN sc scaled", "KN mi mixed", "KN re rested", "KN ti tied", "KN ba baked"]
    heads += ["To set, Thursday 4 March 2027"]
    assert [head for head, words in zip(heads, knots.pages, strict=True) if head in words] == heads


def test_a_long_stage_is_set_closer_and_keeps_its_page(example_day: Day) -> None:
    """Seven batches, or three of eight ingredients, with how it is done below, on one sheet."""
    plan = load_plan((ROOT / "seed_demo" / "studio.plan.json").read_bytes())
    found = pulls.pages(example_day, plan)
    opened = Opened(pulls.draw(example_day, plan, PRINTED, "A4"))
    assert [page.is_long for page in found].count(True) >= 3
    for page, words in zip(found, opened.pages, strict=False):
        assert f"{page.badge.code} {page.code} {page.pull.name}" in words
        assert "How:" in words
        assert "from the minute it is ready" in words
    assert "To set" in opened.pages[len(found)]


def test_copies_and_batches_are_counted(knots: Opened) -> None:
    """The counts are those of the plan: 5 scaled in one batch, 3 mixed in three."""
    assert "5 copies in 1 batch of Cardamom knots" in knots.pages[0]
    assert "3 copies in 3 batches of Cardamom knots" in knots.pages[1]


def test_inputs_and_copies_have_their_places(knots: Opened) -> None:
    """The second mix takes KN-2 from the rack; the first puts KN-1 there."""
    assert "KN-2 scaled: rack-1, level" in knots.pages[1]
    assert "KN-1: rack-1, level" in knots.pages[1]
    assert "for rested 12:13" in knots.pages[1]


def test_ingredients_are_multiplied_with_a_blank_for_what_was_weighed(hard: Opened) -> None:
    """48 copies at 0.1 kg are 4.8 kg; 48 sets of 333.25 ml read as 16 l; salt is to taste."""
    assert "4.8 kg" in hard.words
    assert "16 l" in hard.words
    assert "to taste" in hard.words
    assert "21:13 48 copies, weighed:" in hard.words


def test_cautions_and_allergens_stand_where_the_work_is_read(hard: Opened) -> None:
    """The day's own caution, the usual one where it has none, and what goes in."""
    assert "Take care. Fold, turn and wait" in hard.words
    assert "Take care. Raw: its own board and knife" in hard.words
    assert "Goes in here: wheat" in hard.words


def test_a_stage_not_said_to_be_safe_is_not_for_eating(hard: Opened) -> None:
    """Only the bowl says that it is ready to eat."""
    starts = [words for words in hard.pages if "copies in" in words]
    assert ["NOT FOR EATING" in words for words in starts] == [True, True, False]


def test_tools_container_and_keeping_time_are_told(hard: Opened) -> None:
    """Facts of the day come out as they are."""
    assert "Donaudampfschifffahrt" in hard.words
    assert "Keeps 1 day 9 h 20 min" in hard.words


def test_a_batch_with_many_places_goes_on_in_further_rows(hard: Opened) -> None:
    """No row outgrows a page, however many places it has."""
    assert "still 21:13" in hard.words
    assert sum(hard.words.count(f"level 1, slot {slot} ") for slot in range(1, 13)) >= 12


def test_a_stage_that_the_plan_does_not_make_has_no_page() -> None:
    """The milled stage is in the day, but nothing is made of it."""
    day = hard_day()
    made = [page.stage.id for page in pulls.pages(day, naive(day))]
    assert made == ["kneaded", "baked", "mixed"]


def test_what_goes_to_set_is_listed_by_beat(knots_day: Day, knots_plan: Plan) -> None:
    """Copies with their places, measured ingredients with a blank, tools and dressing."""
    document = knots_day.model_dump(mode="json", by_alias=True)
    flour = {"name": "bread flour", "amount": 1, "unit": "cup", "contains": ["wheat"]}
    document["demonstrations"][0]["beats"][0].update(
        ingredients=[flour], tools=["bowl"], dressing=["blue cloth"]
    )
    page = Opened(pulls.draw(Day.model_validate(document), knots_plan, PRINTED, "A4")).pages[-1]
    assert "14:00 there by 13:50 KN mix knots-take-1" in page
    assert "scaled: rack-1, level" in page
    assert "1 cup (137 g) bread flour contains wheat weighed" in page
    assert "Tools: bowl Dressing: blue cloth" in page


def test_amounts_are_in_the_measures_of_the_house(knots_day: Day, knots_plan: Plan) -> None:
    told = [{"name": "bread flour", "amount": 500, "unit": "g"}]
    day = changed(knots_day, "scaled", ingredients=told)
    drawn = pulls.PAPER.drawn(day, knots_plan, PRINTED, "A4", larder=Larder(system="us"))
    assert "5 lb 8¼ oz" in Opened(drawn.pdf).words
