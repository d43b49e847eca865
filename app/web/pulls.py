"""The pull list: what to fetch, by stage for the bench and by beat for the set."""

from dataclasses import dataclass
from fractions import Fraction
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from app.food.densities import grams
from app.food.larder import Larder
from app.food.measures import Quantity
from app.food.rounding import decimal
from app.planning.care import cautions
from app.planning.cores import core_due_c
from app.planning.pulls import Amount, BatchPull, BeatPull, StagePull, beat_pulls, stage_pulls
from app.storage.engine import reading
from app.storage.queries.goods import larder, newest_house_change
from app.storage.queries.photographs import photographs_now
from app.web.board import nearest, prep_dates
from app.web.clocks import eaten_by_batch, heeded_by_beat
from app.web.floor import Floor, floor, kept
from app.web.letters import letters
from app.web.page import answer
from app.web.words import date as date_in_words

router = APIRouter()


@dataclass(frozen=True)
class Size:
    """Batches that take the same amounts."""

    label: str
    amounts: tuple[Amount, ...]


@router.get("/productions/{id}/pulls")
def pulls(request: Request, id: int, by: str = "stage", day: str = "") -> HTMLResponse:
    """Show the pull list by stage, or by beat of a date."""
    found = floor(request, id)
    if not isinstance(found, Floor):
        return answer(request, "floor/unplanned.html", "floor/_unplanned.html", production=found)
    is_by_beat = by == "beat"
    beats = _beats(id, found) if is_by_beat else []
    stages = [] if is_by_beat else _stages(id, found)
    with reading() as conn:
        photos = photographs_now(conn, id)
    dates = sorted({found.clock.date(each.starts) for each in beats}) or prep_dates(found)
    chosen = day if day in dates else nearest(dates, found.today)
    return answer(
        request,
        "pulls/page.html",
        "pulls/_beats.html" if is_by_beat else "pulls/_stages.html",
        production=found.production,
        floor=found,
        is_by_beat=is_by_beat,
        eaten={} if is_by_beat else eaten_by_batch(found),
        heeded=heeded_by_beat(found) if is_by_beat else {},
        letters=letters(found.day, found.plan),
        stages=[(each, sizes(each)) for each in stages],
        percents=_percents(id, found) if stages else {},
        cautions={each.batches[0].batch: _cautions(found, each) for each in stages},
        photos=photos,
        beats=[each for each in beats if found.clock.date(each.starts) == chosen],
        dates=[(date, date_in_words(date)) for date in dates],
        only_date=dates[0] if len(dates) == 1 else "",
        chosen=chosen,
    )


def _stages(id: int, floor: Floor) -> list[StagePull]:
    what = f"stages {_house()}"
    return kept(id, floor.plan, what, lambda: stage_pulls(floor.day, floor.plan, _larder()))


def _beats(id: int, floor: Floor) -> list[BeatPull]:
    what = f"beats {_house()}"
    return kept(id, floor.plan, what, lambda: beat_pulls(floor.day, floor.plan, _larder()))


def _percents(id: int, floor: Floor) -> dict[tuple[str, str], str]:
    """Return the baker's percentages of each stage with flour, as the address of their sum."""
    what = f"percents {_house()}"
    return kept(id, floor.plan, what, lambda: _all_percents(_stages(id, floor), _larder()))


def _all_percents(pulls: list[StagePull], house: Larder) -> dict[tuple[str, str], str]:
    found = {}
    for pull in pulls:
        parts = [line for each in pull.ingredients if (line := _part(each, house))]
        if len(parts) > 1 and any("flour" in each.lower() for each in parts):
            query = {"sum": "percents", "parts": "\n".join(parts)}
            found[pull.demonstration, pull.stage] = urlencode(query)
    return found


def _part(each: Amount, house: Larder) -> str:
    """Return an ingredient with its grams, nothing where nobody knows them."""
    if not each.amount:
        return ""
    mass = grams(each.name, Quantity(Fraction(each.amount), each.unit), house.weights)
    return "" if mass is None else f"{each.name} {decimal(mass.number)}"


def _house() -> int:
    """Return the number of what the house last changed: amounts are in its measures."""
    with reading() as conn:
        return newest_house_change(conn)


def _larder() -> Larder:
    with reading() as conn:
        return larder(conn)


def _cautions(floor: Floor, pull: StagePull) -> list[str]:
    """Return what to take care of in a stage, by the ways that the plan takes."""
    stage = floor.day.stage(pull.demonstration, pull.stage)
    batches = {each.batch for each in pull.batches}
    ways = {batch.way for batch in floor.plan.batches if batch.id in batches}
    core_c = core_due_c(floor.day, pull.demonstration, stage)
    used = [way for way in stage.ways if way.id in ways]
    told = [words for way in used for words in cautions(stage, way, core_c=core_c)]
    return list(dict.fromkeys(told))


def sizes(pull: StagePull) -> list[Size]:
    """Return the amounts of a stage: of all batches, then of each size of batch."""
    if not pull.ingredients:
        return []
    alike: dict[tuple[int, int], list[BatchPull]] = {}
    for batch in pull.batches:
        alike.setdefault((batch.copies, batch.sets), []).append(batch)
    if len(pull.batches) == 1:
        return [Size("In all", pull.ingredients)]
    return [Size("In all", pull.ingredients)] + [
        Size(_label(copies, len(batches)), batches[0].ingredients)
        for (copies, _), batches in alike.items()
    ]


def _label(copies: int, batches: int) -> str:
    each = "A batch of" if batches == 1 else f"Each of {batches} batches of"
    return f"{each} {copies}"
