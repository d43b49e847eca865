"""Ticks are stored before they are answered, each once, many to a commit."""

import asyncio
import threading
from concurrent.futures import ThreadPoolExecutor, wait
from pathlib import Path

import pytest
from sqlalchemy import Connection, event

from app.planning.canonical import document
from app.planning.plan import Plan
from app.storage import log, news
from app.storage.changes.plans import publish_plan
from app.storage.changes.productions import remove_production
from app.storage.engine import close_store, open_store, opened, reading, writing
from app.storage.queries.ticks import since, states
from app.storage.refusals import DiskFull, Refusal
from app.storage.ticks import TickRefused
from tests.storage.opened import tick

B1, B2 = "b1", "b2"
COPY = "knots/scaled/1"


def said(production: int) -> list[tuple[int | None, str]]:
    """Return the number and kind of every stored event."""
    with reading() as connection:
        return [(each.n, each.event) for each in since(connection, production)]


def test_ticks_are_numbered_in_the_order_in_which_they_come(planned: int) -> None:
    """Tests the log that everything else is read from."""
    assert log.append(planned, [tick("started", "a", batch=B1)]) == [1]
    assert log.append(
        planned, [tick("staged", "b", batch=B1, lost=[COPY]), tick("started", "c", batch=B2)]
    ) == [2, 3]
    assert said(planned) == [(1, "started"), (2, "staged"), (3, "started")]


def test_an_event_has_the_form_of_the_log(planned: int) -> None:
    """Tests the JSON object that a file of events holds, a line each."""
    log.append(planned, [tick("lost", "a", copy=COPY, why="dropped")])
    with reading() as connection:
        assert [document(each) for each in since(connection, planned)] == [
            {
                "n": 1,
                "at": "2027-03-04T11:49",
                "once": "a",
                "by": "cook-1",
                "event": "lost",
                "copy": COPY,
                "why": "dropped",
            }
        ]


def test_since_tells_only_what_came_after(planned: int) -> None:
    """Tests what a screen asks for when it is back."""
    log.append(planned, [tick("started", "a", batch=B1), tick("started", "b", batch=B2)])
    with reading() as connection:
        assert [each.n for each in since(connection, planned, 1)] == [2]
        assert since(connection, planned, 2) == []


def test_a_repeated_request_gets_the_same_number_and_changes_nothing(planned: int) -> None:
    """Tests a phone that got no answer and sends again."""
    first = log.append(planned, [tick("started", "a", batch=B1)])
    log.append(planned, [tick("started", "b", batch=B2)])
    assert log.append(planned, [tick("started", "a", batch=B1)]) == first
    assert len(said(planned)) == 2


def test_a_double_tap_with_two_keys_is_one_event(planned: int) -> None:
    """The tick says the state that is wanted, so the second one says nothing new."""
    assert log.append(planned, [tick("started", "a", batch=B1)]) == [1]
    assert log.append(planned, [tick("started", "b", batch=B1)]) == [1]
    assert said(planned) == [(1, "started")]


def test_a_tick_that_said_nothing_new_stays_answered_after_an_undo(planned: int) -> None:
    """Else a late repetition would start again what somebody has taken back."""
    log.append(planned, [tick("started", "a", batch=B1)])
    log.append(planned, [tick("started", "b", batch=B1)])
    log.append(planned, [tick("undone", "c", undoes=1)])
    assert log.append(planned, [tick("started", "b", batch=B1)]) == [1]
    with reading() as connection:
        assert states(connection, planned).of(B1).state == "planned"


def test_the_same_key_twice_in_one_request_is_one_event(planned: int) -> None:
    """Tests an outbox that holds a tick twice."""
    assert log.append(planned, [tick("started", "a", batch=B1)] * 3) == [1, 1, 1]
    assert len(said(planned)) == 1


def test_keys_of_two_productions_do_not_meet(planned: int, knots_day: object) -> None:
    """Tests that a key counts within its production."""
    from app.storage.changes.productions import copy_production

    with reading() as connection:
        plan = since(connection, planned)
    assert plan == []
    with writing() as connection:
        other = copy_production(connection, planned, "Other", by="Ada", once="copy")
    log.append(planned, [tick("started", "a", batch=B1)])
    with pytest.raises(TickRefused, match="has no published plan"):
        log.append(other, [tick("started", "a", batch=B1)])


def test_an_undo_may_name_the_key_of_a_tick_that_was_never_answered(planned: int) -> None:
    """Tests a phone that ticks and takes back without network; both arrive in order."""
    sent = [tick("started", "a", batch=B1), tick("undone", "b", undoes_once="a")]
    assert log.append(planned, sent) == [1, 2]
    with reading() as connection:
        assert states(connection, planned).of(B1).state == "planned"
        assert document(since(connection, planned)[1])["undoes"] == 1


