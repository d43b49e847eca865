"""How many seconds a paper takes: medians of five drawings, and the first one beside them.

`python -m tests.bench.paper` draws the knots day and its plan; `python -m tests.bench.paper DAY
PLAN` another one. The first drawing of a process also loads the PDF maker. It is a measurement
and not a test; nobody else should work on the machine meanwhile.
"""

import json
import statistics
import sys
import time
from importlib import import_module
from io import BytesIO
from pathlib import Path

from pypdf import PdfReader

from app.planning.day import Day
from app.planning.plan import Plan
from tests.live import GOLDEN

ROUNDS = 5
PRINTED = "2027-03-03T18:05"
PAPERS = (("board", "A4"), ("board", "A3"), ("pulls", "A4"), ("shelves", "A4"))


def main(day_file: Path, plan_file: Path) -> None:
    """Print a line a paper: its pages, the first drawing, the median, and seconds a page."""
    day = Day.model_validate(json.loads(day_file.read_text("utf-8")))
    plan = Plan.model_validate(json.loads(plan_file.read_text("utf-8")))
    for paper, size in PAPERS:
        took_s: list[float] = []
        for _ in range(ROUNDS + 1):
            began = time.perf_counter()
            pdf = import_module(f"app.paper.{paper}").draw(day, plan, PRINTED, size)
            took_s.append(time.perf_counter() - began)
        pages = len(PdfReader(BytesIO(pdf)).pages)
        middle_s = statistics.median(took_s[1:])
        print(
            f"{paper} {size}: {pages} pages, {len(pdf) // 1024} kB, first {took_s[0]:.2f} s, "
            f"then {middle_s:.2f} s, {1000 * middle_s / pages:.0f} ms a page"
        )


if __name__ == "__main__":
    given = [Path(each) for each in sys.argv[1:3]]
    main(*(given or [GOLDEN / "knots.day.json", GOLDEN / "knots.plan.json"]))
