"""What is still missing before the first plan is told on every screen that leads to it."""

from fastapi.testclient import TestClient

from app.planning.day import Day, Phase, PhaseEquipment, Way
from app.web.to_plan import steps_to_plan
from tests.live import stored


def _missing(day: Day) -> list[str]:
    return [step.missing for step in steps_to_plan(day)]


def test_each_step_names_what_it_lacks(knots_day: Day) -> None:
    """From nothing to all that a plan needs."""
    bare = Day(title="x", kind="broadcast", timezone="Europe/Lisbon", prep_from="2027-03-04T07:00")
    assert _missing(bare) == [
        "what is shown, and in which stages",
        "who preps, and in what",
        "no run yet: when it is shown",
    ]
    assert _missing(knots_day) == ["", "", ""]
    shown = knots_day.demonstrations[0]
    stages = tuple(each.model_copy(update={"ways": ()}) for each in shown.stages)
    built = {
        "Cardamom knots has no stages yet": shown.model_copy(update={"stages": (), "beats": ()}),
        "no way yet to get scaled, rested and baked": shown.model_copy(update={"stages": stages}),
        "Cardamom knots has no beats yet": shown.model_copy(update={"beats": ()}),
    }
    for words, each in built.items():
        day = knots_day.model_copy(update={"demonstrations": (each,)})
        assert _missing(day)[0] == words
    other = shown.model_copy(update={"id": "other", "title": "Plum buns", "stages": stages})
    both = knots_day.model_copy(update={"demonstrations": (shown, other)})
    assert _missing(both)[0] == "Plum buns: no way yet to get scaled, rested and baked"
    empty = knots_day.model_copy(
        update={"kitchen": knots_day.kitchen.model_copy(update={"equipment": (), "crew": ()})}
    )
    assert _missing(empty)[1] == "nobody at work, no mixer and no oven"
    held = tuple(
        PhaseEquipment(kind=kind, per_batch=1) for kind in ("oven", "hob", "fryer", "grill")
    )
    way = Way(id="all", phases=(Phase(lasts_min=5, equipment=held),))
    hot = shown.model_copy(update={"stages": (stages[0].model_copy(update={"ways": (way,)}),)})
    day = empty.model_copy(update={"demonstrations": (hot,)})
    assert _missing(day)[1] == "no fryer, no grill, no hob and 1 more"


def test_a_way_that_cannot_be_gone_stands_in_the_way_of_nothing(
    client: TestClient, knots_day: Day
) -> None:
    """A proving cabinet may come; the dough rests in the room as long as there is none."""
    shown = knots_day.demonstrations[0]
    steam = PhaseEquipment(kind="cabinet", per_batch=1)
    quick = Way(id="quick", phases=(Phase(lasts_min=20, equipment=(steam,)),))
    rested = shown.stage("rested")
    both = rested.model_copy(update={"ways": (*rested.ways, quick)})
    stages = tuple(both if each.id == "rested" else each for each in shown.stages)
    day = knots_day.model_copy(
        update={"demonstrations": (shown.model_copy(update={"stages": stages}),)}
    )
    assert _missing(day) == ["", "", ""]
    count = client.get(f"/productions/{stored(day, None)}/count").text
    assert "Work out the plan" in count
    alone = tuple(
        each.model_copy(update={"ways": (quick,)}) if each.id == "rested" else each
        for each in shown.stages
    )
    day = knots_day.model_copy(
        update={"demonstrations": (shown.model_copy(update={"stages": alone}),)}
    )
    assert _missing(day)[1] == "no cabinet"


def test_the_way_is_shown_until_there_is_a_plan(
    client: TestClient, production: int, knots_day: Day
) -> None:
    """A count without runs names the rundown instead of a button; with a plan all that is gone."""
    bare = knots_day.model_copy(update={"runs": ()})
    other = stored(bare, None)
    count = client.get(f"/productions/{other}/count").text
    assert "no run yet: when it is shown" in count
    assert "Work out the plan" not in count
    for screen in ("rundown", "kitchen", "demonstrations", "demonstrations/knots"):
        assert "Before there can be a plan" in client.get(f"/productions/{other}/{screen}").text
        assert "to-plan" not in client.get(f"/productions/{production}/{screen}").text
    whole = stored(knots_day, None)
    count = client.get(f"/productions/{whole}/count").text
    assert "Work out the plan" in count
    assert "Before there can be a plan" not in count


def test_an_empty_kitchen_is_told_once(client: TestClient, knots_day: Day) -> None:
    """Not at every stage that could not be made in it; with one item, at each again."""
    bare = knots_day.kitchen.model_copy(update={"equipment": (), "crew": ()})
    one = knots_day.kitchen.model_copy(update={"crew": ()})
    kitchens = [knots_day.model_copy(update={"kitchen": each}) for each in (bare, one)]
    ids = [stored(day, None) for day in kitchens]
    empty, begun = (client.get(f"/productions/{id}/demonstrations/knots").text for id in ids)
    assert "1 thing to mend" in empty
    assert "It is empty yet, and 4 stages can&#39;t be made in it." in empty
    assert "can ever run" not in empty
    assert "takes 1 person and there is nobody in the crew" in begun
