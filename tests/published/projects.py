"""Published projects as days: activities are stages with several inputs and items of many units."""

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from app.planning.day import Day
from app.planning.reading import read_day

MIDNIGHT = datetime(2027, 3, 1)
LONG_MIN = 100_000
PROJECTS: dict[str, Any] = json.loads((Path(__file__).parent / "projects.json").read_text("utf-8"))


def project_day(name: str, deadline_min: int) -> Day:
    """Return a published project that is wanted whole at the deadline.

    An activity is a stage made once, of as many copies as there are activities that wait for it.
    A last stage of a minute takes all that nothing else takes, so the need comes a minute later.
    """
    project = PROJECTS[name]
    served = (MIDNIGHT + timedelta(minutes=deadline_min + 1)).strftime("%Y-%m-%dT%H:%M")
    stages = _stages(project["activities"])
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": stages[-1]["id"]}]}
    document = {
        "format": "day/1",
        "title": f"{name} at {deadline_min}",
        "timezone": "UTC",
        "prep_from": MIDNIGHT.strftime("%Y-%m-%dT%H:%M"),
        "policy": {"ready_margin_min": 0, "return_min": 0},
        "kitchen": {
            "equipment": [
                {"id": f"r{at}", "kind": f"res-{at}", "units": units}
                for at, units in enumerate(project["units"])
            ]
        },
        "demonstrations": [{"id": "project", "title": name, "stages": stages, "beats": [beat]}],
        "runs": [{"id": "run", "demonstration": "project", "kind": "take", "starts": served}],
    }
    return read_day(document)


def _stages(activities: list[list[Any]]) -> list[dict[str, Any]]:
    takers = {number: 0 for number, *_ in activities}
    for _, _, _, before in activities:
        for number in before:
            takers[number] += 1
    stages = [_activity(each, max(1, takers[each[0]])) for each in activities]
    last = [number for number, count in takers.items() if count == 0]
    end = {"id": "served", "from": [{"stage": f"a{number}"} for number in last]}
    way = {"id": "w", "phases": [{"lasts_min": 1}]}
    return [*stages, end | {"keeps_min": LONG_MIN, "ways": [way]}]


def _activity(activity: list[Any], copies: int) -> dict[str, Any]:
    number, lasts_min, units, before = activity
    phase: dict[str, Any] = {"lasts_min": lasts_min}
    held = [{"kind": f"res-{at}", "per_batch": each} for at, each in enumerate(units) if each]
    if held:
        phase["equipment"] = held
    stage: dict[str, Any] = {"id": f"a{number}", "keeps_min": LONG_MIN, "yields": copies}
    if before:
        stage["from"] = [{"stage": f"a{each}"} for each in before]
    return stage | {"ways": [{"id": "w", "batch_max": copies, "phases": [phase]}]}
