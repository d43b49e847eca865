"""Somebody's own spreadsheet: what its columns are guessed to mean, and what its rows become."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange.breakdown import Breakdown, read_breakdown
from app.exchange.meanings import KEYS, guessed, head_row, heads_of, unit_min
from app.exchange.sheets import Cell, Sheet
from tests.exchange.beginnings import faults_of

HEADS = (
    "Dish", "Stage", "What to do", "Minutes", "Hands", "Equipment", "Oven temp", "Keeps (h)",
    "Waits", "Ingredient", "Qty", "Unit", "Allergens", "Loss",
)  # fmt: skip
ROWS: tuple[tuple[Cell, ...], ...] = (
    ("Fig tart", "scaled", "weigh", 5, 1, None, None, 24, "rack", "flour", 250, "g", "wheat"),
    (None, None, None, None, None, None, None, None, None, "butter", "125 g", None, "milk"),
    (None, "lined", "roll and line", "20 min", 1, None, None, 4, "fridge", None, None, None, None),
    ("", "baked", "bake", "0:35", 0, "oven", "350 °F", "2", None, None, None, None, None, "5 %"),
    ("Broth", "simmered", "simmer", "4 hours", 0, "hob", None, None, "hot", "3 kg bones"),
)


def _read(*rows: tuple[Cell, ...], heads: tuple[str, ...] = HEADS) -> Breakdown:
    sheet = Sheet("Breakdown", (heads, *rows))
    return read_breakdown(sheet, 0, guessed(heads), "Untitled")


def test_columns_are_guessed_by_their_names() -> None:
    """Whoever wrote them meant something; what they meant can still be chosen by hand."""
    assert list(guessed(HEADS).values()) == [
        "demonstration", "stage", "does", "lasts", "hands", "kind", "setting", "keeps", "zone",
        "ingredient", "amount", "unit", "contains", "loss",
    ]  # fmt: skip
    assert guessed(("", None, "Colour", 7)) == {}
    assert guessed(("Prep time", "Time")) == {1: "lasts"}
    assert [unit_min(head) for head in ("Keeps (h)", "Keeps, days", "Keeps", None)] == [
        60,
        1440,
        1,
        1,
    ]


def test_the_row_with_the_names_is_found_below_a_title() -> None:
    """Spreadsheets begin with a title, a date, an empty line."""
    sheet = Sheet("S", (("Autumn special",), (), ("Dish", "Stage", "Minutes"), ("Tart", "a", 5)))
    assert head_row(sheet) == 2
    assert head_row(Sheet("S", ())) == 0


def test_names_in_two_rows_are_read_with_those_above() -> None:
    """Cells merged over two rows, below others that are merged over several columns."""
    above = ("Keeps (h)", "Prep", None, None, "Ingredients", None)
    heads = (None, "Stage", "Step", "Mins", "Qty", "Product")
    sheet = Sheet("S", (above, heads, (2, "lined", "line the tin", 12, "0.5 kg", "leeks")))
    assert head_row(sheet) == 1
    names = heads_of(sheet, 1)
    assert names == ("Keeps (h)", *heads[1:])
    (begun,) = read_breakdown(sheet, 1, guessed(names), "Pie").beginnings
    assert begun.demonstration.stages[0].keeps_min == 120


def test_rows_become_demonstrations_with_stages_in_a_row() -> None:
    """An empty cell means the same as above; each stage is made from the one before it."""
    tart, broth = (each.demonstration for each in _read(*ROWS).beginnings)
    assert (tart.id, tart.title) == ("fig-tart", "Fig tart")
    scaled, lined, baked = tart.stages
    assert [each.takes[0].stage for each in (lined, baked)] == ["scaled", "lined"]
    assert (scaled.keeps_min, lined.keeps_min, baked.keeps_min) == (1440, 240, 120)
    assert (scaled.zone, lined.zone, broth.stages[0].zone) == ("ambient", "chill", "hot")
    assert [(each.name, each.amount, each.unit, each.contains) for each in scaled.ingredients] == [
        ("flour", 250, "g", ("wheat",)),
        ("butter", 125, "g", ("milk",)),
    ]
    (bake,) = baked.ways[0].phases
    assert (bake.lasts_min, bake.hands, bake.does, baked.loss) == (35, 0, "bake", 0.05)
    assert (bake.equipment[0].kind, bake.equipment[0].setting) == ("oven", 177)
    (bones,) = broth.stages[0].ingredients
    assert (bones.name, bones.amount, bones.unit) == ("bones", 3, "kg")
    assert faults_of(tart, broth) == []


def test_what_is_missing_or_cannot_be_read_is_told_by_its_row() -> None:
    """The sentence has the number that the row has in the spreadsheet."""
    read = _read(*ROWS[:1], ("Tart 2", "a", "mix", "soon", 1.5, None, "hot", "ever", "attic"))
    assert read.unread == (
        "Row 3: “ever” is no length of time.",
        "Row 3: “attic” is none of ambient, chill, frozen, hot, proof.",
        "Row 3: “soon” is no length of time.",
        "Row 3: “hot” is no number of degrees.",
        "Row 3: “1.5” is no whole number from 0 to 100.",
    )
    assert "a: 60 min is a guess at how long it keeps." in read.beginnings[1].missing


def test_several_ways_into_one_stage() -> None:
    """A column names the way; rows of one way are its phases."""
    heads = ("Stage", "Way", "Step", "Time")
    rows = [
        ("mixed", "mixer", "load", 2),
        ("mixed", "mixer", "knead", 10),
        ("mixed", "hand", "x", 20),
    ]
    read = _read(*rows, heads=heads)
    (stage,) = read.beginnings[0].demonstration.stages
    assert read.beginnings[0].demonstration.title == "Untitled"
    assert [(way.id, way.length_min(1)) for way in stage.ways] == [("mixer", 12), ("hand", 20)]


def test_the_heat_of_an_oven_may_stand_beside_its_name() -> None:
    """Cells as people write them: the degrees are the setting, and the kind stays a kind."""
    heads = ("Stage", "Step", "Time", "Equipment")
    said = ("oven at 400 °F", "deck oven, 200 C", "oven 180°C", "mixer")
    read = _read(*[("baked", "bake", 5, each) for each in said], heads=heads)
    phases = read.beginnings[0].demonstration.stages[0].ways[0].phases
    held = [(each.equipment[0].kind, each.equipment[0].setting) for each in phases]
    assert held == [("oven", 204), ("deck oven", 200), ("oven", 180), ("mixer", None)]


def test_a_bare_number_beside_an_oven_is_its_heat_and_one_beside_a_mixer_is_not() -> None:
    """*Oven 190* is an oven at 190; *Mixer 2* is the second mixer."""
    heads = ("Stage", "Step", "Time", "Equipment")
    rows = [("a", "x", 5, each) for each in ("Oven 190", "Mixer 2", "oven 1200")]
    (begun,) = _read(*rows, heads=heads).beginnings
    held = [each.equipment[0] for each in begun.demonstration.stages[0].ways[0].phases]
    told = [(each.kind, each.setting) for each in held]
    assert told == [("Oven", 190), ("Mixer 2", None), ("oven 1200", None)]


def test_separators_of_thousands_are_told_from_those_of_decimals() -> None:
    """By what else stands in the spreadsheet: a comma before two digits can only be decimals."""
    heads = ("Dish", "Stage", "Step", "Time", "Keeps (Std.)", "Qty", "Unit", "Ingredient", "Cost")
    mine = ("Soup", "boiled", "boil", "ca. 40", "1,5", "1.250,5", "g", "flour", "1,20")
    more = (None, None, None, None, None, "1.250", "g", "rye", None)
    stages = [
        _read(*rows, heads=heads).beginnings[0].demonstration.stages[0]
        for rows in ((mine, more), (("Soup", "a", "b", "10-12", "2", "1,250", "g", "x", "1.20"),))
    ]
    assert [each.amount for each in stages[0].ingredients] == [1250.5, 1250]
    assert (stages[0].keeps_min, stages[0].cost) == (90, 1.2)
    assert stages[0].ways[0].phases[0].lasts_min == 40
    assert [each.amount for each in stages[1].ingredients] == [1250]
    assert stages[1].ways[0].phases[0].lasts_min == 12


def test_a_night_is_told_to_be_a_guess() -> None:
    """Ten hours, since nobody says how long."""
    read = _read(("Stew", "set", "wait", "overnight"), heads=("Dish", "Stage", "Step", "Time"))
    assert read.unread == ("Row 2: “overnight” was taken for 10 h.",)


def test_no_more_is_read_than_a_production_holds() -> None:
    """Two hundred demonstrations; the rest is listed."""
    rows = [(f"Dish {n}", "made", "make", 5) for n in range(203)]
    read = _read(*rows)
    assert len(read.beginnings) == 200
    assert len(read.unread) == 3


CELLS: Any = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 10**8), st.floats(), st.text(max_size=8),
    st.sampled_from(["1:20", "5 %", "400 °F", "2 days", "[", '"a"', "chill", "1 1/2", "nan", "=1"]),
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.lists(CELLS, max_size=8).map(tuple), max_size=6),
    st.dictionaries(st.integers(0, 9), st.sampled_from([*sorted(KEYS), ""]), max_size=8),
)
def test_whatever_stands_in_the_cells_makes_demonstrations_that_could_be(
    rows: list[tuple[Cell, ...]], meanings: dict[int, str]
) -> None:
    """Nothing breaks, and what is read has no fault but what the kitchen lacks."""
    read = read_breakdown(Sheet("S", tuple(rows)), 0, meanings, "Untitled")
    assert faults_of(*(each.demonstration for each in read.beginnings)) == []
