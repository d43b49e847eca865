"""Spans of time: shifts, closed spans, and how long the whole day may be."""

from collections.abc import Iterator
from functools import partial

from app.planning.refusals.fault import Found, Path, shown
from app.planning.refusals.outline import Outline
from app.planning.refusals.sketch import Sketch

MOST_DAYS = 60
DAY_MIN = 24 * 60


def backwards(day: Outline) -> Iterator[Found]:
    """Find spans that end before they start, or as they start."""
    holders = [(item, "closed") for item in day.kitchen.parts("equipment")]
    holders += [(cook, "shifts") for cook in day.kitchen.parts("crew")]
    for holder, key in holders:
        for path, start, end in _spans(holder, key):
            if day.minute(end) <= day.minute(start):
                words = f"ends {shown(end)}, not after it starts {shown(start)}"
                yield Found(path, f"{words}; write the later time second")


def overlapping(day: Outline) -> Iterator[Found]:
    """Find shifts of one person that overlap; shifts that touch are one."""
    for cook in day.kitchen.parts("crew"):
        forward = [
            (day.minute(start), day.minute(end), path, start)
            for path, start, end in _spans(cook, "shifts")
            if day.minute(start) < day.minute(end)
        ]
        latest: int | None = None
        for starts, ends, path, text in sorted(forward):
            if latest is not None and starts < latest:
                yield Found(path, partial(_within_another, text, cook.text("id")))
            latest = ends if latest is None else max(latest, ends)


def _within_another(start: str, cook: str | None) -> str:
    return (
        f"starts {shown(start)}, within another shift of {shown(cook)}; make them one, or move one"
    )


def cold_too_soon(day: Outline) -> Iterator[Found]:
    """Find items that are cold again sooner than they change their setting."""
    for item in day.kitchen.parts("equipment"):
        settings = item.part("settings")
        if settings is None:
            continue
        change, cold = settings.value("change_min"), settings.value("cold_after_min")
        if change is not None and cold is not None and cold < change:
            words = f"{cold} is less than change_min {change}; write {change} or more"
            yield Found(settings.at("cold_after_min"), words)


def too_long(day: Outline) -> Iterator[Found]:
    """Find runs more than sixty days away from the start of the prep."""
    prep_from = day.root.value("prep_from")
    if prep_from is None:
        return
    first = day.minute(prep_from)
    for run in day.root.parts("runs"):
        starts = run.value("starts")
        if starts is not None and abs(day.minute(starts) - first) > MOST_DAYS * DAY_MIN:
            words = f"{shown(starts)} is more than {MOST_DAYS} days from prep_from"
            mend = f"{shown(prep_from)}; move one of them, or make two productions"
            yield Found(run.at("starts"), f"{words} {mend}")


def _spans(holder: Sketch, key: str) -> Iterator[tuple[Path, str, str]]:
    for number, (start, end) in holder.entries(key):
        yield holder.at(key, number), start, end


RULES = (backwards, overlapping, cold_too_soon, too_long)
