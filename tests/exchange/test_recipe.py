"""Recipes as schema.org describes them: what becomes of ingredients, steps and times.

The recipes are our own; their form is that of https://schema.org/Recipe (ingredients as texts,
steps as texts, HowToStep or HowToSection, times as durations of ISO 8601).
"""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange.ingredient_lines import ingredient_of
from app.exchange.recipe import read_recipe
from app.exchange.times_in_words import degrees_c_in, duration_min, times_in
from app.planning.reading import Refused
from tests.exchange.beginnings import faults_of

BUNS: dict[str, Any] = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Saffron &amp; cardamom buns",
    "recipeYield": "12 buns",
    "prepTime": "PT40M",
    "totalTime": "PT3H30M",
    "recipeIngredient": ["500 g strong flour", "1 ½ cups milk, warm", "Salt, to taste", "butter"],
    "recipeInstructions": [
        {"@type": "HowToStep", "text": "Mix all in a stand mixer for <b>10 minutes</b>."},
        {"@type": "HowToStep", "text": "Cover and leave to rise for 1-1½ hours, until doubled."},
        {"@type": "HowToStep", "text": "Divide and roll. Preheat the oven to 425 °F (220 °C)."},
        "Bake for 8 to 10 minutes, then cool for 20 minutes.",
    ],
    "nutrition": {"@type": "NutritionInformation", "calories": "200 kcal"},
}


def _sent(recipe: object) -> bytes:
    return json.dumps(recipe).encode()


def test_ingredients_become_a_scaled_stage_and_each_wait_ends_a_stage() -> None:
    """Weighed, risen, baked, cooled: what can be made before and swapped in."""
    begun = read_recipe(_sent(BUNS))
    made = begun.demonstration
    assert made.id == "saffron-cardamom-buns"
    assert made.title == "Saffron & cardamom buns"
    assert [stage.id for stage in made.stages] == ["scaled", "risen", "baked", "cooled"]
    told = [(each.name, each.amount, each.unit, each.note) for each in made.stages[0].ingredients]
    assert told == [
        ("strong flour", 500, "g", ""),
        ("milk", 1.5, "cups", "warm"),
        ("Salt", None, "", ""),
        ("butter", None, "", ""),
    ]
    assert [stage.takes[0].stage for stage in made.stages[1:]] == ["scaled", "risen", "baked"]
    assert faults_of(made) == []


def test_times_and_heat_of_the_steps_become_phases() -> None:
    """By machine with a person beside it, by itself, in an oven that was heated a step before."""
    stages = {stage.id: stage for stage in read_recipe(_sent(BUNS)).demonstration.stages}
    mixing, rising = stages["risen"].ways[0].phases
    assert (mixing.lasts_min, mixing.hands, mixing.equipment[0].kind) == (10, 1, "mixer")
    assert (rising.lasts_min, rising.hands, rising.zone) == (90, 0, "ambient")
    rolling, baking = stages["baked"].ways[0].phases
    assert (rolling.does, rolling.hands) == ("Divide and roll.", 1)
    assert (baking.lasts_min, baking.equipment[0].kind, baking.equipment[0].setting) == (
        10,
        "oven",
        220,
    )


def test_what_was_put_in_and_what_could_not_be_read_is_listed() -> None:
    """A guess is told as one, and nothing vanishes unsaid."""
    begun = read_recipe(_sent(BUNS))
    missing = " ".join(begun.missing)
    assert "“Divide and roll.” tells no time; 5 min is a guess." in missing
    assert "No amount could be read for: butter." in missing
    assert "baked: 60 min is a guess at how long it keeps." in missing
    assert "gives “12 buns”" in missing
    assert "says 3 h 30 for all" in missing
    assert "No copy is said to be safe to eat" in missing
    assert begun.unread == ("nutrition",)


