"""How many seconds a paper takes: medians of three drawings, and the first one beside them.

`python -m tests.bench.paper` draws every paper of the example, a hundred of its labels, and the
prep board, the shopping list and the allergen sheet of 48 demonstrations, whose plan and whose
ingredients are made up, since only their number matters;
`python -m tests.bench.paper DAY PLAN` every paper of another day. The first drawing of a process
also loads the PDF maker, and the first of labels makes their codes. It is a measurement and not a
test; nobody else should work on the machine meanwhile.
"""

import json
import statistics
import sys
import time
from collections.abc import Iterator
from importlib import import_module
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any

from pypdf import PdfReader

from app.exchange.dayfile import load_day, load_plan
from app.paper.label_texts import labels
from app.planning.day import Day
from app.planning.plan import Plan
from seed_demo import example
from tests.bench.productions import production
from tests.live import ROOT
from tests.paper.naive import naive

ROUNDS = 3
PRINTED = "2027-03-03T18:05"
PAPERS = (
    *(("board", "A4"), ("board", "A3"), ("pulls", "A4"), ("shelves", "A4")),
    *(("runsheet", "A4"), ("breakdown", "A4"), ("labels", "A4")),
    *(("shopping", "A4"), ("allergens", "A4")),
)
A_HUNDRED, MANY, SEED, EACH = 100, 48, 1, 6
KINDS, FOODS = ("fresh", "dried", "whole"), ("flour", "milk", "prawns", "celery", "sesame", "beef")
CONTAINS = {"flour": ["wheat"], "milk": ["milk"], "prawns": ["crustaceans"], "sesame": ["sesame"]}


def measure(called: str, day: Day, plan: Plan, paper: str, size: str) -> None:
    """Print a line: the pages of a paper, the first drawing, the median, seconds a page."""
    took_s: list[float] = []
    for _ in range(ROUNDS + 1):
        began = time.perf_counter()
        pdf = import_module(f"app.paper.{paper}").draw(day, plan, PRINTED, size)
        took_s.append(time.perf_counter() - began)
    pages = len(PdfReader(BytesIO(pdf)).pages)
    middle_s = statistics.median(took_s[1:])
    print(
        f"{called}, {paper} {size}: {pages} pages, {len(pdf) // 1024} kB, "
        f"first {took_s[0]:.2f} s, then {middle_s:.2f} s, {1000 * middle_s / pages:.0f} ms a page",
        flush=True,
    )


def a_hundred(day: Day, plan: Plan) -> Plan:
    """Return a plan with so many of its copies that they have a hundred labels."""
    few, many = 0, len(plan.copies)
    while few < many:
        middle = (few + many) // 2
        some = plan.model_copy(update={"copies": plan.copies[:middle]})
        few, many = (middle + 1, many) if len(labels(day, some)) < A_HUNDRED else (few, middle)
    return plan.model_copy(update={"copies": plan.copies[:few]})


def fed(day: dict[str, Any]) -> dict[str, Any]:
    """Return a day with so many ingredients in each stage, and people who avoid some of them."""
    roll = Random(SEED)
    for demonstration in day["demonstrations"]:
        for stage in demonstration["stages"]:
            foods = [(roll.choice(KINDS), roll.choice(FOODS)) for _ in range(EACH)]
            stage["ingredients"] = [
                {"name": f"{kind} {food}", "amount": 100, "unit": "g"}
                | {"contains": CONTAINS.get(food, [])}
                for kind, food in foods
            ]
    for run in day["runs"]:
        run["people"] = [{"name": "Teo", "avoids": ["milk"]}]
    return day


def given(files: list[str]) -> Iterator[tuple[str, Day, Plan, str, str]]:
    """Yield what to measure: every paper of the files, or what stands above."""
    if files:
        day_file, plan_file = (Path(each) for each in files)
        day = Day.model_validate(json.loads(day_file.read_text("utf-8")))
        plan = Plan.model_validate(json.loads(plan_file.read_text("utf-8")))
        yield from ((day_file.name, day, plan, paper, size) for paper, size in PAPERS)
        return
    day = load_day(example("studio"))
    plan = load_plan((ROOT / "seed_demo" / "studio.plan.json").read_bytes())
    few = a_hundred(day, plan)
    yield f"{len(labels(day, few))} labels of the example", day, few, "labels", "A4"
    yield from (("the example", day, plan, paper, size) for paper, size in PAPERS)
    large = Day.model_validate(fed(production(MANY, SEED)))
    made_up = naive(large)
    for paper in ("board", "shopping", "allergens"):
        yield f"{MANY} demonstrations, a plan made up", large, made_up, paper, "A4"


if __name__ == "__main__":
    for each in given(sys.argv[1:]):
        measure(*each)
