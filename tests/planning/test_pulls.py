"""What to fetch for each stage and each beat, read from the plan of the knots."""

import json
from typing import Any

import pytest

from app.food.larder import Larder
from app.planning.day import Day, Ingredient
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.pulls import BeatPull, StagePull, beat_pulls, multiplied, stage_pulls

FLOUR = Ingredient(name="flour", amount=0.1, unit="kg", contains=("wheat",))
BUTTER = Ingredient(name="butter", amount=2.5, unit="g", per="set")
GLAZE = Ingredient(name="glaze", amount=30, unit="ml", per="batch")
SALT = Ingredient(name="salt")


def stage_named(day: Day, plan: Plan, stage: str) -> StagePull:
    """Return the pull list of one stage."""
    return next(pull for pull in stage_pulls(day, plan) if pull.stage == stage)


def beat_named(day: Day, plan: Plan, run: str, beat: str) -> BeatPull:
    """Return the pull list of one beat of a run."""
    return next(p for p in beat_pulls(day, plan) if (p.run, p.beat) == (run, beat))


def changed(day: Day, stage: str, **facts: Any) -> Day:
    """Return the day with other facts for one stage of the knots."""
    document = json.loads(day.model_dump_json(by_alias=True))
    wanted = next(s for s in document["demonstrations"][0]["stages"] if s["id"] == stage)
    wanted.update(facts)
    return Day.model_validate(document)


@pytest.mark.parametrize(
    ("ingredient", "amount"),
    [(FLOUR, "0.3"), (BUTTER, "5"), (GLAZE, "120"), (SALT, "")],
    ids=["per copy", "per set", "per batch", "to taste"],
)
def test_an_ingredient_is_multiplied_as_it_says(ingredient: Ingredient, amount: str) -> None:
    """Three copies in two sets and four batches; a tenth times three has no stray digits."""
    (only,) = multiplied([ingredient], copies=3, sets=2, batches=4)
    assert only.amount == amount


def test_a_thousand_is_written_out(knots_day: Day) -> None:
    (only,) = multiplied([GLAZE], copies=1, sets=1, batches=100)
    assert only.amount == "3000"


def test_a_stage_tells_its_copies_and_batches(knots_day: Day, knots_plan: Plan) -> None:
    mixed = stage_named(knots_day, knots_plan, "mixed")
    assert (mixed.copies, len(mixed.batches)) == (3, 3)


def test_every_stage_that_is_made_has_a_list(knots_day: Day, knots_plan: Plan) -> None:
    assert [pull.stage for pull in stage_pulls(knots_day, knots_plan)] == [
        "scaled",
        "mixed",
        "rested",
        "tied",
        "baked",
    ]


def test_a_batch_takes_whole_sets(knots_day: Day, knots_plan: Plan) -> None:
    """Twelve knots come from one dough: eighteen take two sets."""
    (tied,) = stage_named(knots_day, knots_plan, "tied").batches
    assert (tied.copies, tied.sets) == (18, 2)


def test_ingredients_are_multiplied_over_a_stage(knots_day: Day, knots_plan: Plan) -> None:
    flour = {"name": "flour", "amount": 390, "unit": "g"}
    glaze = {"name": "water", "amount": 0.5, "unit": "l", "per": "batch"}
    day = changed(knots_day, "scaled", ingredients=[flour, glaze])
    scaled = stage_named(day, knots_plan, "scaled")
    assert [(each.name, each.amount) for each in scaled.ingredients] == [
        ("flour", "1950"),
        ("water", "0.5"),
    ]


def test_an_input_is_fetched_from_its_shelf(knots_day: Day, knots_plan: Plan) -> None:
    second = stage_named(knots_day, knots_plan, "mixed").batches[1]
    (fetch,) = second.inputs
    assert (fetch.label, fetch.stage_name, fetch.place) == (
        "KN-2",
        "scaled",
        "rack-1, level 1, slot 1",
    )


def test_what_nobody_puts_down_goes_straight_on(knots_day: Day, knots_plan: Plan) -> None:
    """The first scaled dough is mixed the minute it is staged; it never sees a shelf."""
    (scaled,) = stage_named(knots_day, knots_plan, "scaled").batches
    assert (scaled.goes[0].label, scaled.goes[0].place) == ("KN-1", "straight on")