def test_sections_become_stages_of_their_own() -> None:
    """A filling that waits beside its pastry."""
    sections = [
        {"@type": "HowToSection", "name": "Filling", "itemListElement": ["Chop.", "Fold."]},
        {
            "@type": "HowToSection",
            "name": "Tart",
            "itemListElement": {
                "@type": "ItemList",
                "itemListElement": [{"@type": "HowToStep", "text": "Fill the case."}],
            },
        },
    ]
    made = read_recipe(_sent({"@type": "Recipe", "recipeInstructions": sections})).demonstration
    assert [(stage.id, stage.called) for stage in made.stages] == [
        ("scaled", "scaled"),
        ("filling", "Filling"),
        ("tart", "Tart"),
    ]
    assert faults_of(made) == []


def test_a_part_that_waits_keeps_its_name_and_what_it_is_made_from_is_told() -> None:
    """Two parts are chilled: the second says whose it is, and that it follows is a guess."""
    parts = {"Dough": "Knead for 9 minutes. Chill for 1 hour.", "Filling": "Chill for 2 hours."}
    told = [
        {"@type": "HowToSection", "name": name, "itemListElement": [text]}
        for name, text in parts.items()
    ]
    begun = read_recipe(_sent({"@type": "Recipe", "recipeInstructions": told}))
    stages = [(stage.id, stage.called) for stage in begun.demonstration.stages]
    assert stages[1:] == [("chilled", "chilled"), ("filling-chilled", "Filling, chilled")]
    assert "Filling is a part of its own in the recipe; it is made from “chilled”" in " ".join(
        begun.missing
    )
    twice = ["Chill for 1 hour.", "Roll out. Chill for 2 hours."]
    made = read_recipe(_sent({"@type": "Recipe", "recipeInstructions": twice})).demonstration
    assert [stage.called for stage in made.stages[1:]] == ["chilled", "chilled 2"]


def test_work_by_hand_before_a_wait_asks_for_hands() -> None:
    """What is mixed before it rests takes somebody, even if nobody says how long."""
    told = {
        "@type": "Recipe",
        "recipeInstructions": "1. Mix to a rough dough. Rest for 30 minutes.",
    }
    begun = read_recipe(_sent(told))
    mixing, resting = begun.demonstration.stages[1].ways[0].phases
    assert (mixing.does, mixing.hands, mixing.lasts_min) == ("Mix to a rough dough.", 1, 5)
    assert (resting.does, resting.hands, resting.lasts_min) == ("Rest for 30 minutes.", 0, 30)
    assert "“Mix to a rough dough.” tells no time; 5 min is a guess." in " ".join(begun.missing)


def test_odd_forms_are_read_and_what_is_none_is_listed() -> None:
    """ListItem, PropertyValue, HowTo, directions; tips, empty entries and a second recipe."""
    directions = [
        {"@type": "HowToDirection", "text": "Toast the barley for 6 minutes."},
        {"@type": "HowToTip", "text": "Do not let it catch."},
        {"@type": "HowToDirection"},
    ]
    broth = {
        "@type": "Recipe",
        "name": "Barley broth",
        "prepTime": "25 minutes",
        "supply": [{"@type": "HowToSupply", "name": "muslin"}, "twine"],
        "recipeIngredient": {
            "@type": "ItemList",
            "itemListElement": [
                {"@type": "ListItem", "item": "200 g pearl barley"},
                {"@type": "PropertyValue", "name": "smoked butter", "value": 30, "unitText": "g"},
                {"@type": "ListItem", "position": 3},
            ],
        },
        "recipeInstructions": {
            "@type": "HowTo",
            "step": [{"@type": "HowToStep", "name": "Toast", "itemListElement": directions}],
        },
    }
    begun = read_recipe(_sent({"@graph": [broth, {"@type": "Recipe", "name": "Rye crisps"}]}))
    scaled, toasted = begun.demonstration.stages
    told = [(each.name, each.amount, each.unit) for each in scaled.ingredients]
    assert told == [("pearl barley", 200, "g"), ("smoked butter", 30, "g")]
    assert [each.does for each in toasted.ways[0].phases] == ["Toast the barley for 6 minutes."]
    assert begun.unread == (
        "Another recipe, “Rye crisps”: bring it by itself.",
        "recipeIngredient: number 3 has no text.",
        "A tip and no step: “Do not let it catch.”.",
        "recipeInstructions: a step in the list has no text.",
        "supply: muslin; twine",
    )
    assert "The recipe says 25 min for preparation." in begun.missing