def test_an_undo_twice_is_one_event(planned: int) -> None:
    """Two people take the same tick back."""
    log.append(planned, [tick("started", "a", batch=B1)])
    assert log.append(planned, [tick("undone", "b", undoes=1)]) == [2]
    assert log.append(planned, [tick("undone", "c", undoes=1)]) == [2]


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        (tick("started", "x", batch="b99"), "Plan 1 has no batch “b99”"),
        (tick("staged", "x", batch="b99"), "Plan 1 has no batch “b99”"),
        (tick("staged", "x", batch="b2", lost=[COPY]), "does not make knots/scaled/1"),
        (tick("lost", "x", copy="knots/scaled/99"), "no copy “knots/scaled/99”"),
        (tick("undone", "x", undoes=9), "no such tick to take back"),
        (tick("undone", "x", undoes_once="never"), "no such tick to take back"),
        (tick("started", "x", batch="b1", plan=7), "plan 1 holds now"),
    ],
)
def test_a_tick_that_cannot_be_is_refused_in_a_sentence(
    planned: int, bad: log.AnyTick, words: str
) -> None:
    """Of what must be stored whole nothing is; of what stands for itself all the rest."""
    good = tick("started", "good", batch=B2)
    with pytest.raises(TickRefused, match=words):
        log.append(planned, [good, bad])
    assert said(planned) == []
    outcomes = log.append_each(planned, [good, bad])
    assert outcomes[0] == 1
    assert isinstance(outcomes[1], Refusal)
    assert said(planned) == [(1, "started")]


def test_a_refused_tick_leaves_its_key_free(planned: int) -> None:
    """Tests that the mended tick is not taken for a repetition."""
    log.append_each(planned, [tick("started", "a", batch="b99")])
    assert log.append(planned, [tick("started", "a", batch=B1)]) == [1]


def test_a_tick_of_an_unknown_or_removed_production_is_refused(planned: int) -> None:
    """Tests a phone that was left on an old page."""
    with pytest.raises(TickRefused, match="no such production"):
        log.append(99, [tick("started", "a", batch=B1)])
    log.append(planned, [tick("started", "a", batch=B1)])
    with writing() as connection:
        remove_production(connection, planned, by="Ada", once="out")
    with pytest.raises(TickRefused, match="no such production"):
        log.append(planned, [tick("started", "b", batch=B2)])


def test_a_tick_of_a_void_plan_is_refused(planned: int, knots_plan: Plan) -> None:
    """Batch 2 of the old plan may be something else in the new one."""
    log.append(planned, [tick("started", "a", batch=B1), tick("undone", "b", undoes=1)])
    with writing() as connection:
        publish_plan(connection, planned, knots_plan, by="Ada", once="second")
    with pytest.raises(TickRefused, match="This row is of plan 1; plan 2 holds now"):
        log.append(planned, [tick("started", "c", batch=B1, plan=1)])
    with pytest.raises(TickRefused, match="no such tick to take back"):
        log.append(planned, [tick("undone", "d", undoes=2)])
    assert log.append(planned, [tick("started", "e", batch=B1, plan=2)]) == [3]


def test_many_at_once_each_get_their_own_number(planned: int, knots_plan: Plan) -> None:
    """Sixteen threads, each batch ticked by four of them: every event once, no number twice."""
    batches = [batch.id for batch in knots_plan.batches]

    def tick_all(thread: int) -> list[int]:
        sent = [tick("started", f"{thread}-{batch}", batch=batch) for batch in batches]
        return [n for each in sent for n in log.append(planned, [each])]

    with ThreadPoolExecutor(16) as threads:
        told = list(threads.map(tick_all, range(16)))
    assert len({tuple(each) for each in told}) == 1
    assert sorted(told[0]) == list(range(1, len(batches) + 1))
    assert len(said(planned)) == len(batches)


def test_what_is_handed_over_together_is_stored_with_one_commit(planned: int) -> None:
    """Tests that forty ticks that wait for the disk do not wait forty times."""
    commits: list[int] = []
    event.listen(opened().writer, "commit", lambda _: commits.append(1))
    with writing():
        sent = [
            log.submit(planned, [tick("lost", f"{at}", copy=f"knots/scaled/{at % 5 + 1}")])
            for at in range(40)
        ]
    wait(sent)
    assert all(isinstance(each, int) for future in sent for each in future.result())
    # The one above, one for what came first, one for what waited meanwhile.
    assert len(commits) <= 3


