"""The event log: ticks are appended, many in one synced commit, and answered once it is safe.

Whoever appends hands over and waits; one thread takes all that was handed over meanwhile and
stores it with a single commit. So a disk that syncs a few hundred times a second takes
thousands of ticks.
"""

import threading
from collections.abc import Sequence
from concurrent.futures import Future
from queue import Empty, SimpleQueue
from typing import NamedTuple

from app.storage import appending, engine, news
from app.storage.queries.ticks import since
from app.storage.refusals import NoStore, Refusal, StoreTrouble
from app.storage.ticks import AnyTick

MOST_AT_ONCE = 500
Outcome = int | Refusal
__all__ = ["append", "append_each", "since", "submit"]


class _Handed(NamedTuple):
    production: int
    ticks: tuple[AnyTick, ...]
    is_whole: bool
    answer: "Future[list[Outcome]]"


def append(production: int, ticks: Sequence[AnyTick]) -> list[int]:
    """Store ticks, all or none, and return their numbers once they are safe on the disk.

    A tick whose `once` is known, or that says what the log says already, gets the number of the
    event that is there, and nothing is stored twice.

    Raises
    ------
    TickRefused
        If one of them cannot be: an unknown batch or copy, a plan that is void. Nothing is stored.
    StoreTrouble
        If the disk does not take it. Nothing is stored.
    """
    outcomes = _hand_over(production, ticks, is_whole=True).result()
    for each in outcomes:
        if isinstance(each, Refusal):
            raise each
    return [each for each in outcomes if isinstance(each, int)]


def append_each(production: int, ticks: Sequence[AnyTick]) -> list[Outcome]:
    """Store each tick that can be, and return for each its number or its refusal."""
    return submit(production, ticks).result()


def submit(production: int, ticks: Sequence[AnyTick]) -> "Future[list[Outcome]]":
    """Hand ticks over like `append_each` and return at once.

    An async route awaits `asyncio.wrap_future(submit(...))`.
    """
    return _hand_over(production, ticks, is_whole=False)


class _Writer(threading.Thread):
    """The one thread that appends to the log of a store."""

    def __init__(self) -> None:
        super().__init__(name="event log", daemon=True)
        self.handed: SimpleQueue[_Handed | None] = SimpleQueue()
        self.appender = appending.Appender()

    def run(self) -> None:
        """Store what is handed over until the store closes."""
        while first := self.handed.get():
            group, is_last = self._gather(first)
            # Whoever gave up waiting got no answer and sends again.
            self._store([each for each in group if each.answer.set_running_or_notify_cancel()])
            if is_last:
                return

    def stop(self) -> None:
        """Store what was handed over before, then end."""
        self.handed.put(None)
        self.join()
        while not self.handed.empty():
            if late := self.handed.get():
                late.answer.set_exception(NoStore("The store was closed. Nothing was stored."))

    def _gather(self, first: _Handed) -> tuple[list[_Handed], bool]:
        group, count = [first], len(first.ticks)
        while count < MOST_AT_ONCE:
            try:
                handed = self.handed.get_nowait()
            except Empty:
                break
            if handed is None:
                return group, True
            group.append(handed)
            count += len(handed.ticks)
        return group, False

    def _store(self, group: list[_Handed]) -> None:
        try:
            stored = self._commit(group)
        except BaseException as error:
            self.appender.forget()
            self._store_alone(group, error)
            return
        for handed, done in zip(group, stored, strict=True):
            handed.answer.set_result(done.outcomes)
            if done.new:
                n = done.new[-1].n or 0
                news.tell(news.News(done.production, "ticks", n, tuple(done.new)))

    def _store_alone(self, group: list[_Handed], error: BaseException) -> None:
        """After a failure, store each by itself, so that nobody fails for another's tick.

        Where the store itself is in trouble, it is so for all of them.
        """
        if len(group) > 1 and not isinstance(error, StoreTrouble):
            for handed in group:
                self._store([handed])
            return
        for handed in group:
            handed.answer.set_exception(error)

    def _commit(self, group: list[_Handed]) -> list[appending.Appended]:
        with engine.writing() as connection:
            asked = [(each.production, each.ticks, each.is_whole) for each in group]
            return self.appender.append(connection, asked)


_starting = threading.Lock()
_writers: dict[engine.Store, _Writer] = {}


def _hand_over(
    production: int, ticks: Sequence[AnyTick], *, is_whole: bool
) -> "Future[list[Outcome]]":
    handed = _Handed(production, tuple(ticks), is_whole, Future())
    _writer().handed.put(handed)
    return handed.answer


def _writer() -> _Writer:
    store = engine.opened()
    writer = _writers.get(store)
    if writer is not None:
        return writer
    with _starting:
        if store not in _writers:
            writer = _writers[store] = _Writer()
            store.on_close.append(lambda: _writers.pop(store).stop())
            writer.start()
        return _writers[store]
