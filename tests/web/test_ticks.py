"""Ticks over HTTP: each stored once, each answered by itself, bad ones in a sentence."""

import json
from datetime import UTC, datetime
from typing import Any

import pytest
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.storage.engine import reading
from app.storage.queries.ticks import since, states
from app.storage.states import States

MEANT = "2027-03-04T11:52"
# Lisbon keeps UTC in March.
NOW_S = datetime(2027, 3, 4, 11, 52, 30, tzinfo=UTC).timestamp()


def send(client: TestClient, production: int, *ticks: Any) -> list[dict[str, Any]]:
    """Send ticks and return the answers."""
    answer = client.post(f"/productions/{production}/ticks", json=list(ticks))
    assert answer.status_code == 200, answer.text
    answers: list[dict[str, Any]] = answer.json()["answers"]
    return answers


def started(batch: str = "b1", once: str = "k1", **more: Any) -> dict[str, Any]:
    """Return a tick that a batch was started."""
    return {"event": "started", "batch": batch, "once": once, **more}


def staged(batch: str = "b1", once: str = "k2", **more: Any) -> dict[str, Any]:
    """Return a tick that a batch was staged."""
    return {"event": "staged", "batch": batch, "once": once, "lost": [], **more}


def now_states(production: int) -> States:
    """Return what the log leads to."""
    with reading() as conn:
        return states(conn, production)


def count(production: int) -> int:
    """Return how many events the log holds."""
    with reading() as conn:
        return len(since(conn, production))


def test_a_tick_gets_its_number_and_is_in_the_log(client: TestClient, production: int) -> None:
    assert send(client, production, started()) == [{"once": "k1", "n": 1}]
    assert now_states(production).of("b1").state == "started"


def test_the_same_key_changes_nothing_twice(client: TestClient, production: int) -> None:
    first = send(client, production, started())
    assert send(client, production, started()) == first
    assert count(production) == 1


def test_two_phones_that_say_the_same_store_one_event(client: TestClient, production: int) -> None:
    send(client, production, started(once="ada"))
    assert send(client, production, started(once="ben")) == [{"once": "ben", "n": 1}]
    assert count(production) == 1


def test_several_ticks_are_answered_in_order(client: TestClient, production: int) -> None:
    answers = send(client, production, started(), staged(lost=["knots/scaled/2"]))
    assert [each["n"] for each in answers] == [1, 2]
    assert now_states(production).of("b1").lost == ("knots/scaled/2",)


def test_every_tick_can_be_taken_back(client: TestClient, production: int) -> None:
    """Staged is taken back to started, started to planned, and lost to there again."""
    send(client, production, started(), staged())
    send(client, production, {"event": "undone", "undoes": 2, "once": "u1"})
    assert now_states(production).of("b1").state == "started"
    send(client, production, {"event": "undone", "undoes_once": "k1", "once": "u2"})
    assert now_states(production).of("b1").state == "planned"
    (lost,) = send(client, production, {"event": "lost", "copy": "knots/baked/1", "once": "l1"})
    assert "knots/baked/1" in now_states(production).lost
    send(client, production, {"event": "undone", "undoes": lost["n"], "once": "u3"})
    assert now_states(production).lost == {}


def test_of_a_partly_bad_list_the_good_ones_are_stored(client: TestClient, production: int) -> None:
    answers = send(
        client,
        production,
        started(),
        started(batch="b99", once="bad-1"),
        {"event": "thrown", "once": "bad-2"},
        17,
        started(batch="b2", once="k3"),
    )
    assert [each.get("n") for each in answers] == [1, None, None, None, 2]
    assert "no batch “b99”" in answers[1]["error"]
    assert all(each["error"].endswith((".", "key.")) for each in answers if "error" in each)
    assert count(production) == 2


def test_a_phone_says_how_long_ago_not_when(client: TestClient, production: int) -> None:
    """A tick that waited ten minutes was made ten minutes ago, by whatever clock."""
    client.app.state.now_s = lambda: NOW_S  # type: ignore[attr-defined]
    send(client, production, started(ago_s=0), started(batch="b2", once="k3", ago_s=600.5))
    with reading() as conn:
        at = [tick.at for tick in since(conn, production)]
    assert at == [MEANT, "2027-03-04T11:42"]


@pytest.mark.parametrize("ago", ["soon", True, None, [1]])
def test_how_long_ago_must_be_a_number(client: TestClient, production: int, ago: Any) -> None:
    (answer,) = send(client, production, started(ago_s=ago))
    assert answer["error"] == "How long ago this was ticked (ago_s) must be a number of seconds."


def test_a_tick_from_the_future_is_made_now(client: TestClient, production: int) -> None:
    client.app.state.now_s = lambda: NOW_S  # type: ignore[attr-defined]
    send(client, production, started(ago_s=-1e9))
    with reading() as conn:
        assert since(conn, production)[0].at == MEANT


