"""Facts dropped from a day file by hand, one at a time: shares nothing with the planner."""

from copy import deepcopy
from typing import Any

Document = dict[str, Any]
MANY = 100
LONG_MIN = 10**5
ALWAYS = ["2020-01-01T00:00", "2040-01-01T00:00"]


def without(document: Document, kind: str, ids: tuple[str, ...], part: str) -> Document:
    """Return a day without one of its facts; a run whose time is dropped is not at all."""
    day = deepcopy(document)
    DROPS[kind](day, ids, part)
    return day


def _run(day: Document, ids: tuple[str, ...], part: str) -> None:
    if part == "margin":
        _one(day["runs"], ids[0])["ready_margin_min"] = 0
    else:
        day["runs"] = [run for run in day["runs"] if run["id"] != ids[0]]


def _need(day: Document, ids: tuple[str, ...], part: str) -> None:
    run = _one(day["runs"], ids[0])
    beat = _one(_one(day["demonstrations"], run["demonstration"])["beats"], ids[1])
    if part == "margin":
        next(need for need in beat["needs"] if need["stage"] == ids[2])["ready_margin_min"] = 0
    else:
        beat["needs"] = [need for need in beat["needs"] if need["stage"] != ids[2]]


def _keeps(day: Document, ids: tuple[str, ...], part: str) -> None:
    _stage(day, ids)["keeps_min"] = LONG_MIN


def _way(day: Document, ids: tuple[str, ...], part: str) -> None:
    for phase in _one(_stage(day, ids)["ways"], ids[2])["phases"]:
        phase |= {"lasts_min": 1, "per_copy_min": 0, "per_copy_s": 0}


def _equipment(day: Document, ids: tuple[str, ...], part: str) -> None:
    item = _one(day["kitchen"]["equipment"], ids[0])
    if part == "units":
        item["units"] = MANY
    elif part == "closed":
        item["closed"] = []
    elif part == "change":
        item["settings"]["change_min"] = 0
    else:
        del item["settings"]


def _crew(day: Document, ids: tuple[str, ...], part: str) -> None:
    cook = _one(day["kitchen"]["crew"], ids[0])
    if part == "hands":
        day["kitchen"]["crew"] += [{**cook, "id": f"{ids[0]}-{i}"} for i in range(9)]
    elif part == "shifts":
        cook["shifts"] = [ALWAYS]
    else:
        ways = [way for each in day["demonstrations"] for stage in each["stages"]
                for way in stage["ways"]]  # fmt: skip
        skills = {phase.get("skill") for way in ways for phase in way["phases"]}
        cook["skills"] = sorted(skills - {None})


def _shelf(day: Document, ids: tuple[str, ...], part: str) -> None:
    _one(day["kitchen"]["shelves"], ids[0])["levels"] += [MANY]


def _prep_from(day: Document, ids: tuple[str, ...], part: str) -> None:
    day["prep_from"] = ALWAYS[0]


def _policy(day: Document, ids: tuple[str, ...], part: str) -> None:
    nothing = {"reuse": True, "confidence": 1e-6}.get(ids[0], 0)
    day.setdefault("policy", {})[ids[0]] = nothing


DROPS = {
    "run": _run, "need": _need, "keeps": _keeps, "way": _way, "equipment": _equipment,
    "crew": _crew, "shelf": _shelf, "prep_from": _prep_from, "policy": _policy,
}  # fmt: skip


def _stage(day: Document, ids: tuple[str, ...]) -> Document:
    return _one(_one(day["demonstrations"], ids[0])["stages"], ids[1])


def _one(things: list[Document], wanted: str) -> Document:
    return next(each for each in things if each["id"] == wanted)
