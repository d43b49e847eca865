"""The clocks of copies against the published rules, a row of the table of food safety each.

Sources: FDA Food Code 3-401.14, 3-403.11, 3-501.14, 3-501.16, 3-501.17, 3-501.19 (read in state
texts that keep its numbering), SI 2013/2996 and sister texts, a USDA statement.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.food.clocks import DAY_MIN, Verdict, label_times, verdict
from app.food.held import Held, Place, Reading, Spell
from app.food.keeping import heats, kept, mixed
from app.food.limits import House, limits

US = House(limits("us"))
UK = House(limits("uk"))
HOME = House(limits("home"))
MONDAY = 10 * DAY_MIN
NINE = MONDAY + 9 * 60


def f(fahrenheit: float) -> float:
    """Return degrees Celsius."""
    return (fahrenheit - 32) / 1.8


def day_end(minute: int, days: int) -> int:
    """Return the last minute of the day so many days later, where days begin at multiples."""
    return (minute // DAY_MIN + days + 1) * DAY_MIN - 1


def told(
    places: list[tuple[int, Place]],
    readings: list[tuple[int, float]] = (),  # type: ignore[assignment]
    house: House = US,
    held: Held | None = None,
    *,
    is_raw: bool = False,
) -> Verdict:
    """Return the verdict of a copy that comes to places at minutes after nine, and stays there."""
    starts = [NINE + minute for minute, _ in places]
    spells = [
        Spell(start, end, place)
        for start, end, (_, place) in zip(starts, [*starts[1:], None], places, strict=True)
    ]
    read = [Reading(NINE + minute, celsius) for minute, celsius in readings]
    now = kept(held or Held(), spells, read, house)
    return verdict(now, places[-1][1], house, is_raw=is_raw, day_end=day_end)


COOKED: list[tuple[int, Place]] = [(-60, "heat"), (0, "out"), (20, "chill")]


def test_cooked_food_cools_in_two_steps() -> None:
    """3-501.14: 135 to 70 °F in 2 h, and to 41 °F in 6 h in all; counted from leaving the heat."""
    dues = told(COOKED).dues
    assert [(round(due.celsius), due.by - NINE) for due in dues] == [(21, 120), (5, 360)]


def test_the_first_step_is_done_once_it_was_measured() -> None:
    dues = told(COOKED, [(110, f(70))]).dues
    assert [(round(due.celsius), due.by - NINE) for due in dues] == [(5, 360)]


@pytest.mark.parametrize(
    ("readings", "limit"),
    [
        ([(121, f(71))], "cool_middle_min"),
        ([(100, f(70)), (361, f(42))], "cool_whole_min"),
    ],
)
def test_what_cools_too_slowly_is_not_for_eating(
    readings: list[tuple[int, float]], limit: str
) -> None:
    """3-501.14; one degree or one minute too many."""
    failed = told(COOKED, readings).failed
    assert failed is not None
    assert failed.limit == limit


@pytest.mark.parametrize("readings", [[(120, f(71))], [(120, f(70)), (360, f(41))]])
def test_what_cools_in_time_may_be_eaten(readings: list[tuple[int, float]]) -> None:
    """At two hours on the dot there is still hope; at the limit it is kept."""
    assert told(COOKED, readings).failed is None


def test_cooling_counts_from_the_last_time_that_it_was_hot() -> None:
    """Measured at 135 °F after half an hour: the two hours begin there."""
    dues = told([(-60, "heat"), (0, "out"), (40, "chill")], [(30, f(135))]).dues
    assert [due.by - NINE for due in dues] == [150, 390]


def test_food_of_ambient_ingredients_is_cold_in_four_hours() -> None:
    """3-501.14 (B)."""
    dues = told([(0, "out"), (30, "chill")]).dues
    assert [(round(due.celsius), due.by - NINE) for due in dues] == [(5, 240)]
    failed = told([(0, "out"), (30, "chill")], [(241, f(42))]).failed
    assert failed is not None
    assert failed.limit == "cool_ambient_min"


def test_a_chill_that_comes_too_late_does_not_stop_the_clock() -> None:
    """Out of the oven for more than two hours: 21 °C was not reached; time is the control."""
    late = told([(-60, "heat"), (0, "out"), (121, "chill")])
    assert (late.limit, late.until) == ("out_hot_min", NINE + 240)


def test_cold_food_that_was_measured_warm_has_four_hours_from_when_it_was_last_cold() -> None:
    """3-501.16 and 3-501.19 (B): at most 41 °F; out of it time is the control."""
    fridge = Held(control="cold", good_at=NINE, made_at=NINE)
    assert told([(0, "chill")], [(60, f(41))], held=fridge).limit == "date_mark_days"
    warm = told([(0, "chill")], [(60, f(41)), (90, f(42))], held=fridge)
    assert (warm.limit, warm.until) == ("out_cold_min", NINE + 60 + 240)


def test_hot_food_that_was_measured_too_cool_has_four_hours() -> None:
    """3-501.16 and 3-501.19 (B): at least 135 °F."""
    hot: list[tuple[int, Place]] = [(-30, "heat"), (0, "hot")]
    assert told(hot, [(60, f(135))]).until is None
    cool = told(hot, [(60, f(135)), (90, f(134))])
    assert (cool.limit, cool.until) == ("out_hot_min", NINE + 60 + 240)


def test_food_heated_up_again_in_time_is_under_control() -> None:
    """3-403.11: 165 °F within 2 h; 160 °F is not enough, nor three hours."""
    hot: list[tuple[int, Place]] = [(-30, "heat"), (0, "hot")]
    assert told(hot, [(30, f(130)), (100, f(165))]).until is None
    assert told(hot, [(30, f(130)), (100, f(160))]).until == NINE + 240
    assert told(hot, [(30, f(130)), (180, f(165))]).until == NINE + 240


def test_time_as_control_has_one_time_on_the_label() -> None:
    """3-501.19 (B): four hours from leaving the cold."""
    out = told([(-600, "chill"), (0, "out")], held=Held(control="cold", good_at=NINE - 600))
    assert label_times(out) == (NINE + 240,)


def test_the_long_time_has_two_times_on_the_label() -> None:
    """3-501.19 (C): six hours from 41 °F, if it never gets over 70 °F; both times on the label."""
    fridge = Held(control="cold", good_at=NINE - 600, made_at=NINE - 600)
    places: list[tuple[int, Place]] = [(-600, "chill"), (0, "out")]
    cool = told(places, [(-5, f(41)), (60, f(70))], held=fridge)
    assert label_times(cool) == (NINE, NINE + 360)
    warm = told(places, [(-5, f(41)), (60, f(71))], held=fridge)
    assert label_times(warm) == (NINE + 240,)
    nobody_knows = told(places, [(60, f(60))], held=fridge)
    assert label_times(nobody_knows) == (NINE + 240,)


def test_the_chill_does_not_give_back_time_that_is_over() -> None:
    """3-501.19: out since nine, back at half past one."""
    fridge = Held(control="cold", good_at=NINE, made_at=NINE)
    late = told([(0, "out"), (270, "chill")], held=fridge)
    assert (late.limit, late.until) == ("out_cold_min", NINE + 240)


def test_made_on_monday_is_last_eaten_on_sunday() -> None:
    """3-501.17: seven days, the day on which it is made is day 1."""
    made = told([(0, "out"), (30, "chill")], [(200, f(41))])
    assert made.limit == "date_mark_days"
    assert made.until == MONDAY + 7 * DAY_MIN - 1


def test_days_in_the_freezer_do_not_count() -> None:
    """3-501.17: three days frozen, three days later."""
    frozen = told([(0, "out"), (30, "frozen"), (30 + 3 * DAY_MIN, "chill")])
    assert frozen.until == MONDAY + 10 * DAY_MIN - 1
    assert told([(0, "out"), (30, "frozen")]).until is None


def test_a_mix_keeps_the_earliest_date() -> None:
    """3-501.17 (D)."""
    old = Held(control="cold", good_at=NINE, made_at=NINE - 2 * DAY_MIN)
    new = Held(control="cold", good_at=NINE, made_at=NINE)
    assert mixed([new, old, Held()], NINE).made_at == NINE - 2 * DAY_MIN


def test_hot_and_cold_put_together_are_neither() -> None:
    hot, cold = Held(control="heat", good_at=NINE), Held(control="cold", good_at=NINE)
    assert mixed([hot, cold], NINE + 5).since == NINE + 5
    assert mixed([hot, hot], NINE + 5).control == "heat"


def test_a_mix_is_as_long_out_as_its_longest_part() -> None:
    parts = [Held(since=NINE), Held(since=NINE - 50, was_hot=True), Held()]
    assert mixed(parts, NINE + 5).since == NINE - 50


def test_cooking_makes_a_new_date_and_no_failure_good() -> None:
    """Heat does not undo what grew (common practice)."""
    assert told([(-3 * DAY_MIN, "chill"), (0, "heat"), (30, "chill")]).until == day_end(MONDAY, 6)
    spoilt = told([*COOKED, (600, "heat"), (630, "hot")], [(300, f(80))])
    assert spoilt.failed is not None


RAW_HALF: list[tuple[int, Place]] = [(0, "heat"), (45, "chill")]


def part_cooked(minutes: int, house: House) -> Held:
    """Return raw meat that was heated for some minutes and stayed raw, then chilled."""
    spells = [Spell(NINE, NINE + minutes, "heat"), Spell(NINE + minutes, NINE + 300, "chill")]
    return kept(Held(), spells, [], house, is_raw=True)


def test_part_cooked_raw_food_is_not_for_eating() -> None:
    """3-401.14: neither as it is, nor finished, unless the procedure is approved."""
    half = part_cooked(45, US)
    assert verdict(half, "chill", US, is_raw=True, day_end=day_end).is_raw_food == "part-cooked"
    finished: list[tuple[int, Place]] = [(300, "heat"), (340, "hot")]
    assert told(finished, held=half).is_raw_food == "part-cooked"
    approved = replace(US, has_part_cooking=True)
    assert told(finished, held=half, house=approved).is_raw_food == ""


def test_a_first_heat_of_more_than_an_hour_is_never_approved() -> None:
    """3-401.14: the first heat takes 60 minutes at most."""
    approved = replace(US, has_part_cooking=True)
    finished: list[tuple[int, Place]] = [(300, "heat"), (340, "hot")]
    assert told(finished, held=part_cooked(60, US), house=approved).is_raw_food == ""
    assert told(finished, held=part_cooked(61, US), house=approved).is_raw_food == "part-cooked"


def test_raw_food_that_was_never_heated_is_not_for_eating() -> None:
    """What the day calls ready to eat, though raw meat went in and no heat."""
    raw = kept(Held(), [Spell(NINE, NINE + 10, "out")], [], US, is_raw=True)
    assert told([(10, "chill")], held=raw).is_raw_food == "raw"
    assert told([(10, "heat"), (40, "hot")], held=raw).is_raw_food == ""


def test_the_uk_has_two_hours_out_of_heat_and_four_out_of_cold() -> None:
    """SI 2013/2996: 8 °C and 63 °C."""
    hot: list[tuple[int, Place]] = [(-30, "heat"), (0, "hot"), (10, "out")]
    assert told(hot, house=UK).until == NINE + 10 + 120
    fridge = Held(control="cold", good_at=NINE, made_at=NINE)
    assert told([(0, "out")], house=UK, held=fridge).until == NINE + 240
    assert told([(0, "chill")], [(60, 8)], UK, fridge).until is None
    assert told([(0, "chill")], [(60, 8.5)], UK, fridge).until == NINE + 240
    assert told(hot[:2], [(60, 62)], UK).until == NINE + 120


def test_at_home_two_hours_and_one_in_a_hot_room() -> None:
    """USDA statement: 2 h out of the chill, 1 h above 90 °F."""
    fridge = Held(control="cold", good_at=NINE, made_at=NINE)
    assert told([(0, "out")], house=HOME, held=fridge).until == NINE + 120
    hot = replace(HOME, room_c=f(91))
    assert told([(0, "out")], house=hot, held=fridge).until == NINE + 60


def test_a_plate_carried_to_the_hot_cupboard_is_still_hot() -> None:
    """Common practice: half an hour at most between the heat and the hot place."""
    assert told([(-60, "heat"), (0, "out"), (30, "hot")]).until is None
    assert told([(-60, "heat"), (0, "out"), (31, "hot")]).until == NINE + 240


def test_what_is_plated_from_the_chill_to_the_chill_is_still_cold() -> None:
    """Common practice: half an hour at most; then it is cooled again within four hours."""
    fridge = Held(control="cold", good_at=NINE - 60, made_at=NINE - 60)
    assert told([(0, "out"), (30, "chill")], held=fridge).dues == ()
    later = told([(0, "out"), (31, "chill")], held=fridge)
    assert [due.by - NINE for due in later.dues] == [240]
    warm = told([(0, "out"), (30, "chill")], [(20, 9)], held=fridge)
    assert [due.by - NINE for due in warm.dues] == [240]


@pytest.mark.parametrize("kind", ["oven", "deck-oven", "Hob", "steamer"])
def test_kinds_that_heat_are_known_by_their_names(kind: str) -> None:
    assert heats(kind)
    assert not heats("mixer")


@given(
    st.lists(st.sampled_from(["heat", "hot", "chill", "frozen", "out"]), min_size=1, max_size=6),
    st.lists(st.integers(1, 400), min_size=6, max_size=6),
    st.lists(st.tuples(st.integers(0, 1500), st.floats(-20, 95)), max_size=5),
)
def test_whatever_happened_a_verdict_is_whole(
    places: list[Place], lengths: list[int], readings: list[tuple[int, float]]
) -> None:
    """It ends after it begins, what is due lies after it, and what failed says by which limit."""
    starts = [sum(lengths[:at]) for at in range(len(places))]
    now = told(list(zip(starts, places, strict=True)), readings)
    if now.until is not None:
        assert now.since is not None
        assert now.until >= now.since
    assert all(due.by > NINE for due in now.dues)
    if now.failed is not None:
        assert US.limits.get(now.failed.limit)
        assert now.failed.at > now.failed.since


@given(
    st.lists(st.tuples(st.integers(0, 900), st.floats(-5, 60)), min_size=1, max_size=5),
    st.integers(0, 4),
    st.floats(0.5, 30),
)
def test_a_warmer_reading_never_makes_it_safer(
    readings: list[tuple[int, float]], which: int, warmer: float
) -> None:
    """Cold food in a chill: any reading higher, and it may be eaten no longer than before."""
    fridge = Held(control="cold", good_at=NINE, made_at=NINE)
    place: list[tuple[int, Place]] = [(0, "chill")]
    before = told(place, readings, held=fridge)
    at, celsius = readings[which % len(readings)]
    changed = [*readings]
    changed[which % len(readings)] = (at, celsius + warmer)
    after = told(place, changed, held=fridge)
    if before.failed is None and after.failed is None:
        assert (after.until or 0) <= (before.until or 0)
