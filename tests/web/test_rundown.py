"""The rundown: runs in clock order, moved one by one or with all after."""

import pytest
from fastapi.testclient import TestClient

from tests.web.desk import quiet_desk

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
TAKE_1 = {"date": "2027-03-04", "began_from": "2027-03-04T14:00"}


def _move(client: TestClient, production: int, run: str = "knots-take-1", **fields: str):
    address = f"/productions/{production}/rundown/{run}"
    return client.post(address, data=TAKE_1 | {"which": "one"} | fields, headers=PART)


def test_runs_stand_in_clock_order(client: TestClient, production: int) -> None:
    """The page shows the hour first, the largest thing on the row."""
    page = client.get(f"/productions/{production}/rundown").text
    said = ["14:00</time>", "<strong>knots-take-1", "15:30</time>", "<strong>knots-take-2"]
    assert sorted(said, key=page.index) == said
    assert "Cardamom knots, take. 3 beats, until 14:07." in page
    assert "<html" in page


def test_a_part_is_sent_without_the_page_around_it(client: TestClient, production: int) -> None:
    """For a targeted swap, never for the back button."""
    part = client.get(f"/productions/{production}/rundown", headers=PART).text
    assert part.lstrip().startswith('<div id="rundown"')
    assert "<html" not in part


def test_moving_one_run_leaves_the_others(client: TestClient, production: int) -> None:
    """What happened is told in words, and the plan is offered anew."""
    part = _move(client, production, hour="14:20").text
    assert "moved knots-take-1 from 14:00 to 14:20" in part
    assert "has changed since plan 1 was worked out" in part
    assert "Cardamom knots, knots-take-1 moves from 14:00 to 14:20" in part
    assert "15:30" in part


def test_moving_a_run_and_all_after_it(client: TestClient, production: int) -> None:
    """All that starts after it moves as far."""
    part = _move(client, production, hour="14:20", which="after").text
    assert "and 1 after it" in part
    assert "15:50" in part


@pytest.mark.parametrize("hour", ["14.20", "1420", "14h20", " 14:20 "])
def test_an_hour_may_be_typed_as_people_type_it(
    client: TestClient, production: int, hour: str
) -> None:
    """A dot, nothing or an h between hours and minutes."""
    assert "to 14:20" in _move(client, production, hour=hour).text


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"hour": "25:00"}, "A date and an hour, such as 14:20"),
        ({"hour": "soon"}, "A date and an hour, such as 14:20"),
        ({"hour": ""}, "This must not be empty."),
        ({"hour": "14:20", "date": "2027-02-30"}, "A date and an hour, such as 14:20"),
        ({"hour": "14:20", "which": "none"}, "One of: one, after."),
        ({"hour": "01:30", "date": "2027-03-28"}, "the clocks change"),
        ({"hour": "14:20 abc"}, "is no time of a day"),
        ({"hour": "14:20", "date": "20270304"}, "A date and an hour, such as 14:20"),
        ({"hour": "12:00", "date": "2027-09-01"}, "within 60 days of Thu 4 March"),
        ({"hour": "00:00", "date": "0001-01-01", "which": "after"}, "within 60 days"),
        ({"hour": "23:59", "date": "9999-12-31", "which": "after"}, "within 60 days"),
    ],
)
def test_a_time_that_cannot_be_is_told_beside_its_field(
    client: TestClient, production: int, fields: dict[str, str], said: str
) -> None:
    """What was typed stays; nothing is moved. On 28 March 2027 Lisbon's clocks skip 01:30."""
    refused = _move(client, production, **fields)
    assert refused.status_code == 422
    assert said in refused.text
    assert f'value="{fields["hour"]}"' in refused.text
    assert "has changed since" not in refused.text


def test_a_day_and_month_may_lack_their_zeros(client: TestClient, production: int) -> None:
    """As some browsers and most people write them."""
    assert "to 09:05" in _move(client, production, hour="9:05", date="2027-3-4").text


def test_two_people_move_the_same_run(client: TestClient, production: int) -> None:
    """The second is told what the first did, keeps the typing, and can send it again."""
    _move(client, production, hour="14:20")
    conflict = _move(client, production, hour="14:40")
    assert conflict.status_code == 409
    assert "14:20 while you were at it; you wanted 14:40" in conflict.text
    assert 'value="14:40"' in conflict.text
    again = _move(client, production, hour="14:40", began_from="2027-03-04T14:20")
    assert "from 14:20 to 14:40" in again.text


def test_a_double_tap_moves_once(client: TestClient, production: int) -> None:
    """The same once-key is the same change, also for all that comes after."""
    for _ in range(2):
        part = _move(client, production, hour="14:20", which="after", once="tap").text
    assert _move(client, production, hour="14:20", once="x" * 900).status_code == 200
    assert "15:50" in part
    assert "16:10" not in part


def test_a_run_or_production_that_is_not_there(client: TestClient, production: int) -> None:
    """A sentence beside the form, or the page of a bad address."""
    missing = _move(client, production, run="none", hour="14:20")
    assert missing.status_code == 404
    assert "There is no run" in missing.text
    assert _move(client, 99, hour="14:20").status_code in (404, 422)
    assert client.get("/productions/99/rundown").status_code == 404
    assert client.get(f"/productions/{10**30}/rundown").status_code == 404


def test_a_move_is_no_thing_to_look_at(client: TestClient, production: int) -> None:
    """Nothing changes on GET."""
    assert client.get(f"/productions/{production}/rundown/knots-take-1").status_code == 405


def test_a_draft_of_an_older_rundown_cannot_be_accepted(
    client: TestClient, production: int
) -> None:
    """Whoever moves a run while a plan waits is told to work it out again."""
    from app.planning.plan import Plan
    from app.storage.engine import reading
    from app.storage.queries.plans import published

    with quiet_desk(client) as jobs:
        client.post(f"/productions/{production}/plan", headers=PART)
        with reading() as conn:
            found = published(conn, production)
        assert isinstance(found, Plan)
        jobs[0].plan = found
        part = _move(client, production, hour="14:20").text
        assert "has changed since this draft was begun" in part
        refused = client.post(f"/productions/{production}/plan/accept", headers=PART)
        assert refused.status_code == 409
        assert "has changed since this plan was worked out" in refused.text


def test_what_starts_in_the_same_minute_is_told_to_move_along(
    client: TestClient, production: int
) -> None:
    """Beside the buttons, before it happens; and in words, when it has."""
    assert "in the same minute" not in client.get(f"/productions/{production}/rundown").text
    part = _move(client, production, hour="15:30").text
    assert "knots-take-2 starts in the same minute and moves along with all after" in part
    data = {"began_from": "2027-03-04T15:30", "hour": "15:50", "which": "after"}
    part = _move(client, production, **data).text
    assert "with 1 that started at the same time, and 0 after it." in part
    assert part.count("15:50</time>") == 2