@pytest.mark.parametrize(
    "around",
    [
        lambda text: text,
        lambda text: f'<html><script type="application/ld+json">{text}</script><p>x</html>',
        lambda text: (
            f'<script>var a = "<b";</script><SCRIPT TYPE=application/ld+json>\n{text}\n</SCRIPT>'
        ),
        lambda text: f'{{"@graph": [{{"@type": "WebPage"}}, {text}]}}',
        lambda text: f"[[{text}]]",
        lambda text: (
            "\ufeff" + text.replace('"Recipe"', '["Article", "https://schema.org/Recipe"]')
        ),
    ],
)
def test_a_recipe_is_found_wherever_it_lies(around: Any) -> None:
    """Alone, in a page, in a graph, in lists, with a mark before it."""
    found = read_recipe(around(json.dumps(BUNS, ensure_ascii=False)).encode())
    assert len(found.demonstration.stages) == 4


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "it is empty"),
        (b"  \n", "it is empty"),
        (b"Mix and bake.", "holds no JSON-LD"),
        (b"<html><script type='text/javascript'>{}</script>", "holds no JSON-LD"),
        (b'{"@type": "Article"}', 'nothing in it says "@type": "Recipe"'),
        (b'{"@type": "Recipe"', "the text ends too soon"),
        (b'{"@type": "Recipe"}', "neither ingredients nor steps"),
        (b"[" * 5000, "brackets nest deeper"),
        (b'{"a":' * 5000 + b"1" + b"}" * 5000, "brackets nest deeper"),
        (b"x" * 5_000_000, "5.0 MB are too many"),
        (b"\xff\xfe\x00", "holds no JSON-LD"),
    ],
)
def test_what_is_no_recipe_is_refused_in_a_sentence(data: bytes, words: str) -> None:
    """Nothing that somebody pastes breaks the page."""
    with pytest.raises(Refused, match=words):
        read_recipe(data)


def test_a_recipe_without_end_is_cut_and_that_is_told() -> None:
    """Two hundred steps and ingredients are more than anybody films."""
    endless = {
        "@type": "Recipe",
        "recipeIngredient": [f"{n} g thing" for n in range(1, 50_000)],
        "recipeInstructions": [f"Stir for {n} minutes." for n in range(1, 50_000)],
    }
    begun = read_recipe(_sent(endless))
    assert len(begun.demonstration.stages[0].ingredients) == 200
    assert "49799 ingredients more than 200." in begun.unread
    assert faults_of(begun.demonstration) == []


@pytest.mark.parametrize(
    ("sentence", "minutes"),
    [
        ("Bake for 25 minutes.", [25]),
        ("Rest 1 hour 30 minutes", [90]),
        ("leave 1 h 20, covered", [80]),
        ("Simmer 2–3 hours", [180]),
        ("about 1 1/2 hours", [90]),
        ("half an hour", [30]),
        ("Stir every 5 minutes for 20 minutes", [20]),
        ("Dip for 45 seconds", [1]),
        ("Chill overnight", [600]),
        ("Cure for two days", [2880]),
        ("Prove for an hour and a half, slash", [90]),
        ("Hang two and a half hours", [150]),
        ("Smoke 1 hour and three quarters", [105]),
        ("Give it a 30-minute rest", [30]),
        ("a couple of hours; a twenty-minute soak", [120, 20]),
        ("Ferment for 1 week", [10080]),
        ("for 5 min, later 1 h", [5, 60]),
        ("Add 2 eggs and 100 ml milk", []),
        ("Boil 99999 days", []),
    ],
)
def test_times_in_sentences(sentence: str, minutes: list[int]) -> None:
    """Of a span the longer end: who waits too short swaps in what is not done."""
    assert [told.minutes for told in times_in(sentence)] == minutes


