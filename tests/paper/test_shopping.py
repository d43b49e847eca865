"""The shopping list on paper: places, packs by the day, prices, and what to have or hire."""

import re

import pytest

from app.food.larder import Larder
from app.paper import face
from app.paper.lines import PADS_MM
from app.paper.measuring import wide_mm
from app.paper.shopping import PAPER
from app.planning.day import Day
from app.planning.listing import WHOLE
from app.planning.plan import Lack, Plan
from tests.live import ROOT
from tests.paper.days import HOSTILE, hard_day
from tests.paper.naive import naive
from tests.paper.opened import Opened
from tests.planning.test_pulls import changed
from tests.planning.test_shopping import good

PRINTED = "2027-03-03T18:05"


@pytest.fixture(scope="module")
def floury(knots_day: Day) -> Day:
    """Return the knots with flour, salt and a tub."""
    told = [{"name": "flour", "amount": 390, "unit": "g"}, {"name": "salt"}]
    return changed(knots_day, "scaled", ingredients=told, container="tub", tools=["scales"])


@pytest.fixture(scope="module")
def bought(floury: Day, knots_plan: Plan) -> Opened:
    """Return the list of a house that knows its flour."""
    flour = good("flour", pack_amount="1.5", pack_unit="kg", price="2.10", place="Dry store")
    larder = Larder((flour,), "metric", "€")
    return Opened(PAPER.drawn(floury, knots_plan, PRINTED, "A4", larder=larder).pdf)


def test_packs_and_prices_stand_by_their_place(bought: Opened) -> None:
    """Five doughs of 390 g are 1.95 kg: two packs."""
    assert "Dry store" in bought.pages[0]
    assert "2 × 1.5 kg" in bought.pages[0].replace(WHOLE, " ")
    assert "Thu 4 March: 1.95 kg" in bought.pages[0]
    assert "In all € 4.20, and 1 thing without a known price" in bought.pages[0]
    assert "No place said" in bought.pages[0]
    assert "to taste" in bought.pages[0]


def test_tools_and_tins_stand_on_a_page_of_their_own(bought: Opened) -> None:
    assert "To have or to hire" in bought.pages[1]
    for words in ("oven 2 of 2", "mixer 1 of 1", "tub", "scales"):
        assert words in bought.pages[1]


def test_without_the_house_it_says_so(floury: Day, knots_plan: Plan) -> None:
    """The command line has no larder unless it is given one."""
    opened = Opened(PAPER.draw(floury, knots_plan, PRINTED, "letter"))
    assert "Without the house’s packs, prices and larder." in opened.words
    assert "1.95 kg" in opened.words
    assert opened.sizes_mm == {(215.9, 279.4)}


def test_several_productions_are_bought_for_at_once(floury: Day, knots_plan: Plan) -> None:
    more = floury.model_copy(update={"title": "The other day"})
    others = ((more, knots_plan),)
    opened = Opened(PAPER.drawn(floury, knots_plan, PRINTED, "A4", others=others).pdf)
    assert "3.9 kg" in opened.words
    assert "The other day, plan 1" in opened.words


def test_a_list_of_several_names_their_plans_at_its_foot(floury: Day, knots_plan: Plan) -> None:
    """And whose plan is short."""
    more = floury.model_copy(update={"title": "The other day"})
    lack = Lack(run="knots-take-1", beat="reveal", stage="baked", kind="copies", count=1)
    short = knots_plan.model_copy(update={"number": 4, "unmet": (lack,)})
    opened = Opened(PAPER.drawn(floury, knots_plan, PRINTED, "A4", others=((more, short),)).pdf)
    assert all("Plans 1 and 4, printed" in each for each in opened.pages)
    assert all(f"{floury.title}, and 1 more" in each for each in opened.pages)
    assert "The plan of The other day is short." in opened.pages[0]


def test_every_page_bears_its_plan_and_number(bought: Opened) -> None:
    count = len(bought.pages)
    for number, words in enumerate(bought.pages, start=1):
        assert "plan 1" in words
        assert f"page {number} of {count}" in words
    assert all(bought.fonts().values())
    assert bought.root["/Lang"] == "en"


def test_long_lists_and_hostile_names_are_printed() -> None:
    day = hard_day(title=HOSTILE)
    opened = Opened(PAPER.draw(day, naive(day), PRINTED, "A4"))
    assert HOSTILE.split("<", maxsplit=1)[0] in opened.words
    assert "<script>" in opened.words


def test_a_foot_of_many_plans_stays_on_two_lines(floury: Day, knots_plan: Plan) -> None:
    """On the narrowest sheet; else what nobody has decided falls off the page."""
    plans = [(floury, knots_plan.model_copy(update={"number": 100 + n})) for n in range(12)]
    told = face.face(floury, knots_plan, "Shopping list", PRINTED, others=tuple(plans))
    assert told.plans == "1, 100, 101 and 10 more"
    line = f"Plans {told.plans}, printed 27 September 2026, 13:04. Lower numbers are void."
    assert 1.03 * wide_mm(line, 10) < 0.82 * (210 - 20)


def test_the_longest_date_stands_in_its_column() -> None:
    css = (ROOT / "static" / "print.css").read_text("utf-8")
    told = re.search(r"\.having col\.at { width: (\d+)mm }", css)
    assert told is not None
    assert wide_mm("Wed 30 September, 10:19", 11.5) <= int(told[1]) - PADS_MM
