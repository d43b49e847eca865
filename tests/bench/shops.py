"""Published shops and projects as days: `python -m tests.bench.shops [NAME …]`.

Each at its published optimum (to be served) and a minute under it (to be refused with proof), in a
process of its own, beside what the package pyjobshop needs for the same question in the same run,
as a ratio; its own question, the least length proven, stands beside. Both also in seconds of the
processor, which count where others work on the machine (the planner takes one core, the package
two). With `--until-known` the planner is stopped once it tells whether all can be served, which is
all that the package is asked; else it goes on with the other goals to its limit. It is a
measurement and not a test; nobody else should work on the machine meanwhile.
"""

import argparse
import time
from collections.abc import Callable
from itertools import pairwise
from math import inf
from multiprocessing.connection import Connection
from typing import Any

from app.planning.audit import audit
from app.planning.day import Day
from app.planning.solve import solve
from app.web.apart import Apart
from tests.bench.library import ABSENT, asked, is_there
from tests.bench.spent import children_s, load
from tests.published.projects import PROJECTS, project_day
from tests.published.shops import SHOPS, shop_day

LIMIT_S = 120
PATIENCE = 2


def day_of(name: str, deadline_min: int) -> Day:
    """Return the day of a published instance."""
    return (shop_day if name in SHOPS else project_day)(name, deadline_min)


def answered(
    name: str, deadline_min: int, limit_s: float, until_known: bool
) -> tuple[str, float, float]:
    """Return the planner's answer, the seconds until it was known, and those until it ended.

    It is known when the planner tells so of `unmet`; one that never does is known at the end.
    """
    began = time.monotonic()
    plan, known_s, took_s = _apart(_planned, limit_s, name, deadline_min, limit_s, until_known)
    if plan is None:
        return "no plan", inf, time.monotonic() - began
    breaches = audit(day_of(name, deadline_min), plan)
    if breaches:
        return f"{len(breaches)} breaches: {breaches[0]}", known_s, took_s
    if plan.objective.unmet == 0:
        return "served", known_s, took_s
    return ("refused" if plan.bounds.unmet else "not proven"), known_s, took_s


def _planned(
    pipe: Connection, name: str, deadline_min: int, limit_s: float, until_known: bool
) -> None:
    day, began, known_s = day_of(name, deadline_min), time.monotonic(), 0.0

    def tell(progress: Any) -> None:
        nonlocal known_s
        served = progress.goal == "unmet" and progress.best == 0
        refused = progress.goal == "unmet" and (progress.bound or 0) > 0
        if not known_s and (served or refused):
            known_s = time.monotonic() - began

    def stop() -> bool:
        return until_known and known_s > 0

    plan = solve(day, seconds=limit_s, now=time.monotonic, stop=stop, tell=tell)
    took_s = time.monotonic() - began
    pipe.send((plan, known_s or took_s, took_s))


def _library(pipe: Connection, instance: Any, deadline_min: int | None, limit_s: float) -> None:
    pipe.send((*asked(instance, deadline_min, limit_s), 0.0))


def _apart(work: Callable[..., None], limit_s: float, *given: Any) -> tuple[Any, float, float]:
    """Return the three things that a process of its own sends, or nothing in time."""
    child, began = Apart(work, *given), time.monotonic()
    try:
        if child.pipe.poll(limit_s * PATIENCE + 10):
            words, first_s, second_s = child.pipe.recv()
            return words, first_s, second_s
    except EOFError:
        print(f"    {child.ended()}")
    finally:
        child.kill()
        child.ended()
    return None, time.monotonic() - began, 0.0


def compared(name: str, limit_s: float, until_known: bool) -> None:
    """Print two lines for one instance: at its optimum, and a minute under it."""
    instance = (SHOPS if name in SHOPS else PROJECTS)[name]
    optimum = instance["optimum"]
    if is_there():
        words, least_s, _ = _apart(_library, limit_s, instance, None, limit_s)
        print(f"{name}: pyjobshop finds the least length in {least_s:.2f} s ({words})", flush=True)
    for deadline_min in (optimum, optimum - 1):
        spent_s = [children_s()]
        words, known_s, took_s = answered(name, deadline_min, limit_s, until_known)
        spent_s.append(children_s())
        line = f"{name} at {deadline_min}: {words}, known in {known_s:.2f} s, ended {took_s:.2f} s"
        if is_there():
            theirs, their_s, _ = _apart(_library, limit_s, instance, deadline_min, limit_s)
            spent_s.append(children_s())
            line += f"; pyjobshop {theirs} in {their_s:.2f} s: {took_s / their_s:.1f} times"
            line += f" ({known_s / their_s:.1f} until known)"
        used = [f"{after - before:.1f}" for before, after in pairwise(spent_s)]
        print(f"{line}; processor seconds {' and '.join(used)}, {load()}", flush=True)


def main() -> None:
    """Read what to compare, and compare."""
    names = [*SHOPS, *PROJECTS]
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("names", nargs="*", metavar="NAME", help="which of them; none: all")
    reader.add_argument("--seconds", type=float, default=LIMIT_S, help="the limit of each solve")
    reader.add_argument("--until-known", action="store_true", help="stop at the first answer")
    given = reader.parse_args()
    if not is_there():
        print(ABSENT)
    unknown = sorted(set(given.names) - set(names))
    if unknown:
        reader.error(f"{unknown[0]} is none of {', '.join(names)}")
    for name in given.names or names:
        compared(name, given.seconds, given.until_known)


if __name__ == "__main__":
    main()
