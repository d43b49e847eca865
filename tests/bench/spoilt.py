"""How long it takes to tell what stands in the way, and what would help.

`python -m tests.bench.spoilt [SIZE] [SEED …]` takes generated productions that can be served, makes
each impossible in every way below, and prints a line for each: seconds of the processor for the
plan, until all blockers are told, from there until the first remedy is shown, until all are; what
is told, and of how many needs it is not known why they lack. Then medians, the 90th parts of a
hundred, and the longest. Where others work on the machine, these seconds grow somewhat, too.
"""

import statistics
import sys
import time
from collections.abc import Callable

from app.planning.advice import advised
from app.planning.audit import audit
from app.planning.blockers.words import of_more
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.solve import solve
from app.planning.watch import Progress, Watch, never
from tests.bench.dishes.steps import Document
from tests.bench.productions import production

SIZE, SEEDS = 12, (1, 2, 3, 4)
PLAN_S = 20


def too_early(day: Document) -> None:
    """The first run is on the morning of the first prep day: there is no time before it."""
    day["runs"][0]["starts"] = day["prep_from"][:10] + "T08:00"


def late_crew(day: Document) -> None:
    """On the first shoot day everybody comes at noon, and nobody the day before."""
    shoot = day["runs"][0]["starts"][:10]
    for cook in day["kitchen"]["crew"]:
        cook["shifts"] = [span for span in cook["shifts"] if span[0][:10] > shoot]
        cook["shifts"].insert(0, [f"{shoot}T12:00", f"{shoot}T20:00"])


def no_ovens(day: Document) -> None:
    """All ovens are closed up to the noon of the first shoot day."""
    shoot = day["runs"][0]["starts"][:10]
    for item in day["kitchen"]["equipment"]:
        if item["kind"] == "oven":
            item["closed"] = [[day["prep_from"], f"{shoot}T15:00"]]


def slow_ovens(day: Document) -> None:
    """One oven is left, which takes five hours to get to another setting."""
    kitchen = day["kitchen"]
    first = next(item for item in kitchen["equipment"] if item["kind"] == "oven")
    first["settings"] = {"change_min": 300, "cold_after_min": 300}
    others = [item for item in kitchen["equipment"] if item["kind"] != "oven"]
    kitchen["equipment"] = [first, *others]


def soon_stale(day: Document) -> None:
    """What the first beat of the first run needs keeps no longer than it has to stand ready."""
    run = day["runs"][0]
    shown = next(each for each in day["demonstrations"] if each["id"] == run["demonstration"])
    needed = shown["beats"][0]["needs"][0]["stage"]
    next(stage for stage in shown["stages"] if stage["id"] == needed)["keeps_min"] = 5


def slow_way(day: Document) -> None:
    """The last step of a demonstration takes three days, by any way."""
    for way in day["demonstrations"][-1]["stages"][-1]["ways"]:
        way["phases"][-1]["lasts_min"] = 4320


def no_room(day: Document) -> None:
    """There is one shelf of three slots in each zone."""
    levels = {shelf["zone"]: [3] for shelf in day["kitchen"]["shelves"]}
    day["kitchen"]["shelves"] = [
        {"id": zone, "zone": zone, "levels": slots} for zone, slots in levels.items()
    ]


def long_margin(day: Document) -> None:
    """By the house rules everything stands ready an hour before its use."""
    day.setdefault("policy", {})["ready_margin_min"] = 60


def one_pair_of_hands(day: Document) -> None:
    """One cook does it all."""
    day["kitchen"]["crew"] = [
        {**day["kitchen"]["crew"][0], "skills": ["butchery", "noodles", "pastry"]}
    ]


SPOILS: tuple[Callable[[Document], None], ...] = (
    too_early, late_crew, no_ovens, slow_ovens, soon_stale, slow_way, no_room, long_margin,
    one_pair_of_hands,
)  # fmt: skip


def timed(day: Document) -> tuple[Plan, dict[str, float]]:
    """Return the plan of a day with its advice, and the seconds that each part of it took."""
    read, began = read_day(day), time.process_time()
    at: dict[str, float] = {}

    def tell(progress: Progress) -> None:
        at.setdefault(progress.goal, time.process_time())
        if isinstance(progress.found, tuple):
            at.setdefault("first", time.process_time())

    plan = solve(read, seconds=PLAN_S, now=time.monotonic)
    planned = time.process_time()
    plan = advised(read, plan, Watch(None, time.process_time, never, tell))
    done = time.process_time()
    breaches = audit(read, plan)
    if breaches:
        raise AssertionError(breaches)
    told = at.get("remedies", done)
    took = {"plan": planned - began, "blockers": told - planned, "remedies": done - told}
    if "first" in at:
        took["first remedy"] = at["first"] - told
    return plan, took


def main(size: int, seeds: tuple[int, ...]) -> None:
    """Spoil the productions of some seeds in every way, and tell how long each took."""
    took: dict[str, list[float]] = {"blockers": [], "first remedy": [], "remedies": []}
    for seed in seeds:
        for spoil in SPOILS:
            day = production(size, seed)
            spoil(day)
            plan, seconds = timed(day)
            said = ", ".join(f"{name} {value:.1f} s" for name, value in seconds.items())
            print(f"{size}/{seed} {spoil.__name__}: {said};", _told(plan), flush=True)
            if plan.unmet:
                for name, values in took.items():
                    values += [seconds[name]] if name in seconds else []
    for name, values in took.items():
        middle, ninety = statistics.median(values), statistics.quantiles(values, n=10)[-1]
        said = f"median {middle:.2f} s, 90 of 100 within {ninety:.2f} s, all {max(values):.2f} s"
        print(f"{name}: {said}, n = {len(values)}")


def _told(plan: Plan) -> str:
    lack = f"{plan.objective.unmet} short, {plan.objective.unbacked} without backup"
    sizes = [len(blocker.facts) for blocker in plan.blockers]
    told = f"blockers of {sizes} facts; {len(plan.remedies)} remedies"
    return f"{plan.status}, {lack}; {told}. {of_more(plan.warnings) or ''}"


if __name__ == "__main__":
    size, *seeds = (int(each) for each in sys.argv[1:]) if sys.argv[1:] else (SIZE, *SEEDS)
    main(size, tuple(seeds) or SEEDS)
