"""Work in a process of its own: started afresh, stopped or killed, gone when its parent is gone."""

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection, wait
from typing import Any


class Apart:
    """A child process that runs `work(pipe, *given)` and talks through `pipe`."""

    def __init__(self, work: Callable[..., None], *given: Any) -> None:
        afresh = multiprocessing.get_context("spawn")
        self.pipe, theirs = afresh.Pipe()
        self._process = afresh.Process(target=_run, args=(work, theirs, given), daemon=True)
        with _interrupts_held_back():
            self._process.start()
        # Else the pipe would stay open on this side and never tell that the child died.
        theirs.close()

    @property
    def is_alive(self) -> bool:
        """Return whether the child still runs."""
        return self._process.is_alive()

    def kill(self) -> None:
        """End the child at once."""
        self._process.kill()

    def has_aborted(self) -> bool:
        """Wait until the child is gone and return whether a library in it gave up."""
        self._process.join()
        return self._process.exitcode == -signal.SIGABRT

    def ended(self) -> str:
        """Wait until the child is gone and return how it went, in words."""
        self._process.join()
        status = self._process.exitcode or 0
        if status >= 0:
            return f"it ended with status {status}"
        if -status == signal.SIGKILL:
            return "it was killed, perhaps because the machine ran out of memory"
        return f"it was ended by {signal.Signals(-status).name}"


def _run(work: Callable[..., None], pipe: Connection, given: tuple[Any, ...]) -> None:
    # Ctrl-C is for the parent; the engine would hear it in spite of an ignored signal.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.setpgrp()
    threading.Thread(target=_leave_with_the_parent, daemon=True).start()
    # A parent that hung up wants no answer any more.
    with contextlib.suppress(BrokenPipeError, EOFError):
        work(pipe, *given)


def _leave_with_the_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
    os._exit(1)


@contextlib.contextmanager
def _interrupts_held_back() -> Any:
    # Ctrl-C goes to the whole group: a child must not die of it before it can say otherwise.
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
