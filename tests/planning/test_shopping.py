"""What to buy for a plan: exact, by the day, in packs, less what is there."""

from fractions import Fraction
from typing import Any

from app.food.larder import Good, Larder, read_good
from app.food.measures import Quantity
from app.planning.buying import Bought
from app.planning.day import Day
from app.planning.listing import WHOLE, listing
from app.planning.plan import Plan
from app.planning.pulls import stage_pulls
from app.planning.shopping import Line, Shopping, shopping
from app.planning.takings import Taking, takings
from tests.planning.test_pulls import changed


def good(name: str, **said: str) -> Good:
    """Return a good of the larder."""
    found, faults = read_good(name, said)
    assert faults == {}
    return found


def list_of(*taken: tuple[str, str, str], larder: Larder | None = None) -> Shopping:
    """Return the list of takings of (name, quantity, date)."""
    told = []
    for name, text, date in taken:
        amount, _, unit = text.partition(" ")
        quantity = Quantity(Fraction(amount), unit) if amount else None
        told.append(Taking(name, quantity, date))
    return shopping(told, larder or Larder())


def only(*taken: tuple[str, str, str], **said: Any) -> Line:
    """Return the one line of a list, where the larder knows the good."""
    larder = Larder((good(taken[0][0], **said),)) if said else Larder()
    (line,) = list_of(*taken, larder=larder).lines
    return line


def counts(bought: tuple[Bought, ...] | None) -> list[int]:
    """Return how many of each pack are bought."""
    assert bought is not None
    return [each.count for each in bought]


def test_what_batches_take_is_what_the_pull_lists_say(knots_day: Day, knots_plan: Plan) -> None:
    flour = {"name": "Flour", "amount": 0.1, "unit": "kg"}
    water = {"name": "water", "amount": 0.3, "unit": "l", "per": "set"}
    glaze = {"name": "glaze", "amount": 30, "unit": "ml", "per": "batch"}
    day = changed(knots_day, "tied", ingredients=[flour, water, glaze])
    (pull,) = [each for each in stage_pulls(day, knots_plan) if each.stage == "tied"]
    found = {
        line.good.name: line.needed for line in shopping(takings(day, knots_plan), Larder()).lines
    }
    sets = sum(each.sets for each in pull.batches)
    assert found == {
        "Flour": (Quantity(Fraction(pull.copies, 10), "kg"),),
        "water": (Quantity(Fraction(3, 10) * sets, "l"),),
        "glaze": (Quantity(Fraction(30 * len(pull.batches)), "ml"),),
    }


def test_what_beats_take_is_bought_for_every_station_of_every_run(
    knots_day: Day, knots_plan: Plan
) -> None:
    """The two takes of the knots, one of them for three benches; a dry run takes nothing."""
    document = knots_day.model_dump(mode="json", by_alias=True)
    document["demonstrations"][0]["beats"][0]["ingredients"] = [{"name": "seed", "amount": 5}]
    document["runs"][0]["stations"] = 3
    dry = {**document["runs"][1], "id": "dry", "dry": True}
    day = Day.model_validate({**document, "runs": [*document["runs"], dry]})
    (line,) = shopping(takings(day, knots_plan), Larder()).lines
    assert line.needed == (Quantity(Fraction(20), ""),)


def test_names_are_one_whatever_their_capitals() -> None:
    line = only(("Flour", "100 g", "2027-03-04"), ("flour", "0.2 kg", "2027-03-04"))
    assert line.needed == (Quantity(Fraction(300), "g"),)


def test_packs_are_bought_whole_and_by_the_day() -> None:
    """Nine hundred and three hundred of a pound-of-flour sort of pack: two, then one more."""
    line = only(
        ("flour", "900 g", "2027-03-04"),
        ("flour", "300 g", "2027-03-05"),
        pack_amount="0.5",
        pack_unit="kg",
        price="1.10",
    )
    assert [counts(each.packs) for each in line.days] == [[2], [1]]
    assert (counts(line.packs), line.price) == ([3], Fraction("3.3"))


def test_the_larder_goes_first_on_the_first_day() -> None:
    line = only(
        ("flour", "900 g", "2027-03-04"),
        ("flour", "300 g", "2027-03-05"),
        pack_amount="500",
        pack_unit="g",
        held_amount="1",
        held_unit="kg",
    )
    assert [counts(each.packs) for each in line.days] == [[], [1]]
    assert line.buy == (Quantity(Fraction(200), "g"),)


def test_what_the_larder_holds_is_not_bought() -> None:
    line = only(("flour", "900 g", "2027-03-04"), held_amount="1", held_unit="kg")
    assert (line.buy, line.is_there) == ((), True)
    packed = only(
        ("flour", "900 g", "2027-03-04"),
        held_amount="1",
        held_unit="kg",
        pack_amount="1",
        pack_unit="kg",
    )
    assert (packed.packs, packed.is_there) == ((), True)


