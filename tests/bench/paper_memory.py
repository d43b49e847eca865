"""How much memory each paper of 48 demonstrations takes at its peak, and how long it takes.

`python -m tests.bench.paper_memory [PAPER …]` draws each in a process of its own, from a plan that
is made up, since only its size matters. It is a measurement and not a test.
"""

import multiprocessing
import resource
import sys
import time
from importlib import import_module

from app.planning.day import Day
from tests.bench.productions import production
from tests.paper.naive import naive

PAPERS = (
    *("board", "pulls", "shelves", "runsheet", "breakdown"),
    *("labels", "allergens", "shopping"),
)
MANY, SEED = 48, 1
PRINTED, SIZE = "2027-03-03T18:05", "A4"
KB_A_MB = 1024


def measure(paper: str) -> None:
    """Print a line: pages, seconds, seconds of work, megabytes at the peak."""
    day = Day.model_validate(production(MANY, SEED))
    plan = naive(day)
    began, worked = time.perf_counter(), time.process_time()
    drawn = import_module(f"app.paper.{paper}").PAPER.drawn(day, plan, PRINTED, SIZE)
    took_s, work_s = time.perf_counter() - began, time.process_time() - worked
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // KB_A_MB
    print(
        f"{MANY} demonstrations, {paper} {SIZE}: {drawn.sheets} pages, {took_s:.0f} s, "
        f"{work_s:.0f} s of work, {peak_mb} MB at the peak",
        flush=True,
    )


if __name__ == "__main__":
    for each in sys.argv[1:] or PAPERS:
        process = multiprocessing.get_context("spawn").Process(target=measure, args=(each,))
        process.start()
        process.join()