def test_durations_and_degrees() -> None:
    """ISO 8601 durations; °C goes before °F; 400 °F is 204 °C."""
    said = {"PT1H30M": 90, "P1D": 1440, "PT90S": 2, "PT0.5H": 30, "P2W": 20160}
    assert {text: duration_min(text) for text in said} == said
    assert [duration_min(text) for text in ("PT", "P", "", "90", "P1Y", "P999999D")] == [None] * 6
    assert degrees_c_in("at 400°F") == 204
    assert degrees_c_in("350F") == 177
    assert degrees_c_in("400°F (200°C)") == 200
    assert degrees_c_in("for 200 minutes") is None


@pytest.mark.parametrize(
    ("line", "amount", "unit", "name", "note"),
    [
        ("2-3 eggs", 3, "", "eggs", "2-3"),
        ("1 (400 g) tin tomatoes", 1, "tin", "tomatoes", "400 g"),
        ("a pinch of salt", 1, "pinch", "salt", ""),
        ("1 lb 4 oz flour", 1.25, "lb", "flour", ""),
        ("250g/9oz plain flour", 250, "g", "plain flour", "9oz"),
        ("½ lemon", 0.5, "", "lemon", ""),
        ("2,5 dl milk", 2.5, "dl", "milk", ""),
        ("zest of 1 lemon", None, "", "zest of 1 lemon", ""),
        ("pinch of saffron", 1, "pinch", "saffron", ""),
        ("head cheese", None, "", "head cheese", ""),
        ("1/0 cup x", None, "", "1/0 cup x", ""),
        ("99999999999 g x", None, "", "99999999999 g x", ""),
    ],
)
def test_lines_of_ingredients(
    line: str, amount: float | None, unit: str, name: str, note: str
) -> None:
    """Amount, measure, name, and what was said beside them."""
    read = ingredient_of(line)
    assert (read.amount, read.unit, read.name, read.note) == (amount, unit, name, note)


@pytest.mark.parametrize(
    ("lines", "amount"), [(["1,250 g flour"], 1250), (["1,250 kg flour", "2,5 dl milk"], 1.25)]
)
def test_a_comma_is_that_of_thousands_or_of_decimals(lines: list[str], amount: float) -> None:
    """As the other lines of the recipe have it."""
    begun = read_recipe(_sent({"@type": "Recipe", "recipeIngredient": lines}))
    assert begun.demonstration.stages[0].ingredients[0].amount == amount


TEXTS = st.one_of(
    st.text(max_size=40),
    st.sampled_from(["Bake 20 min at 400 °F", "Chill overnight", "1 cup x", "PT5M", "<p>a<br>b"]),
)
VALUES = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | TEXTS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["@type", "text", "name", "itemListElement", "step", "item", "value"]),
            inner | st.sampled_from(["HowToSection", "HowToTip", "ItemList", "ListItem"]),
            max_size=3,
        )
    ),
    max_leaves=12,
)


@settings(max_examples=300, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from([*BUNS, "cookTime", "tool", "yield", "step", "ingredients"]), VALUES
    )
)
def test_whatever_a_recipe_holds_it_is_read_or_refused(told: dict[str, Any]) -> None:
    """And what is read of it could be planned in a kitchen that has what it uses."""
    try:
        begun = read_recipe(_sent(told | {"@type": "Recipe"}))
    except Refused:
        return
    assert faults_of(begun.demonstration) == []