def test_copies_that_go_to_one_place_for_one_use_are_one_row(
    knots_day: Day, knots_plan: Plan
) -> None:
    (baked,) = stage_named(knots_day, knots_plan, "baked").batches
    assert [goes.bound_for for goes in baked.goes] == [
        "for knots-take-1, reveal 14:05",
        "for knots-take-2, reveal 15:35",
        "backup for knots-take-2, reveal 15:35",
    ]


def test_a_zone_without_a_shelf_is_named(knots_day: Day, knots_plan: Plan) -> None:
    day = changed(knots_day, "tied", zone="proof")
    (tied,) = stage_named(day, knots_plan, "tied").batches
    assert tied.goes[0].place == "proof (no shelf named)"


def test_a_beat_says_what_goes_to_set_and_by_when(knots_day: Day, knots_plan: Plan) -> None:
    mix = beat_named(knots_day, knots_plan, "knots-take-1", "mix")
    (need,) = mix.needs
    clock = Clock(knots_day.timezone)
    assert (clock.hour(mix.fetch_by), clock.hour(mix.starts)) == ("13:50", "14:00")
    assert (need.takes[0].label, need.takes[0].place) == ("KN-4", "rack-1, level 1, slot 3")


def test_a_beat_names_its_backups(knots_day: Day, knots_plan: Plan) -> None:
    (need,) = beat_named(knots_day, knots_plan, "knots-take-2", "reveal").needs
    assert sum(len(fetch.tags) for fetch in need.backups) == 6
    assert need.untouched


def test_what_comes_back_says_what_it_serves_next(knots_day: Day, knots_plan: Plan) -> None:
    mix = beat_named(knots_day, knots_plan, "knots-take-1", "mix")
    (back,) = mix.comes_back
    assert (back.label, back.place, back.bound_for) == (
        "KN-4",
        "rack-1, level 1, slot 2",
        "for rested 14:23",
    )


def test_what_is_left_and_serves_nothing_says_so(knots_day: Day, knots_plan: Plan) -> None:
    (back,) = beat_named(knots_day, knots_plan, "knots-take-1", "tie").comes_back
    assert (back.label, back.bound_for) == ("12 ×", "not used again")


def test_a_beat_that_lacks_a_copy_says_how_many_and_leaves_nothing_new(
    knots_day: Day, knots_plan: Plan
) -> None:
    """A need may be met in part; such a beat leaves only what it hands back."""
    uses = tuple(
        use.model_copy(update={"copies": ()}) if use.beat == "tie" else use
        for use in knots_plan.uses
    )
    plan = knots_plan.model_copy(update={"uses": uses})
    tie = beat_named(knots_day, plan, "knots-take-1", "tie")
    assert (tie.needs[0].lacks, tie.comes_back) == (1, ())


def test_a_dry_run_pulls_nothing(knots_day: Day, knots_plan: Plan) -> None:
    dry = tuple(run.model_copy(update={"dry": True}) for run in knots_day.runs)
    assert beat_pulls(knots_day.model_copy(update={"runs": dry}), knots_plan) == []


def test_beats_come_in_air_order(knots_day: Day, knots_plan: Plan) -> None:
    starts = [pull.starts for pull in beat_pulls(knots_day, knots_plan)]
    assert starts == sorted(starts)
    assert len(starts) == 6


def test_an_amount_is_shown_as_a_kitchen_weighs_and_kept_exact() -> None:
    """One and a half cups, and what they weigh by the table (USDA SR28: 137 g a cup)."""
    flour = Ingredient(name="bread flour", amount=0.5, unit="cup")
    (only,) = multiplied([flour], copies=3, sets=1, batches=1)
    assert (only.amount, only.unit) == ("1.5", "cup")
    assert (only.shown, only.weighs) == ("1½ cups", "206 g")
    (metric,) = multiplied([flour], 3, 1, 1, Larder(system="metric"))
    assert (metric.shown, metric.weighs) == ("355 ml", "206 g")
    (taste,) = multiplied([SALT], copies=3, sets=1, batches=1)
    assert taste.shown == "to taste"


def test_containers_are_counted_by_the_slots_that_copies_fill(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Eighteen knots at twelve a tray are two trays; each of five doughs has a tub of its own."""
    assert stage_named(knots_day, knots_plan, "tied").containers == 2
    assert stage_named(knots_day, knots_plan, "scaled").containers == 5
