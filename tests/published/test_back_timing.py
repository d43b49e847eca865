"""Back-timing: what is wanted at a time tells when everything before it begins."""

from app.planning.audit import audit
from app.planning.minutes import Clock
from app.planning.solve import solve
from tests.published.short_days import beat, begun, short_day, step, steps


def test_a_meal_for_seven() -> None:
    """Tests a roast of four hours, an oven that heats half an hour, potatoes, and their water.

    Source: a broadcast-news tutorial on back-timing (schoolvideonews): 14:30 oven on, 15:00 in,
    18:30 water, 18:40 potatoes.
    """
    oven = {"kind": "oven", "per_batch": 1, "setting": 170}
    stages = [
        step("roast", {"lasts_min": 240, "equipment": [oven]}),
        step("water", {"lasts_min": 10}),
        step("potatoes", {"lasts_min": 20}, takes="water"),
    ]
    table = beat("table", [{"stage": "roast"}, {"stage": "potatoes"}])
    item = {"id": "oven", "kind": "oven", "settings": {"change_min": 30}}
    day = short_day(
        stages, [table], "2027-03-04T19:00", "2027-03-04T08:00", equipment=[item]
    )  # fmt: skip
    plan = solve(day)
    assert begun(day, plan) == {"roast": "15:00", "water": "18:30", "potatoes": "18:40"}
    assert [heat.starts[11:] for heat in plan.heats] == ["14:30"]
    assert audit(day, plan) == []


def test_the_last_item_of_a_programme() -> None:
    """Tests a three-minute item that ends a programme of thirty minutes: it rolls at 27:00.

    Source: a dictionary of broadcasting terms, under back-timing.
    """
    day = short_day(
        steps(("item", 3)), [beat("end", [{"stage": "item"}])],
        "2027-03-04T20:30", "2027-03-04T20:00",
    )  # fmt: skip
    assert begun(day, solve(day)) == {"item": "20:27"}


def test_bread_out_of_the_oven_at_noon() -> None:
    """Tests a bread schedule with every span at its longest: the yeast is set at 07:32.

    Source: TM 10-412, Armed Forces Recipe Service, card D-1: oven 40, proof 60, bench rest 10,
    rest 15, ferment 120, mix 18, yeast 5.
    """
    stages = steps(
        ("yeast", 5), ("mixed", 18), ("fermented", 120), ("rested", 15), ("bench-rested", 10),
        ("proofed", 60), ("baked", 40),
    )  # fmt: skip
    day = short_day(
        stages, [beat("out", [{"stage": "baked"}])], "2027-03-04T12:00", "2027-03-04T04:00"
    )  # fmt: skip
    plan = solve(day)
    assert begun(day, plan) == {
        "yeast": "07:32", "mixed": "07:37", "fermented": "07:55", "rested": "09:55",
        "bench-rested": "10:10", "proofed": "10:20", "baked": "11:20",
    }  # fmt: skip
    clock = Clock(day.timezone)
    assert clock.minute("2027-03-04T12:00") - clock.minute(plan.batches[0].starts) == 268
