"""Published job shops as days: machines are items of one unit, jobs demonstrations."""

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from app.planning.day import Day
from app.planning.reading import read_day

MIDNIGHT = datetime(2027, 3, 1)
SHOPS: dict[str, Any] = json.loads((Path(__file__).parent / "shops.json").read_text("utf-8"))


def shop_day(name: str, deadline_min: int) -> Day:
    """Return a published job shop whose jobs are all wanted at the deadline."""
    jobs = SHOPS[name]["jobs"]
    machines = sorted({machine for job in jobs for machine, _ in job})
    due = (MIDNIGHT + timedelta(minutes=deadline_min)).strftime("%Y-%m-%dT%H:%M")
    document = {
        "format": "day/1",
        "title": f"{name} at {deadline_min}",
        "timezone": "UTC",
        "prep_from": MIDNIGHT.strftime("%Y-%m-%dT%H:%M"),
        "policy": {"ready_margin_min": 0, "return_min": 0},
        "kitchen": {"equipment": [{"id": f"m{m}", "kind": f"machine-{m}"} for m in machines]},
        "demonstrations": [_job(number, steps) for number, steps in enumerate(jobs)],
        "runs": [
            {"id": f"run-{n}", "demonstration": f"job-{n}", "kind": "take", "starts": due}
            for n in range(len(jobs))
        ],
    }
    return read_day(document)


def _job(number: int, steps: list[list[int]]) -> dict[str, Any]:
    stages: list[dict[str, Any]] = []
    for place, (machine, lasts) in enumerate(steps):
        held = {"kind": f"machine-{machine}", "per_batch": 1}
        stage: dict[str, Any] = {"id": f"s{place}", "keeps_min": 100_000}
        if stages:
            stage["from"] = [{"stage": stages[-1]["id"]}]
        stage["ways"] = [{"id": "w", "phases": [{"lasts_min": lasts, "equipment": [held]}]}]
        stages.append(stage)
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": stages[-1]["id"]}]}
    return {"id": f"job-{number}", "title": f"Job {number}", "stages": stages, "beats": [beat]}
