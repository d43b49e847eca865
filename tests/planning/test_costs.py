"""What copies cost: all that went in, nothing twice."""

from fractions import Fraction
from typing import Any

from app.food.larder import Larder
from app.planning.costs import plan_cost
from app.planning.day import Day
from app.planning.plan import Plan
from tests.planning.test_pulls import changed
from tests.planning.test_shopping import good

SEED = good("seed", pack_amount="100", pack_unit="g", price="5")
FLOUR = good("flour", pack_amount="1", pack_unit="kg", price="2")


def ingredient(name: str, amount: float, **more: Any) -> dict[str, Any]:
    """Return an ingredient in grams."""
    return {"name": name, "amount": amount, "unit": "g", **more}


def test_a_copy_costs_its_ingredients_and_its_inputs(knots_day: Day, knots_plan: Plan) -> None:
    """Five hundred grams of flour are 1.00; twelve knots share it, each with 1 g of seed at 0.05.

    The eighteen knots that are tied off camera take two doughs between them.
    """
    day = changed(knots_day, "scaled", ingredients=[ingredient("flour", 500)])
    day = changed(day, "tied", ingredients=[ingredient("seed", 1)])
    found = plan_cost(day, knots_plan, Larder((FLOUR, SEED)))
    stages = {each.stage: each for each in found.stages}
    assert stages["scaled"].least.money == stages["scaled"].most.money == 1
    assert stages["rested"].least.money == 1
    assert stages["tied"].copies == 18
    assert stages["tied"].least.money == Fraction(2, 18) + Fraction(5, 100)


def test_the_plan_costs_all_that_is_weighed(knots_day: Day, knots_plan: Plan) -> None:
    day = changed(knots_day, "scaled", ingredients=[ingredient("flour", 500)])
    scaled = sum(len(each.copies) for each in knots_plan.batches if each.stage == "scaled")
    assert plan_cost(day, knots_plan, Larder((FLOUR,))).whole.money == scaled


def test_what_a_beat_leaves_costs_what_it_used_up(knots_day: Day, knots_plan: Plan) -> None:
    """A dough that is mixed on camera is as dear as the flour that was scaled for it."""
    day = changed(knots_day, "scaled", ingredients=[ingredient("flour", 500)])
    found = plan_cost(day, knots_plan, Larder((FLOUR,)))
    carried = [copy for copy in knots_plan.copies if copy.made_by.use and copy.stage == "mixed"]
    assert carried
    assert {found.copies[copy.id].money for copy in carried} == {Fraction(1)}


def test_a_backup_costs_what_it_takes_to_make(knots_day: Day, knots_plan: Plan) -> None:
    day = changed(knots_day, "baked", ingredients=[ingredient("seed", 1)])
    found = plan_cost(day, knots_plan, Larder((SEED,)))
    (baked,) = [each for each in found.stages if each.stage == "baked"]
    backups = [copy for copy in knots_plan.copies if copy.role == "backup"]
    assert baked.backups == len([copy for copy in backups if copy.stage == "baked"]) > 0
    assert baked.backups_cost.money == baked.backups * Fraction(5, 100)
    assert found.backups.money == baked.backups_cost.money


def test_what_has_no_price_is_named_and_costs_nothing(knots_day: Day, knots_plan: Plan) -> None:
    told = [ingredient("flour", 500), {"name": "salt"}]
    day = changed(knots_day, "scaled", ingredients=told)
    found = plan_cost(day, knots_plan, Larder())
    assert (found.whole.money, found.whole.unpriced) == (0, {"flour", "salt"})


def test_what_is_trimmed_away_is_paid_for(knots_day: Day, knots_plan: Plan) -> None:
    peeled = good("apple", pack_amount="1", pack_unit="kg", price="3", yield_percent="75")
    day = changed(knots_day, "scaled", ingredients=[ingredient("apple", 250)])
    found = plan_cost(day, knots_plan, Larder((peeled,)))
    (scaled,) = [each for each in found.stages if each.stage == "scaled"]
    assert scaled.least.money == 1


def test_a_copy_is_priced_by_the_packs_that_the_plan_takes(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Five copies of a kilogram take one bag of five at 4.50, which is less than five of one."""
    bags = {"pack_2_amount": "5", "pack_2_unit": "kg", "price_2": "4.50"}
    flour = good("flour", pack_amount="1", pack_unit="kg", price="1.20", **bags)
    day = changed(knots_day, "scaled", ingredients=[ingredient("flour", 1000)])
    found = plan_cost(day, knots_plan, Larder((flour,)))
    (scaled,) = [each for each in found.stages if each.stage == "scaled"]
    assert scaled.copies == 5
    assert scaled.least.money == Fraction("0.9")
