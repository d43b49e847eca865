"""Demonstrations, to read: what is made of what, by which ways, and what happens on camera."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.day import Day, Demonstration, Input, Phase, Stage, Way
from app.web import words
from app.web.count import chart
from app.web.errors import Told
from app.web.letters import letters, stage_codes
from app.web.page import answer
from app.web.seen import see

router = APIRouter(prefix="/productions/{id}/demonstrations")
WIDE = 1320.0


@dataclass(frozen=True)
class WayTold:
    """A way in words."""

    name: str
    takes: str
    batch: str
    lasts: str
    phases: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class StageTold:
    """A stage with its ways in words."""

    stage: Stage
    code: str
    keeps: str
    room: str
    ways: tuple[WayTold, ...]


@router.get("")
def demonstrations(request: Request, id: int) -> Response:
    """List the demonstrations."""
    seen = see(id)
    return answer(
        request,
        "demonstrations/list.html",
        "demonstrations/_list.html",
        seen=seen,
        production=seen.production,
        letters=letters(seen.day, seen.plan),
    )


@router.get("/{demonstration}")
def demonstration(request: Request, id: int, demonstration: str) -> Response:
    """Show one demonstration whole."""
    seen = see(id)
    found = next((each for each in seen.day.demonstrations if each.id == demonstration), None)
    if found is None:
        there = f"/productions/{id}/demonstrations"
        raise Told(404, "There is no such demonstration.", then="All demonstrations", go=there)
    is_planned = seen.plan is not None and any(
        copy.demonstration == found.id for copy in seen.plan.copies
    )
    return answer(
        request,
        "demonstrations/page.html",
        "demonstrations/_part.html",
        seen=seen,
        production=seen.production,
        shown=found,
        letter=letters(seen.day, seen.plan)[found.id],
        chart=chart(seen.planned, seen.plan, found.id, WIDE) if is_planned and seen.plan else None,
        stages=_stages(seen.day, found),
        names={each.id: each.called for each in found.stages},
    )


def _stages(day: Day, shown: Demonstration) -> list[StageTold]:
    codes = stage_codes(shown)
    return [
        StageTold(
            stage=each,
            code=codes[each.id],
            keeps=words.lasting(each.keeps_min),
            room=_room(each),
            ways=tuple(_way(day, shown, each, way) for way in each.ways),
        )
        for each in shown.stages
    ]


def _room(stage: Stage) -> str:
    if stage.slots is not None and stage.slots > 1:
        return f"{stage.slots} slots a copy"
    if stage.copies_per_slot is not None and stage.copies_per_slot > 1:
        return f"{stage.copies_per_slot} to a slot"
    return "a slot a copy"


def _way(day: Day, shown: Demonstration, stage: Stage, way: Way) -> WayTold:
    yields = stage.yields_by(way)
    takes = words.listed([_input(day, shown, each) for each in stage.takes_by(way)])
    gives = f" give {yields}" if yields > 1 else ""
    lasts = [words.lasting(way.length_min(count)) for count in (1, way.batch_max)]
    loss = stage.loss_by(way)
    lost = f", 1 in {round(1 / loss)} is lost" if loss else ""
    return WayTold(
        name=way.called,
        takes=f"{takes}{gives}" if takes else "from ingredients",
        batch=f"up to {way.batch_max} at once{lost}",
        lasts=lasts[0] if lasts[0] == lasts[1] else f"{lasts[0]} for one, {lasts[1]} for a batch",
        phases=tuple(_phase(way, phase) for phase in way.phases),
    )


def _input(day: Day, shown: Demonstration, taken: Input) -> str:
    home = day.demonstration(taken.demonstration) if taken.demonstration else shown
    name = home.stage(taken.stage).called
    from_ = "" if home.id == shown.id else f" of {home.title}"
    return f"{taken.count} {name}{from_}"


def _phase(way: Way, phase: Phase) -> tuple[str, str]:
    """Return what is done in a phase, and what it takes."""
    each = words.listed(
        [f"{phase.per_copy_min} min a copy"] * bool(phase.per_copy_min)
        + [f"{phase.per_copy_s} s a copy"] * bool(phase.per_copy_s)
    )
    fixed = words.lasting(phase.lasts_min) if phase.lasts_min or not each else ""
    told = [" and ".join(part for part in (fixed, each) if part)]
    if phase.hands:
        skill = f", {phase.skill}" if phase.skill else ""
        told.append(words.many(phase.hands, "person", "people") + skill)
    else:
        told.append("by itself")
    for held in phase.equipment:
        setting = f" at {held.setting}" if held.setting is not None else ""
        told.append(f"{held.kind}{setting}")
    if phase.zone:
        told.append(f"stands {phase.zone}")
    return phase.does or way.called, ", ".join(told)
