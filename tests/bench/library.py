"""The same published instances in a general scheduling library, as its own users would put them.

The package pyjobshop is no dependency of ours: install it beside (`pip install pyjobshop`; it
takes the same OR-Tools) and the bench measures it in the same run.
"""

import time
from importlib.util import find_spec
from typing import Any

WORKERS = 2
ABSENT = "pyjobshop is not installed, so there is nothing to compare with: pip install pyjobshop"
ANSWERS = {"Optimal": "served", "Feasible": "served", "Infeasible": "refused"}


def is_there() -> bool:
    """Return whether the package is installed."""
    return find_spec("pyjobshop") is not None


def asked(instance: dict[str, Any], deadline_min: int | None, limit_s: float) -> tuple[str, float]:
    """Return what the library answers and the seconds it takes, its own modelling included.

    Parameters
    ----------
    instance
        A shop (`jobs`) or a project (`units`, `activities`).
    deadline_min
        All must be done by then, and nothing more is asked; None: as early as possible, proven.
    """
    from pyjobshop import Model

    began = time.monotonic()
    model = Model()
    latest = {} if deadline_min is None else {"latest_end": deadline_min}
    (_shop if "jobs" in instance else _project)(model, instance, latest)
    if deadline_min is not None:
        model.set_objective(weight_makespan=0)
    result = model.solve(solver="ortools", time_limit=limit_s, display=False, num_workers=WORKERS)
    status = result.status.value
    if deadline_min is None and status == "Optimal":
        return f"{result.objective:.0f}, proven", time.monotonic() - began
    return ANSWERS.get(status, status.lower()), time.monotonic() - began


def _shop(model: Any, shop: dict[str, Any], latest: dict[str, int]) -> None:
    numbers = sorted({machine for job in shop["jobs"] for machine, _ in job})
    machines = {number: model.add_machine() for number in numbers}
    for steps in shop["jobs"]:
        job = model.add_job()
        before = None
        for machine, lasts_min in steps:
            task = model.add_task(job=job, **latest)
            model.add_mode(task, machines[machine], lasts_min)
            if before is not None:
                model.add_end_before_start(before, task)
            before = task


def _project(model: Any, project: dict[str, Any], latest: dict[str, int]) -> None:
    resources = [model.add_renewable(units) for units in project["units"]]
    tasks: dict[int, Any] = {}
    for number, lasts_min, units, _ in project["activities"]:
        tasks[number] = model.add_task(**latest)
        model.add_mode(tasks[number], resources, lasts_min, units)
    for number, _, _, before in project["activities"]:
        for earlier in before:
            model.add_end_before_start(tasks[earlier], tasks[number])
