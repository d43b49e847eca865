"""A process that ticks as fast as it can and says each number once it was answered.

`python -m tests.storage.ticker STORE PRODUCTION` is killed by the test in the middle of it.
"""

import sys
import threading
from pathlib import Path

from app.storage import log
from app.storage.engine import open_store
from tests.storage.opened import tick

THREADS = 4


def tick_for_ever(production: int, thread: int) -> None:
    """Start a batch and take that back, over and over; say key and number of each answer."""
    at = 0
    while True:
        key = f"{thread}-{at}"
        start = [tick("started", key, batch=f"b{thread + 1}")]
        undo = [tick("undone", f"{key}-undo", undoes_once=key)]
        for once, sent in ((key, start), (f"{key}-undo", undo)):
            n = log.append(production, sent)[0]
            sys.stdout.write(f"{once} {n}\n")
            sys.stdout.flush()
        at += 1


if __name__ == "__main__":
    open_store(Path(sys.argv[1]))
    for number in range(THREADS):
        threading.Thread(target=tick_for_ever, args=(int(sys.argv[2]), number)).start()