def test_a_pack_in_another_measure_is_reckoned_by_weight() -> None:
    """Two cups of bread flour are 274 g (USDA SR28)."""
    line = only(("bread flour", "2 cups", "2027-03-04"), pack_amount="137", pack_unit="g")
    assert counts(line.packs) == [2]


def test_what_nobody_can_weigh_is_said_to_be_not_known() -> None:
    line = only(("damsons", "2 cups", "2027-03-04"), pack_amount="500", pack_unit="g")
    assert (line.buy, line.packs, line.price) == (None, None, None)
    assert line.unknown == "Not known: what cups of it weighs, so not all of it is added up."
    mixed = only(("damsons", "2 cups", "2027-03-04"), ("damsons", "100 g", "2027-03-04"))
    assert mixed.unknown
    assert len(mixed.needed) == 2


def test_the_users_own_row_weighs_it() -> None:
    line = only(
        ("damsons", "2 cups", "2027-03-04"),
        pack_amount="500",
        pack_unit="g",
        measure_amount="1",
        measure_unit="cup",
        measure_grams="150",
    )
    assert (counts(line.packs), line.buy) == ([1], (Quantity(Fraction(300), "g"),))


def test_what_is_trimmed_is_bought_too() -> None:
    """Two pounds of watermelon at 61 %, bought by the half pound (USDA Food Buying Guide)."""
    line = only(
        ("watermelon", "2 lb", "2027-03-04"),
        yield_percent="61",
        pack_amount="0.5",
        pack_unit="lb",
    )
    assert counts(line.packs) == [7]


def test_a_yield_that_a_table_knows_is_told_and_not_applied() -> None:
    """Whether a recipe means them peeled, only the cook knows."""
    line = only(("potatoes", "300 g", "2027-03-04"))
    assert line.buy == (Quantity(Fraction(300), "g"),)
    assert line.yields is not None
    assert line.yields.percent == 75
    assert only(("potatoes", "3", "2027-03-04")).yields is None


def test_to_taste_is_listed_and_never_there() -> None:
    line = only(("salt", "", "2027-03-04"), held_amount="1", held_unit="kg")
    assert line.is_to_taste
    assert not line.is_there


def test_places_come_in_order_and_no_place_last() -> None:
    larder = Larder((good("egg", place="Fridge"), good("sugar", place="Dry store")))
    day = "2027-03-04"
    found = list_of(("ice", "1 kg", day), ("egg", "2", day), ("sugar", "1 g", day), larder=larder)
    assert [place for place, _ in found.places] == ["Dry store", "Fridge", ""]


def test_what_has_no_price_is_named() -> None:
    larder = Larder((good("egg", pack_amount="12", price="3.60"),))
    found = list_of(("egg", "13", "2027-03-04"), ("ice", "1 kg", "2027-03-04"), larder=larder)
    assert (found.price, found.unpriced) == (Fraction("7.2"), ("ice",))


BAGS = {"pack_amount": "1", "pack_unit": "kg", "price": "1.20"}
BAGS |= {"pack_2_amount": "5000", "pack_2_unit": "g", "price_2": "4.50"}


def test_of_several_packs_the_cheapest_set_is_bought() -> None:
    """Eleven kilograms are two large bags and a small one, and read so."""
    flour = good("flour", **BAGS)
    found = list_of(("flour", "10.2 kg", "2027-03-04"), larder=Larder((flour,), currency="€"))
    ((row,),) = [place.rows for place in listing(found, Larder((flour,), currency="€"))]
    assert row.buy.replace(WHOLE, " ") == "2 × 5000 g + 1 × 1 kg"
    assert row.price == "€ 10.20"


def test_each_day_says_which_of_the_packs_have_to_be_there() -> None:
    """A small bag does for Thursday; the large ones may come on Friday."""
    line = only(("flour", "0.8 kg", "2027-03-04"), ("flour", "9.9 kg", "2027-03-05"), **BAGS)
    assert [
        [(each.count, each.pack.holds.unit) for each in day.packs or ()] for day in line.days
    ] == [
        [(1, "kg")],
        [(2, "g")],
    ]


def test_a_pack_that_nobody_can_weigh_is_left_aside() -> None:
    """Nobody knows what a litre of damsons weighs."""
    packs = {"pack_amount": "500", "pack_unit": "g", "pack_2_amount": "1", "pack_2_unit": "l"}
    line = only(("damsons", "700 g", "2027-03-04"), **packs)
    assert counts(line.packs) == [2]
