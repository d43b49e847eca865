"""The log folded: what each batch is, what is lost, whatever the order in which it was said."""

import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.storage import log
from app.storage.engine import close_store, open_store, reading, writing
from app.storage.queries.ticks import of_plan, since, states
from app.storage.states import Folding, Said, fold
from app.storage.tables.events import EVENTS
from app.storage.ticks import AnyTick
from tests.storage.opened import tick


def numbered(*ticks: AnyTick) -> list[AnyTick]:
    """Return ticks as the log numbers them."""
    return [each.model_copy(update={"n": at}) for at, each in enumerate(ticks, 1)]


def started(batch: str = "b1") -> AnyTick:
    """Return a tick that a batch was started."""
    return tick("started", "k", batch=batch)


def staged(*lost: str, batch: str = "b1") -> AnyTick:
    """Return a tick that a batch is staged."""
    return tick("staged", "k", batch=batch, lost=list(lost))


def undone(n: int) -> AnyTick:
    """Return a tick that takes another back."""
    return tick("undone", "k", undoes=n)


def test_an_untouched_batch_is_planned() -> None:
    """Tests the state before anybody ticks."""
    state = fold([]).of("b1")
    assert (state.state, state.last, fold([]).n) == ("planned", None, 0)


def test_a_batch_is_started_then_staged() -> None:
    """Tests who said so, when."""
    state = fold(numbered(started(), staged("c1"))).of("b1")
    assert state.state == "staged"
    assert state.started == Said(1, "2027-03-04T11:49", "cook-1")
    assert state.last == state.staged == Said(2, "2027-03-04T11:49", "cook-1")
    assert state.lost == ("c1",)


def test_staged_implies_started() -> None:
    """Who forgets the first tap is not asked for it."""
    states = fold(numbered(staged()))
    assert states.of("b1").started == states.of("b1").staged


def test_a_start_that_arrives_late_does_not_unstage() -> None:
    """Tests a phone that was without network while another one staged."""
    state = fold(numbered(staged(), started())).of("b1")
    assert state.state == "staged"
    assert state.started == Said(2, "2027-03-04T11:49", "cook-1")


def test_the_later_word_on_what_was_lost_holds() -> None:
    """Tests that *staged* says the state that is wanted, not one more loss."""
    states = fold(numbered(staged("c1"), staged("c2")))
    assert set(states.lost) == {"c2"}


def test_an_undo_leads_back_to_the_state_before() -> None:
    """Tests one step back, then another."""
    log = numbered(started(), staged("c1"), undone(2))
    assert fold(log).of("b1").state == "started"
    assert fold(log).lost == {}
    assert fold(numbered(*log, undone(1))).of("b1").state == "planned"


def test_an_undo_can_be_taken_back() -> None:
    """Tests the undo of an undo, and of that."""
    log = numbered(started(), undone(1), undone(2))
    assert fold(log).of("b1").state == "started"
    assert fold(numbered(*log, undone(3))).of("b1").state == "planned"


def test_a_lost_copy_says_why_and_by_whom() -> None:
    """Tests copies lost by themselves beside those lost in the making."""
    states = fold(numbered(staged("c1"), tick("lost", "k", copy="c2", why="torn")))
    assert states.lost["c1"].batch == "b1"
    assert (states.lost["c2"].why, states.lost["c2"].said.n) == ("torn", 2)


def test_what_has_begun_is_told_in_order() -> None:
    """Tests what stands in the way of a new plan."""
    log = numbered(started(), started("b2"), undone(1), tick("lost", "k", copy="c9"))
    assert [said.n for said in fold(log).begun] == [2, 4]


ANY = st.one_of(
    st.sampled_from(["b1", "b2"]).map(lambda batch: started(batch)),
    st.tuples(st.sampled_from(["b1", "b2"]), st.lists(st.sampled_from("xyz"), unique=True)).map(
        lambda drawn: staged(*drawn[1], batch=drawn[0])
    ),
    st.sampled_from("xyz").map(lambda copy: tick("lost", "k", copy=copy)),
    st.integers(1, 8).map(undone),
)


