"""A plan as rows of work, read from the plan of the knots."""

from pathlib import Path

import pytest

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.tasks import Task, sentence, setting_in_words, tags_in_words, tasks

GOLDEN = Path(__file__).parents[1] / "golden"
DAY = Day.model_validate_json((GOLDEN / "knots.day.json").read_bytes())
PLAN = Plan.model_validate_json((GOLDEN / "knots.plan.json").read_bytes())
CLOCK = Clock(DAY.timezone)


def read_aloud() -> list[str]:
    """Return every row of the knots as a sentence."""
    return [sentence(row, CLOCK) for row in tasks(DAY, PLAN)]


def row_of(key: str) -> Task:
    """Return the row with this key."""
    return next(row for row in tasks(DAY, PLAN) if row.key == key)


def test_a_row_reads_aloud_as_a_sentence() -> None:
    assert "11:49 mixed (mixer) KN-1, by mixer-a, cook-1, until 12:01" in read_aloud()


def test_a_phase_says_what_to_do_in_its_own_words() -> None:
    """Where the day says what a phase does, these words stand in place of the stage's name."""
    told = DAY.model_dump(by_alias=True)
    told["demonstrations"][0]["stages"][1]["ways"][0]["phases"][0]["does"] = "mix"
    told["kitchen"]["crew"][0]["name"] = "Ada"
    rows = tasks(Day.model_validate(told), PLAN)
    assert sentence(next(row for row in rows if row.key == "b2.0"), CLOCK) == (
        "11:49 mix KN-1, by mixer-a, Ada, until 12:01"
    )


def test_a_whole_sentence_follows_the_name_of_the_stage() -> None:
    """What to do may be told at length; the row still starts with a few words."""
    told = DAY.model_dump(by_alias=True)
    phase = told["demonstrations"][0]["stages"][1]["ways"][0]["phases"][0]
    phase["does"] = "Load the bowl, mix on slow."
    rows = tasks(Day.model_validate(told), PLAN)
    row = next(row for row in rows if row.key == "b2.0")
    assert sentence(row, CLOCK).startswith("11:49 mixed KN-1: Load the bowl, mix on slow, by")


def test_the_oven_is_lit_before_its_first_use() -> None:
    assert "13:21 light deck-oven to 200 °C, ready 13:36" in read_aloud()


def test_whoever_needs_the_oven_stands_near_its_heat() -> None:
    heat = next(row for row in tasks(DAY, PLAN) if row.kind == "heat")
    assert heat.near == ("cook-1",)


def test_an_oven_that_is_still_warm_is_turned_not_lit() -> None:
    """A heat within the cold time of the last use changes the setting of a warm oven."""
    heat = PLAN.heats[0].model_copy(
        update={"setting": 160, "starts": "2027-03-04T14:30", "ends": "2027-03-04T14:45"}
    )
    rows = tasks(DAY, PLAN.model_copy(update={"heats": (heat,)}))
    assert [row.does for row in rows if row.kind == "heat"] == ["turn deck-oven to 160 °C"]


def test_a_house_that_reads_fahrenheit_is_told_its_ovens_in_it() -> None:
    """The day's °C stand beside it; a dial in steps of five is read back as it was set."""
    heat = next(row for row in tasks(DAY, PLAN, in_fahrenheit=True) if row.kind == "heat")
    assert heat.does == "light deck-oven to 390 °F (200 °C)"
    items = [item for row in tasks(DAY, PLAN, in_fahrenheit=True) for item in row.items]
    assert "deck-oven at 390 °F (200 °C)" in items
    for shown in range(100, 601, 5):
        stored = round((shown - 32) / 1.8)
        assert setting_in_words(stored, True) == f"{shown} °F ({stored} °C)"
    assert setting_in_words(6, True) == "setting 6"


def test_rows_come_in_the_order_of_the_clock() -> None:
    starts = [row.starts for row in tasks(DAY, PLAN)]
    assert starts == sorted(starts)


def test_each_batch_starts_once_and_is_staged_once() -> None:
    rows = tasks(DAY, PLAN)
    started = sorted(row.batch or "" for row in rows if row.first)
    staged = sorted(row.batch or "" for row in rows if row.last)
    assert started == staged == sorted(batch.id for batch in PLAN.batches)


def test_a_phase_without_hands_is_nobodys_but_somebody_is_near() -> None:
    resting = row_of("b4.0")
    assert (resting.kind, resting.people, resting.near) == ("alone", (), ("cook-1",))


def test_an_oven_with_settings_shows_its_setting() -> None:
    assert row_of("b8.1").items == ("deck-oven at 200 °C",)


@pytest.mark.parametrize(
    ("tags", "words"),
    [
        ([], ""),
        (["KN-1"], "KN-1"),
        (["KN-2", "KN-1"], "KN-1 and KN-2"),
        (["KN-1", "KN-3"], "KN-1 and KN-3"),
        (["KN-3", "KN-1", "KN-2"], "KN-1 to KN-3"),
        (["KN-9", "KN-10", "KN-11", "TA-2"], "KN-9 to KN-11 and TA-2"),
        (["hero"], "hero"),
    ],
)
def test_tags_are_said_as_a_cook_says_them(tags: list[str], words: str) -> None:
    assert tags_in_words(tags) == words
