"""What a person changes is stored once, recorded, and never written over unseen."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError

from app.planning.day import Day
from app.storage import news
from app.storage.changes.productions import (
    add_production,
    bring_back_production,
    copy_production,
    remove_production,
)
from app.storage.changes.record import Change
from app.storage.changes.runs import move_run, move_run_and_all_after
from app.storage.engine import reading, writing
from app.storage.queries.history import history, last_change_of
from app.storage.queries.productions import all_productions, production, removed_productions
from app.storage.queries.sheets import sheet
from app.storage.refusals import Conflict, NotThere, Refusal
from app.storage.translate import day_of
from tests.storage.rich_day import RICH

TAKE_1, TAKE_2 = "2027-03-04T14:00", "2027-03-04T15:30"


def moved(knots: int, to: str, once: str, by: str = "Ada", began_from: str = TAKE_1) -> Change:
    """Move the first take of the knots."""
    with writing() as connection:
        return move_run(
            connection, knots, "knots-take-1", to, began_from=began_from, by=by, once=once
        )


def place_of_run(knots: int, run: str) -> str:
    """Return the place of the row of a run."""
    with reading() as connection:
        (row,) = (each for each in sheet(connection, knots).all("runs") if each["key"] == run)
    return f"runs/{row['id']}"


def starts(knots: int) -> list[str]:
    """Return when the runs start."""
    with reading() as connection:
        return [run.starts for run in day_of(connection, knots).runs]


def test_a_production_that_is_added_twice_by_a_double_tap_is_there_once(
    knots: int, knots_day: Day
) -> None:
    """The second request gets the first one's answer."""
    with writing() as connection:
        assert add_production(connection, knots_day, by="Ada", once="knots") == knots
    with reading() as connection:
        assert [row.id for row in all_productions(connection)] == [knots]


def test_two_taps_at_the_same_moment_make_one_production(store: Path, knots_day: Day) -> None:
    """Tests the key in the same transaction: it is checked after the other one is stored."""

    def tap(_: int) -> int:
        with writing() as connection:
            return add_production(connection, knots_day, by="Ada", once="tap")

    with ThreadPoolExecutor(4) as threads:
        assert len(set(threads.map(tap, range(8)))) == 1
    with reading() as connection:
        assert len(all_productions(connection)) == 1


def test_a_key_of_another_change_is_refused(knots: int) -> None:
    """Tests a page that sends an old key with a new wish."""
    with pytest.raises(Refusal, match="too old to save from"):
        moved(knots, "2027-03-04T14:10", "knots")
    assert starts(knots) == [TAKE_1, TAKE_2]


def test_nothing_is_stored_of_a_day_that_the_tables_refuse(store: Path) -> None:
    """Tests the last line of defence: a day that went past the reading of day files."""
    day = Day.model_validate(RICH)
    bad = day.runs[0].model_copy(update={"stations": 0})
    wrong = day.model_copy(update={"runs": (bad,)})
    with pytest.raises(IntegrityError, match="ck_runs_stations"), writing() as connection:
        add_production(connection, wrong, by="Ada", once="bad")
    with reading() as connection:
        assert all_productions(connection) == []
        for table in ("kitchens", "stages", "changes", "shifts"):
            assert connection.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar() == 0


def test_a_copy_is_a_production_of_its_own_in_the_same_kitchen(knots: int) -> None:
    """What is changed in the copy leaves last week's as it was."""
    with writing() as connection:
        copy = copy_production(connection, knots, "Next week", by="Bo", once="copy")
    with writing() as connection:
        assert copy_production(connection, knots, "Next week", by="Bo", once="copy") == copy
    moved(copy, "2027-03-04T14:10", "move")
    assert starts(knots) == [TAKE_1, TAKE_2]
    with reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM kitchens").scalar() == 1
        assert day_of(connection, copy).title == "Next week"
        assert day_of(connection, copy).kitchen == day_of(connection, knots).kitchen


def test_a_copy_for_another_date_moves_all_that_has_one(knots: int) -> None:
    """Tests runs, shifts and the start of the prep, at the same hours; an hour that is not."""
    with writing() as connection:
        copy = copy_production(connection, knots, "Later", "2027-03-11", by="Bo", once="later")
    with reading() as connection:
        was, now = day_of(connection, knots), day_of(connection, copy)
        words = history(connection, copy)[0].words
    assert words == f"Bo copied “{was.title}” as “Later”, its prep from Thu 11 March on."
    assert now.prep_from == "2027-03-11T07:00"
    assert starts(copy) == [TAKE_1.replace("03-04", "03-11"), TAKE_2.replace("03-04", "03-11")]
    assert starts(knots) == [TAKE_1, TAKE_2]
    spans = [cook.shifts for cook in now.kitchen.crew]
    assert spans == [
        tuple((a.replace("03-04", "03-11"), b.replace("03-04", "03-11")) for a, b in cook.shifts)
        for cook in was.kitchen.crew
    ]
    moved(knots, "2027-03-04T01:30", "early")
    with (
        pytest.raises(Refusal, match="Sun 28 March, 01:30 does not exist"),
        writing() as connection,
    ):
        copy_production(connection, knots, "Never", "2027-03-28", by="Bo", once="never")


