"""Runs get new times by drags and steps: as many minutes from the start that was seen."""

import pytest

from app.planning.day import Day
from app.storage.engine import reading
from app.storage.translate import day_of
from tests.web.editing import Editing


def starts(editing: Editing) -> list[str]:
    """Return when the runs start."""
    with reading() as conn:
        day: Day = day_of(conn, editing.production)
    return [run.starts for run in day.runs]


def shift(ada: Editing, by: int, seen: str = "2027-03-04T14:00", **more: str):
    """Move the first run by so many minutes."""
    return ada.post(
        "shift", **({"run": "knots-take-1", "by": by, "seen": seen, "which": "one"} | more)
    )


def test_one_run_moves_and_what_follows_stays(ada: Editing) -> None:
    """It is told as a typed time is, and taken back as one."""
    status, said = shift(ada, 20)
    assert (status, starts(ada)) == (200, ["2027-03-04T14:20", "2027-03-04T15:30"])
    assert "moved knots-take-1 from 14:00 to 14:20" in said["words"]
    assert ada.post("undo")[0] == 200
    assert starts(ada) == ["2027-03-04T14:00", "2027-03-04T15:30"]
    assert ada.post("redo")[0] == 200
    assert starts(ada)[0] == "2027-03-04T14:20"


def test_what_follows_moves_where_it_is_asked_for(ada: Editing) -> None:
    """As far as the run itself, over midnight as well."""
    assert shift(ada, -840, which="after")[0] == 200
    assert starts(ada) == ["2027-03-04T00:00", "2027-03-04T01:30"]
    status, said = shift(ada, -5, "2027-03-04T00:00")
    assert (status, starts(ada)[0]) == (200, "2027-03-03T23:55")
    assert "from 00:00 on Thu 4 March to 23:55 on Wed 3 March" in said["words"]


def test_a_run_that_somebody_moved_meanwhile_is_asked_about(ada: Editing) -> None:
    """Both times are told; the answer goes from theirs."""
    shift(ada, 10)
    status, said = shift(ada, 30)
    assert status == 409
    assert "14:10" in said["error"]
    assert "14:30" in said["error"]
    assert starts(ada)[0] == "2027-03-04T14:10"
    assert shift(ada, 30, said["seen"])[0] == 200
    assert starts(ada)[0] == "2027-03-04T14:40"


@pytest.mark.parametrize(
    "sent",
    [
        {"by": "soon"},
        {"by": "9999"},
        {"seen": "never, and never again"},
        {"seen": ""},
        {"which": "all"},
        {"run": ""},
    ],
)
def test_a_form_that_cannot_be_read_moves_nothing(ada: Editing, sent: dict[str, str]) -> None:
    """It is told with a sentence."""
    whole = {"run": "knots-take-1", "by": "5", "seen": "2027-03-04T14:00", "which": "one"}
    status, said = ada.post("shift", **(whole | sent))
    assert status == 422
    assert "What you typed is still on it" in said["error"]
    assert starts(ada)[0] == "2027-03-04T14:00"


def test_a_run_that_is_not_there(ada: Editing) -> None:
    """It was deleted meanwhile."""
    assert shift(ada, 5, run="none")[0] == 404


def test_the_time_line_says_how_wide_a_minute_is(ada: Editing) -> None:
    """A bar is a slider with its time as its value; the axis leaves an hour on both sides."""
    page = ada.client.get(f"/productions/{ada.production}/rundown").text
    assert 'data-first="780"' in page
    assert 'data-last="1020"' in page
    assert 'aria-valuenow="840" aria-valuetext="14:00"' in page
    assert "<span>what starts with it or after it that day moves as far</span>" in page