@given(st.lists(ANY, max_size=12))
def test_folding_tick_by_tick_is_folding_at_once(drawn: list[AnyTick]) -> None:
    """Tests what the log keeps in memory against what a page reads from the store."""
    log = numbered(*drawn)
    step_by_step = Folding()
    for each in log:
        step_by_step.add(each)
    at_once = fold(log)
    assert step_by_step.states().batches == at_once.batches
    assert step_by_step.states().lost == at_once.lost
    step_by_step.cut(len(log) // 2)
    assert step_by_step.states().batches == fold(log[: len(log) // 2]).batches


def read(production: int) -> tuple[list[str], str]:
    """Return the keys of the log, and what the first batch is by it."""
    with reading() as connection:
        keys = [each.once for each in of_plan(connection, production)]
        return keys, states(connection, production).of("b1").state


def test_a_log_that_was_read_before_is_read_on(planned: int) -> None:
    """Tests that what is kept of it never differs from what the store holds."""
    assert read(planned) == ([], "planned")
    for sent, state in (
        (tick("started", "s", batch="b1"), "started"),
        (tick("staged", "t", batch="b1", lost=[]), "staged"),
        (tick("undone", "u", undoes_once="t"), "started"),
        (tick("undone", "v", undoes_once="s"), "planned"),
        (tick("staged", "w", batch="b1", lost=[]), "staged"),
    ):
        log.append(planned, [sent])
        with reading() as connection:
            told = since(connection, planned)
            assert states(connection, planned).of("b1") == fold(told).of("b1")
        assert read(planned) == ([each.once for each in told], state)
        assert read(planned) == ([each.once for each in told], state)


def test_what_was_not_stored_in_the_end_is_not_kept(planned: int) -> None:
    """Tests a write that reads its own ticks and fails."""
    log.append(planned, [tick("started", "s", batch="b1")])
    said = {"at": "2027-03-04T12:00", "by": "Ada", "event": "staged", "says": {"batch": "b1"}}
    row = {"production_id": planned, "n": 2, "plan_number": 1, "once": "t", "stored_at": "x"}

    def write() -> None:
        with writing() as connection:
            connection.execute(EVENTS.insert(), row | said)
            assert states(connection, planned).of("b1").state == "staged"
            raise KeyError

    with pytest.raises(KeyError):
        write()
    assert read(planned) == (["s"], "started")


def test_an_older_moment_is_read_as_it_was(planned: int) -> None:
    """Tests a reader that began before a tick, and reads after another has read it."""
    log.append(planned, [tick("started", "s", batch="b1")])
    with reading() as older:
        assert states(older, planned).n == 1
        log.append(planned, [tick("staged", "t", batch="b1", lost=[])])
        assert read(planned) == (["s", "t"], "staged")
        assert states(older, planned).of("b1").state == "started"
    assert read(planned) == (["s", "t"], "staged")


def test_another_store_has_another_log(planned: int, store: Path, tmp_path: Path) -> None:
    """Tests a backup that is opened in the place of the store."""
    close_store()
    backup = shutil.copy(store, tmp_path / "backup.sqlite")
    open_store(store)
    log.append(planned, [tick("started", "s", batch="b1")])
    assert read(planned) == (["s"], "started")
    open_store(backup)
    assert read(planned) == ([], "planned")
    log.append(planned, [tick("staged", "s", batch="b1", lost=[])])
    assert read(planned) == (["s"], "staged")


def test_what_is_ticked_as_lost_stands_beside_what_readings_told() -> None:
    """And holds where those are taken back; told once more it is the same event."""
    by_readings = tick("lost", "spoilt-1", copy="c1", why="too warm")
    by_hand = tick("lost", "hand", copy="c1", why="dropped")
    log = Folding(numbered(by_readings))
    assert log.said_before(by_hand) is None
    assert log.said_before(by_readings) == 1
    log.add(by_hand.model_copy(update={"n": 2}))
    assert log.said_before(by_hand) == log.said_before(by_readings) == 2
    log.add(undone(1).model_copy(update={"n": 3}))
    assert log.states().lost["c1"].why == "dropped"
    assert fold(numbered(by_hand, by_readings, undone(2))).lost["c1"].why == "dropped"


def test_a_plan_need_not_know_of_a_reading_that_is_taken_back() -> None:
    """A loss that is taken back is another matter."""
    log = numbered(tick("measured", "m", copy="c1", celsius=30.0), tick("lost", "l", copy="c1"))
    assert fold(numbered(*log, undone(1)), told=2).unknown == ()
    assert len(fold(numbered(*log, undone(2)), told=2).unknown) == 1
