"""Short days written down in a few lines, for figures that were published in a few lines."""

from typing import Any

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.reading import read_day

Document = dict[str, Any]


def step(name: str, *phases: Document, takes: str | None = None, keeps_min: int = 600) -> Document:
    """Return a stage that one way makes, from another stage or from ingredients."""
    stage: Document = {"id": name, "keeps_min": keeps_min}
    if takes is not None:
        stage["from"] = [{"stage": takes}]
    stage["ways"] = [{"id": "way", "batch_max": 50, "phases": list(phases)}]
    return stage


def steps(*lengths: tuple[str, int]) -> list[Document]:
    """Return stages of one phase each, every one made from the one before."""
    made: list[Document] = []
    for name, lasts_min in lengths:
        before = made[-1]["id"] if made else None
        made.append(step(name, {"lasts_min": lasts_min}, takes=before))
    return made


def beat(name: str, needs: list[Document], starts_s: int = 0) -> Document:
    """Return a beat of a minute."""
    return {"id": name, "starts_s": starts_s, "lasts_s": 60, "needs": needs}


def short_day(
    stages: list[Document], beats: list[Document], at: str, prep_from: str, **kitchen: Any
) -> Day:
    """Return a day of one demonstration that is shown once, with no margin."""
    dish = {"id": "dish", "title": "dish", "stages": stages, "beats": beats}
    return read_day(
        {
            "format": "day/1",
            "title": "published",
            "timezone": "UTC",
            "prep_from": prep_from,
            "policy": {"ready_margin_min": 0},
            "kitchen": kitchen,
            "demonstrations": [dish],
            "runs": [{"id": "show", "demonstration": "dish", "kind": "take", "starts": at}],
        }
    )


def begun(day: Day, plan: Plan) -> dict[str, str]:
    """Return when the batch of each stage starts, as `hh:mm`."""
    clock = Clock(day.timezone)
    return {batch.stage: clock.hour(clock.minute(batch.starts)) for batch in plan.batches}
