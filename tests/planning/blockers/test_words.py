"""What stands in the way is told in the words of the trade, with the day's own names."""

import json
from pathlib import Path

import pytest

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.blockers.words import Wording
from app.planning.day import Day
from app.planning.plan import Plan
from app.web.advice import advice_on

GOLDEN = Path(__file__).parents[2] / "golden"

KNOTS = [
    (Fact("run", ("knots-take-2",)), "Cardamom knots, knots-take-2 starts at 15:30"),
    (
        Fact("need", ("knots-take-2", "reveal", "baked")),
        "reveal of knots-take-2 needs 6 baked and 6 backups, not yet on camera",
    ),
    (Fact("keeps", ("knots", "baked")), "Cardamom knots, baked keeps 4 h"),
    (
        Fact("way", ("knots", "baked", "deck")),
        "Cardamom knots, baked (deck) takes 19 min, oven at 200 °C",
    ),
    (
        Fact("way", ("knots", "scaled", "scale")),
        "Cardamom knots, scaled (scale) takes 4 min and 3 min a copy",
    ),
    (Fact("equipment", ("deck-oven",), "units"), "deck-oven has 2 units"),
    (Fact("equipment", ("deck-oven",), "settings"), "deck-oven has one setting at a time"),
    (
        Fact("equipment", ("deck-oven",), "change"),
        "bringing deck-oven to another setting takes 15 min",
    ),
    (Fact("crew", ("cook-1",), "shifts"), "cook-1 works 07:00 to 17:00"),
    (Fact("crew", ("cook-1",), "hands"), "cook-1 does one thing at a time"),
    (Fact("crew", ("cook-1",), "skills"), "cook-1 has no skill but pastry"),
    (Fact("shelf", ("rack-1",)), "rack-1 (ambient) has 16 slots"),
    (Fact("prep_from", ()), "prep starts at 07:00"),
    (Fact("policy", ("ready_margin_min",)), "copies stand ready 10 min before a use"),
    (Fact("policy", ("return_min",)), "what a beat leaves is back after 5 min"),
    (Fact("policy", ("confidence",)), "losses are made up for with 95% confidence"),
]


@pytest.mark.parametrize(("fact", "words"), KNOTS, ids=lambda each: getattr(each, "kind", ""))
def test_each_fact_reads_as_a_clause(knots_day: Day, fact: Fact, words: str) -> None:
    """Tests every kind of fact of one day."""
    assert Wording(knots_day, backups=True).fact(fact) == words


def test_backups_are_left_out_where_copies_lack(knots_day: Day) -> None:
    """A missing backup never stands in the way of a copy."""
    fact = Fact("need", ("knots-take-2", "reveal", "baked"))
    said = Wording(knots_day, backups=False).fact(fact)
    assert said == "reveal of knots-take-2 needs 6 baked, not yet on camera"


def test_times_bear_their_day_where_there_are_several(knots_day: Day) -> None:
    """The prep starts the day before: every time says which day it is on."""
    day = knots_day.model_copy(update={"prep_from": "2027-03-03T07:00"})
    said = Wording(day, backups=False).fact(Fact("run", ("knots-take-2",)))
    assert said == "Cardamom knots, knots-take-2 starts at Thu 15:30"


def test_a_shift_within_one_day_says_its_day_once(knots_day: Day) -> None:
    """Over midnight both days are told."""
    day = knots_day.model_copy(update={"prep_from": "2027-03-03T07:00"})
    wording = Wording(day, backups=False)
    assert wording.between(("2027-03-04T07:00", "2027-03-04T15:00")) == "Thu 07:00 to 15:00"
    over = wording.between(("2027-03-03T22:00", "2027-03-04T06:00"))
    assert over == "Wed 22:00 to Thu 06:00"


def test_what_no_kitchen_can_do_is_said_plainly(knots_day: Day) -> None:
    """Tests the sentence over the facts, by what they are."""
    wording = Wording(knots_day, backups=False)
    run, prep = Fact("run", ("knots-take-1",)), Fact("prep_from", ())
    keeps = Fact("keeps", ("knots", "tied"))
    heads = [
        (Clash((run, prep), anyway=True), "No kitchen can do this: it needs more time than"),
        (Clash((run, keeps), anyway=True), "No kitchen can do this, however many hands"),
        (Clash((keeps,), anyway=True), "This cannot be done at any time, in any kitchen"),
        (Clash((run, keeps), anyway=False), "These cannot hold together"),
    ]
    for clash, head in heads:
        assert wording.blocker(clash).words.startswith(head)