def test_a_removed_production_can_be_brought_back(knots: int) -> None:
    """Tests that a removal erases nothing."""
    with reading() as connection:
        before = day_of(connection, knots)
    with writing() as connection:
        remove_production(connection, knots, by="Bo", once="out")
    with reading() as connection:
        assert all_productions(connection) == []
        assert [(row.title, row.by) for row in removed_productions(connection)] == [
            ("Harvest hour", "Bo")
        ]
        with pytest.raises(NotThere, match="was removed"):
            production(connection, knots)
    with writing() as connection:
        bring_back_production(connection, knots, by="Ada", once="back")
    with reading() as connection:
        assert removed_productions(connection) == []
        assert day_of(connection, knots) == before


def test_bringing_back_what_is_there_changes_nothing(knots: int) -> None:
    """Tests two people who bring the same production back."""
    with pytest.raises(Refusal, match="in the list already"), writing() as connection:
        bring_back_production(connection, knots, by="Ada", once="back")


def test_a_run_is_moved_and_the_record_says_by_whom(knots: int) -> None:
    """Tests who, what, before and after."""
    moved(knots, "2027-03-04T14:10", "move")
    assert starts(knots) == ["2027-03-04T14:10", TAKE_2]
    with reading() as connection:
        last = history(connection, knots)[0]
    assert (last.n, last.by, last.what) == (2, "Ada", "run moved")
    assert last.words == "Ada moved knots-take-1 from 14:00 to 14:10."
    assert list(last.before.values()) == [{"starts": TAKE_1}]
    assert list(last.after.values()) == [{"starts": "2027-03-04T14:10"}]
    assert list(last.before) == list(last.after) == [place_of_run(knots, "knots-take-1")]


def test_a_move_to_another_day_says_the_day(knots: int) -> None:
    """Tests that the words leave no doubt."""
    change = moved(knots, "2027-03-05T14:10", "move")
    assert change.words == (
        "Ada moved knots-take-1 from 14:00 on Thu 4 March to 14:10 on Fri 5 March."
    )


def test_a_run_and_all_after_it_move_together(knots: int) -> None:
    """Tests that what stands before it stays."""
    with writing() as connection:
        move_run_and_all_after(
            connection, knots, "knots-take-1", "2027-03-04T14:25",
            began_from=TAKE_1, by="Ada", once="all",
        )  # fmt: skip
    assert starts(knots) == ["2027-03-04T14:25", "2027-03-04T15:55"]
    with writing() as connection:
        change = move_run_and_all_after(
            connection, knots, "knots-take-2", "2027-03-04T15:30",
            began_from="2027-03-04T15:55", by="Ada", once="last",
        )  # fmt: skip
    assert starts(knots) == ["2027-03-04T14:25", TAKE_2]
    assert change.words.endswith("from 15:55 to 15:30, and 0 after it.")


def test_a_slip_ends_with_its_day_and_another_date_takes_later_days_along(knots: int) -> None:
    """Late on Thursday is on time on Friday; a day that is put off puts off those after it."""
    moved(knots, "2027-03-05T09:30", "friday")
    late, next_day = "2027-03-04T15:50", "2027-03-05T15:50"
    for began_from, to, after in ((TAKE_2, late, 0), (late, next_day, 1)):
        with writing() as connection:
            change = move_run_and_all_after(
                connection, knots, "knots-take-2", to, began_from=began_from, by="Ada", once=to
            )
        assert change.words.endswith(f"and {after} after it.")
    assert starts(knots) == ["2027-03-06T09:30", next_day]


@pytest.mark.parametrize("run", ["knots-take-1", "knots-take-2"])
def test_what_starts_in_the_same_minute_moves_along(knots: int, run: str) -> None:
    """Two dishes of a class, or two sets, begin as one; either of them takes the other along."""
    moved(knots, TAKE_2, "together")
    with writing() as connection:
        change = move_run_and_all_after(
            connection, knots, run, "2027-03-04T15:40",
            began_from=TAKE_2, by="Ada", once="all",
        )  # fmt: skip
    along = "with 1 that started at the same time, and 0 after it."
    assert change.words == f"Ada moved {run} from 15:30 to 15:40, {along}"
    assert starts(knots) == ["2027-03-04T15:40", "2027-03-04T15:40"]


def test_a_move_over_a_change_of_the_clocks_keeps_the_minutes(store: Path) -> None:
    """In Lisbon 01:30 comes twice on that night; each text says which of the two."""
    with writing() as connection:
        rich = add_production(connection, Day.model_validate(RICH), by="Ada", once="rich")
    with writing() as connection:
        move_run_and_all_after(
            connection, rich, "take-1", "2027-10-31T01:30+01:00",
            began_from="2027-10-31T01:30+00:00", by="Ada", once="all",
        )  # fmt: skip
    assert starts(rich) == ["2027-10-31T01:30+01:00", "2027-10-31T08:00", "2027-10-31T07:00"]