def test_nothing_is_answered_before_it_is_stored(planned: int) -> None:
    """Tests that a number is told only after the commit."""
    stored = threading.Event()
    event.listen(opened().writer, "commit", lambda _: stored.set())
    with writing():
        asked = log.submit(planned, [tick("started", "a", batch=B1)])
        assert not asked.done()
    asked.result(5)
    assert stored.is_set()


def test_a_full_disk_is_told_and_the_same_tick_can_be_sent_again(planned: int) -> None:
    """Tests that a tick that was not stored is not remembered as stored."""
    with writing() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    many = [tick("lost", f"{at}", copy=COPY, why="x" * 500) for at in range(1)]
    full = None
    for at in range(200):
        try:
            log.append(planned, [tick("started", f"s{at}", batch=B1, plan=1)])
            log.append(planned, [tick("undone", f"u{at}", undoes_once=f"s{at}")])
        except DiskFull:
            full = at
            break
    assert full is not None
    before = said(planned)
    with writing() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 1000000")
    assert log.append(planned, many) == [len(before) + 1]
    assert [n for n, _ in said(planned)] == list(range(1, len(before) + 2))


def test_one_that_breaks_does_not_take_the_others_along(
    planned: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a commit that failed, each request is stored by itself."""
    from app.storage import appending

    whole = appending.Appender.append

    def breaks(
        self: appending.Appender, connection: Connection, asked: list[appending.Asked]
    ) -> list[appending.Appended]:
        done = whole(self, connection, asked)
        if any(each.once == "bad" for _, ticks, _ in asked for each in ticks):
            raise ZeroDivisionError
        return done

    monkeypatch.setattr(appending.Appender, "append", breaks)
    with writing():
        good = log.submit(planned, [tick("started", "good", batch=B1)])
        bad = log.submit(planned, [tick("started", "bad", batch=B2)])
        also = log.submit(planned, [tick("staged", "also", batch=B1)])
    assert (good.result(5), also.result(5)) == ([1], [2])
    with pytest.raises(ZeroDivisionError):
        bad.result(5)
    assert said(planned) == [(1, "started"), (2, "staged")]


def test_a_store_in_trouble_is_told_to_everybody_at_once(
    planned: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tests that forty phones do not wait for forty vain attempts."""
    from app.storage import appending

    asked: list[int] = []

    def fails(*_: object) -> None:
        asked.append(1)
        raise DiskFull("The disk is full.")

    with writing():
        monkeypatch.setattr(appending.Appender, "append", fails)
        sent = [log.submit(planned, [tick("started", f"{at}", batch=B1)]) for at in range(40)]
    for each in sent:
        with pytest.raises(DiskFull):
            each.result(5)
    assert len(asked) <= 3


def test_who_gives_up_waiting_does_not_stop_the_log(planned: int) -> None:
    """Tests a phone that goes away between the tap and the answer."""
    with writing():
        gone = log.submit(planned, [tick("started", "gone", batch=B1)])
        gone.cancel()
    assert len(log.append(planned, [tick("started", "here", batch=B2)])) == 1


def test_an_async_route_can_wait_for_the_answer(planned: int) -> None:
    """Tests the way in that takes no thread of the server's."""

    async def ask() -> list[log.Outcome]:
        sent = log.submit(planned, [tick("started", "a", batch=B1)])
        return await asyncio.wrap_future(sent)

    assert asyncio.run(ask()) == [1]


def test_news_come_after_the_commit_with_their_numbers(planned: int) -> None:
    """Tests that who hears of a tick can read it."""
    heard: list[news.News] = []
    readable: list[int] = []
    is_over = threading.Event()

    def listener(told: news.News) -> None:
        heard.append(told)
        readable.extend(each.n or 0 for each in log_since(told.production))
        if told.n == 2:
            is_over.set()

    stop = news.listen(listener)
    log.append(planned, [tick("started", "a", batch=B1)])
    log.append(planned, [tick("started", "b", batch=B1)])
    log.append(planned, [tick("started", "c", batch=B2)])
    assert is_over.wait(5)
    stop()
    assert [(told.kind, told.n, len(told.ticks)) for told in heard] == [
        ("ticks", 1, 1),
        ("ticks", 2, 1),
    ]
    assert readable == [1, 1, 2]


def log_since(production: int) -> list[log.AnyTick]:
    """Return all events of a production."""
    with reading() as connection:
        return log.since(connection, production)


def test_the_log_goes_on_after_the_store_was_closed_and_opened(planned: int, store: Path) -> None:
    """Tests a second start: the numbers count on."""
    log.append(planned, [tick("started", "a", batch=B1)])
    close_store()
    open_store(store)
    assert log.append(planned, [tick("started", "a", batch=B1)]) == [1]
    assert log.append(planned, [tick("started", "b", batch=B2)]) == [2]