def test_a_blocker_keeps_kinds_and_ids_beside_the_words(knots_day: Day) -> None:
    """A screen can lead to each fact."""
    clash = Clash((Fact("equipment", ("deck-oven",), "units"),), anyway=False)
    (fact,) = Wording(knots_day, backups=False).blocker(clash).facts
    assert (fact.kind, fact.ids) == ("equipment", ("deck-oven",))


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (1, "together, and another need cannot be met for the same reason: deck-oven has"),
        (3, "together, and 3 other needs cannot be met for the same reason: deck-oven has"),
    ],
)
def test_how_many_needs_have_the_same_cause_is_said(knots_day: Day, count: int, words: str) -> None:
    """The needs themselves are told beside the plan, as what lacks."""
    also = tuple(Fact("need", ("knots-take-2", "reveal", f"baked-{i}")) for i in range(count))
    clash = Clash((Fact("equipment", ("deck-oven",), "units"),), anyway=False, also=also)
    assert words in Wording(knots_day, backups=False).blocker(clash).words


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ((Fact("shelf", ("rack-1",)),), "with the same shelf: "),
        ((Fact("crew", ("cook-1",), "shifts"),), "with the same crew: "),
        (
            (Fact("equipment", ("deck-oven",), "units"), Fact("crew", ("cook-1",), "hands")),
            "with the same crew and equipment: ",
        ),
    ],
)
def test_how_many_needs_want_the_same_of_the_kitchen_is_said(
    knots_day: Day, facts: tuple[Fact, ...], words: str
) -> None:
    """They come to it by steps of their own."""
    akin = tuple(Fact("need", ("knots-take-2", "reveal", f"baked-{i}")) for i in range(2))
    said = Wording(knots_day, False).blocker(Clash(facts, anyway=False, akin=akin)).words
    assert f", and 2 more needs cannot be met {words}" in said


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (1, ", and one need more would have what that beat leaves: reveal of"),
        (2, ", and 2 needs more would have what that beat leaves: reveal of"),
    ],
)
def test_how_many_needs_hang_on_others_is_said(knots_day: Day, count: int, words: str) -> None:
    """A beat that lacks its copies leaves nothing."""
    hanging = tuple(Fact("need", ("knots-take-2", "reveal", f"baked-{i}")) for i in range(count))
    needed = Fact("need", ("knots-take-1", "reveal", "baked"))
    clash = Clash((needed,), anyway=False, hanging=hanging)
    assert words in Wording(knots_day, backups=False).blocker(clash).words


def test_long_lengths_are_told_as_on_every_screen(knots_day: Day) -> None:
    """Hours and minutes, not hundreds of minutes."""
    policy = knots_day.policy.model_copy(update={"ready_margin_min": 645})
    day = knots_day.model_copy(update={"policy": policy})
    said = Wording(day, False).fact(Fact("policy", ("ready_margin_min",)))
    assert said == "copies stand ready 10 h 45 before a use"


def test_degrees_are_told_as_the_house_reads_them(knots_day: Day) -> None:
    """Also of a plan that was worked out before the house chose."""
    way = Fact("way", ("knots", "baked", "deck"))
    celsius, fahrenheit = (Wording(knots_day, True, each).fact(way) for each in (False, True))
    assert celsius.endswith("oven at 200 °C")
    assert fahrenheit.endswith("oven at 390 °F (200 °C)")
    blocker = Wording(knots_day, True).blocker(Clash((way,), anyway=True))
    lacking = Plan.model_validate(
        {**json.loads((GOLDEN / "knots.plan.json").read_text("utf-8")), "blockers": [blocker]}
    )
    told = advice_on(lacking, Wording(knots_day, False, True))
    assert told is not None
    assert told.clashes[0].facts == (fahrenheit,)
    assert told.clashes[0].says == blocker.words.removesuffix(f": {celsius}.")