def test_where_nobody_is_asked_the_page_says_whose_list_it_is(
    client: TestClient, production: int
) -> None:
    send(client, production, started(by="Ada"), started(batch="b2", once="k3"))
    with reading() as conn:
        assert [tick.by for tick in since(conn, production)] == ["Ada", "somebody"]


@pytest.mark.parametrize(
    "body",
    [b"", b"{}", b"not json", b"[NaN]", b"[" * 100_000, b'"started"', b"\xff\xfe", b"null"],
)
def test_what_is_no_list_gets_one_sentence(
    client: TestClient, production: int, body: bytes
) -> None:
    headers = {"Content-Type": "application/json", "Accept": "application/json"}
    answer = client.post(f"/productions/{production}/ticks", content=body, headers=headers)
    assert answer.status_code == 422
    assert answer.json()["error"].startswith("Ticks are sent as a JSON list")


@pytest.mark.parametrize("field", ["once", "batch", "by", "event"])
def test_half_a_letter_is_told_not_stored(client: TestClient, production: int, field: str) -> None:
    """JSON can hold one half of a letter of two halves; no database can."""
    body = json.dumps([started() | {field: "x\ud800"}])
    answer = client.post(
        f"/productions/{production}/ticks", content=body, headers={"Accept": "application/json"}
    )
    assert answer.status_code in (200, 422)
    assert "error" in answer.text
    assert count(production) == 0


def test_too_much_at_once_gets_one_sentence(client: TestClient, production: int) -> None:
    address = f"/productions/{production}/ticks"
    headers = {"Accept": "application/json"}
    many = client.post(address, json=[started()] * 501, headers=headers)
    large = client.post(address, content=b"[" + b" " * 1_100_000 + b"]", headers=headers)
    assert (many.status_code, large.status_code) == (413, 413)
    assert count(production) == 0


def test_nonsense_in_a_tick_is_told_by_its_field(client: TestClient, production: int) -> None:
    for nonsense in (
        started(once=""),
        started(once="x" * 101),
        started(batch=7),
        started(plan="two"),
        staged(lost="all"),
        {"event": "undone", "once": "u"},
        started(by="x" * 101),
        {**started(), "more": 1},
    ):
        (answer,) = send(client, production, nonsense)
        assert "error" in answer, nonsense
    assert count(production) == 0


def test_a_tick_for_an_older_plan_is_refused_in_a_sentence(
    client: TestClient, production: int
) -> None:
    (answer,) = send(client, production, started(plan=7))
    assert "plan 1 holds now" in answer["error"]


def test_a_production_that_is_not_there_is_told(client: TestClient) -> None:
    answer = client.post("/productions/99/ticks", json=[], headers={"Accept": "application/json"})
    assert answer.status_code == 404
    assert answer.json()["error"]


def test_ticks_are_never_taken_by_a_visit(client: TestClient, production: int) -> None:
    assert client.get(f"/productions/{production}/ticks").status_code == 405


def test_a_foreign_page_cannot_tick(client: TestClient, production: int) -> None:
    headers = {"Origin": "http://elsewhere.test", "Sec-Fetch-Site": "cross-site"}
    answer = client.post(
        f"/productions/{production}/ticks", content=json.dumps([started()]), headers=headers
    )
    assert answer.status_code == 403
    assert count(production) == 0


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["event", "batch", "once", "lost", "copy", "undoes", "ago_s", "at"])
            | st.text(max_size=5),
            inner,
            max_size=6,
        )
    ),
    max_leaves=12,
)
NEARLY = st.fixed_dictionaries(
    {
        "event": st.sampled_from(["started", "staged", "lost", "undone", "moved"]) | ANYTHING,
        "once": st.text(min_size=1, max_size=8) | ANYTHING,
    },
    optional={
        "batch": st.sampled_from(["b1", "b2", "b99"]) | ANYTHING,
        "lost": st.lists(st.sampled_from(["knots/scaled/1", "?"])) | ANYTHING,
        "copy": st.sampled_from(["knots/scaled/1", "?"]) | ANYTHING,
        "undoes": st.integers() | ANYTHING,
        "ago_s": st.floats() | st.integers() | ANYTHING,
    },
)


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(sent=st.lists(NEARLY | ANYTHING, max_size=4))
def test_whatever_is_sent_each_event_gets_a_number_or_a_sentence(
    client: TestClient, production: int, sent: list[Any]
) -> None:
    try:
        body = json.dumps(sent, allow_nan=False)
    except ValueError:
        return
    headers = {"Content-Type": "application/json", "Accept": "application/json"}
    answer = client.post(f"/productions/{production}/ticks", content=body, headers=headers)
    assert answer.status_code == 200
    answers = answer.json()["answers"]
    assert len(answers) == len(sent)
    assert all(("n" in each) != bool(each.get("error")) for each in answers)