@pytest.mark.parametrize(
    ("to", "words"),
    [
        ("2027-03-28T01:30", "does not exist that day"),
        ("2027-10-31T01:30", "exists twice"),
        ("half past", "no time of a day"),
        ("", "no time of a day"),
    ],
)
def test_a_time_that_is_none_is_refused(knots: int, to: str, words: str) -> None:
    """Tests the hour that the clocks skip, the one that comes twice, and no time at all."""
    with pytest.raises(Refusal, match=words):
        moved(knots, to, "move")
    assert starts(knots) == [TAKE_1, TAKE_2]


def test_two_people_move_the_same_run(knots: int) -> None:
    """The second one hears who moved it and to when, and nothing is written over."""
    moved(knots, "2027-03-04T14:10", "first", by="Bo")
    with pytest.raises(Conflict) as told:
        moved(knots, "2027-03-04T14:20", "second", by="Ada")
    assert told.value.words == (
        "Bo moved knots-take-1 to 14:10 while you were at it; you wanted 14:20. Which one holds?"
    )
    assert (told.value.theirs, told.value.yours, told.value.by) == (
        "2027-03-04T14:10",
        "2027-03-04T14:20",
        "Bo",
    )
    assert starts(knots) == ["2027-03-04T14:10", TAKE_2]


def test_two_people_move_the_same_run_to_the_same_time(knots: int) -> None:
    """Where both want the same there is nothing to ask."""
    moved(knots, "2027-03-04T14:10", "first", by="Bo")
    second = moved(knots, "2027-03-04T14:10", "second", by="Ada")
    assert second.words == "Ada left knots-take-1 at 14:10."
    assert starts(knots) == ["2027-03-04T14:10", TAKE_2]


def test_two_people_shift_the_same_run_and_all_after_it(knots: int) -> None:
    """What comes after is not shifted twice."""
    for by in ("Bo", "Ada"):
        with writing() as connection:
            move_run_and_all_after(
                connection, knots, "knots-take-1", "2027-03-04T14:10",
                began_from=TAKE_1, by=by, once=by,
            )  # fmt: skip
    assert starts(knots) == ["2027-03-04T14:10", "2027-03-04T15:40"]


def test_two_people_move_different_runs(knots: int) -> None:
    """Different things merge."""
    moved(knots, "2027-03-04T14:10", "first", by="Bo")
    with writing() as connection:
        move_run(
            connection, knots, "knots-take-2", "2027-03-04T15:40",
            began_from=TAKE_2, by="Ada", once="second",
        )  # fmt: skip
    assert starts(knots) == ["2027-03-04T14:10", "2027-03-04T15:40"]


def test_a_repeated_move_answers_as_the_first_time(knots: int) -> None:
    """The key is checked before the value that the form began from."""
    first = moved(knots, "2027-03-04T14:10", "move")
    moved(knots, "2027-03-04T14:30", "later", by="Bo", began_from="2027-03-04T14:10")
    assert moved(knots, "2027-03-04T14:10", "move") == first
    assert starts(knots) == ["2027-03-04T14:30", TAKE_2]


def test_a_run_that_is_gone_is_told(knots: int) -> None:
    """Tests a form that was open while somebody took the run out."""
    with pytest.raises(NotThere, match="no run “take-9”"), writing() as connection:
        move_run(connection, knots, "take-9", TAKE_1, began_from=TAKE_1, by="Ada", once="move")


def test_the_history_turns_its_pages(knots: int) -> None:
    """Tests that no change is told twice or left out."""
    began = TAKE_1
    for minute in range(10, 20):
        to = f"2027-03-04T14:{minute}"
        moved(knots, to, f"move-{minute}", began_from=began)
        began = to
    with reading() as connection:
        first = history(connection, knots, most=4)
        second = history(connection, knots, before_n=first[-1].n, most=100)
        last = last_change_of(connection, knots, place_of_run(knots, "knots-take-1"), "starts")
    assert [row.n for row in (*first, *second)] == list(range(11, 0, -1))
    assert last == first[0]


def test_a_change_is_told_to_who_listens_once_it_is_stored(knots: int) -> None:
    """Tests what the live screens hang on."""
    heard: list[news.News] = []
    stop = news.listen(heard.append)
    moved(knots, "2027-03-04T14:10", "move")
    with pytest.raises(Conflict):
        moved(knots, "2027-03-04T14:20", "other")
    stop()
    moved(knots, "2027-03-04T14:30", "more", began_from="2027-03-04T14:10")
    assert [(told.production, told.kind) for told in heard] == [(knots, "day")]


def test_a_listener_that_fails_keeps_nobody_from_hearing(knots: int) -> None:
    """Tests that a broken screen does not break the saving."""
    heard: list[news.News] = []

    def broken(_: news.News) -> None:
        raise ZeroDivisionError

    stops = [news.listen(broken), news.listen(heard.append)]
    moved(knots, "2027-03-04T14:10", "move")
    assert len(heard) == 1
    for stop in stops:
        stop()
