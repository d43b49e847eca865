"""The shopping list: what to buy for a production or several, what it costs, what to hire."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from app.food.larder import Larder
from app.planning.costs import Cost, PlanCost, plan_cost
from app.planning.day import Day
from app.planning.gear import KINDS, Gear, gear
from app.planning.listing import Place, listing, money
from app.planning.minutes import Clock
from app.planning.plan import Copy, Plan
from app.planning.shopping import Shopping, shopping
from app.planning.takings import takings
from app.planning.tasks import tags_in_words
from app.storage.engine import reading
from app.storage.queries.goods import larder
from app.storage.queries.productions import ProductionRow, all_productions
from app.web.letters import Letter, letters
from app.web.page import answer
from app.web.seen import Seen, see

router = APIRouter(prefix="/productions/{id}/shopping")
CALLED = {
    "equipment": "Equipment",
    "container": "Tins and containers",
    "tool": "Tools",
    "dressing": "Dressing",
}
MOST_TOGETHER = 12
Together = Annotated[list[int] | None, Query(alias="with")]


@dataclass(frozen=True)
class CostRow:
    """What copies of one stage cost, in words; empty where nothing of it is known.

    `each` holds which copies cost how much: those that cost the same stand together.
    """

    letter: Letter
    name: str
    copies: int
    each: tuple[tuple[str, str], ...]
    backups: int
    backup_tags: str
    backups_cost: str
    spares: int
    spares_cost: str


@dataclass(frozen=True)
class Costs:
    """What a plan costs in ingredients used, in words."""

    whole: str
    backups: str
    spares: str
    rows: tuple[CostRow, ...]
    unpriced: tuple[str, ...]


@router.get("")
def list_of_one_or_more(request: Request, id: int, together: Together = None) -> Response:
    """Show what to buy for a production, and for those that are named beside it."""
    seen = see(id)
    others = _others(id)
    chosen = [each.id for each in others if each.id in (together or ())][:MOST_TOGETHER]
    with reading() as conn:
        house = larder(conn)
    values: dict[str, Any] = {"seen": seen, "production": seen.production}
    if seen.plan is not None:
        beside = _planned(chosen)
        bought = [(each.planned, each.plan) for each in (seen, *beside) if each.plan]
        values |= _bought(seen, bought, house) | {"beside": beside}
    return answer(
        request,
        "shopping/page.html",
        "shopping/_part.html",
        others=others,
        chosen=chosen,
        currency=house.currency,
        **values,
    )


def bought_beside(id: int, beside: str) -> list[Seen]:
    """Return the further productions with a plan that an address names: *2,5*."""
    known = named(beside)
    return _planned([each.id for each in _others(id) if each.id in known][:MOST_TOGETHER])


def named(beside: str) -> set[int]:
    """Return the numbers of productions that an address names."""
    return {
        int(each)
        for each in beside.split(",")
        if each.isascii() and each.isdecimal() and len(each) < 10
    }


def _others(id: int) -> list[ProductionRow]:
    """Return the other productions that have a plan."""
    with reading() as conn:
        return [each for each in all_productions(conn) if each.plan and each.id != id]


def _planned(ids: list[int]) -> list[Seen]:
    return [seen for each in ids if (seen := see(each)).plan is not None]


def _bought(seen: Seen, bought: list[tuple[Day, Plan]], house: Larder) -> dict[str, Any]:
    found = shopping([each for day, plan in bought for each in takings(day, plan)], house)
    places = listing(found, house)
    clock = Clock(seen.planned.timezone)
    assert seen.plan is not None
    cost = plan_cost(seen.planned, seen.plan, house)
    return {
        "places": places,
        "several_days": _has_several_days(places),
        "price": money(found.price, house.currency) if found.price else "",
        "unpriced": found.unpriced,
        "things": _things(gear(bought)),
        "when": {each.at: clock.text(each.at) for each in gear(bought)},
        "costs": _costs(seen, cost, house.currency) if _is_priced(found, cost) else None,
    }


def _has_several_days(places: tuple[Place, ...]) -> bool:
    return len({day.date for place in places for row in place.rows for day in row.days}) > 1


def _things(found: list[Gear]) -> list[tuple[str, list[Gear]]]:
    """Return what to have or hire, a kind after the other."""
    kinds = [(CALLED[kind], [each for each in found if each.kind == kind]) for kind in KINDS]
    return [(called, some) for called, some in kinds if some]


def _is_priced(found: Shopping, cost: PlanCost) -> bool:
    return any(line.price is not None for line in found.lines) or bool(cost.whole.money)


def _costs(seen: Seen, cost: PlanCost, currency: str) -> Costs:
    known = letters(seen.planned, seen.plan)
    made: dict[tuple[str, str], list[Copy]] = {}
    for copy in seen.plan.copies if seen.plan else ():
        if copy.made_by.batch is not None:
            made.setdefault((copy.demonstration, copy.stage), []).append(copy)
    rows = [
        CostRow(
            letter=known[each.demonstration],
            name=seen.planned.stage(each.demonstration, each.stage).called,
            copies=each.copies,
            each=_each(made[each.demonstration, each.stage], cost, currency),
            backups=each.backups,
            backup_tags=_tags(
                copy for copy in made[each.demonstration, each.stage] if copy.role == "backup"
            ),
            backups_cost=_said(each.backups_cost, currency),
            spares=each.spares,
            spares_cost=_said(each.spares_cost, currency),
        )
        for each in cost.stages
    ]
    return Costs(
        whole=_said(cost.whole, currency),
        backups=_said(cost.backups, currency),
        spares=_said(cost.spares, currency),
        rows=tuple(rows),
        unpriced=tuple(sorted(cost.whole.unpriced, key=str.lower)),
    )


def _said(cost: Cost, currency: str) -> str:
    """Return a cost in words; *at least* where a price is missing, nothing where all are."""
    if not cost.money:
        return "" if cost.unpriced else money(cost.money, currency)
    return f"{'at least ' if cost.unpriced else ''}{money(cost.money, currency)}"


def _each(copies: list[Copy], cost: PlanCost, currency: str) -> tuple[tuple[str, str], ...]:
    """Return which copies cost how much, the cheapest first."""
    alike: dict[Cost, list[Copy]] = {}
    for copy in copies:
        alike.setdefault(cost.copies[copy.id], []).append(copy)
    ordered = sorted(alike, key=lambda each: each.money)
    return tuple((_tags(alike[each]), _said(each, currency)) for each in ordered)


def _tags(copies: Iterable[Copy]) -> str:
    return tags_in_words(tuple(copy.tag for copy in copies))
