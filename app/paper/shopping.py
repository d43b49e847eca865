"""Shopping list: what to buy, by the place where it is kept; tools, tins and equipment."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from app.food.larder import Larder
from app.paper import face
from app.paper.paper import Given, Paper
from app.planning.costs import plan_cost
from app.planning.dates import short_date
from app.planning.day import Day
from app.planning.gear import KINDS, Gear, gear
from app.planning.listing import Place, listing, money
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.shopping import shopping
from app.planning.takings import takings

CALLED = {
    "equipment": "Equipment",
    "container": "Tins and containers",
    "tool": "Tools",
    "dressing": "Dressing",
}
MOST_FOR = 2
Others = tuple[tuple[Day, Plan], ...]


@dataclass(frozen=True)
class Thing:
    """Something to have or hire, in words."""

    name: str
    most: str
    at: str
    used_for: str
    is_short: bool


def _shown(day: Day, plan: Plan, given: Given) -> dict[str, Any]:
    is_known = given.larder is not None
    return content(((day, plan), *given.others), given.larder or Larder(), is_known=is_known)


def content(plans: Others, larder: Larder, *, is_known: bool) -> dict[str, Any]:
    """Return what the template shows: places with their rows, the sum, the things, for whom."""
    found = shopping([each for day, plan in plans for each in takings(day, plan)], larder)
    clock = Clock(plans[0][0].timezone)
    return {
        "places": listing(found, larder),
        "price": money(found.price, larder.currency) if found.price else "",
        "unpriced": len(found.unpriced),
        "used": used(plans, larder) if found.price else "",
        "is_known": is_known,
        "things": tuple(things(gear(plans), clock)),
        "plans": tuple((day.title, plan.number) for day, plan in plans),
        "dates": {date: short_date(date) for date in dates(listing(found, larder))},
    }


def used(plans: Others, larder: Larder) -> str:
    """Return what is used of the packs costs, and what of it goes into backups and for losses."""
    costs = [plan_cost(day, plan, larder) for day, plan in plans]
    whole, backups, spares = (
        money(sum((each.money for each in some), Fraction(0)), larder.currency)
        for some in (
            [cost.whole for cost in costs],
            [cost.backups for cost in costs],
            [cost.spares for cost in costs],
        )
    )
    return f"Of the packs {whole} is used: {backups} for backups, {spares} for expected losses."


def dates(places: Iterable[Place]) -> list[str]:
    """Return the dates on which something is needed."""
    return sorted({each.date for place in places for row in place.rows for each in row.days})


def things(found: list[Gear], clock: Clock) -> Iterable[tuple[str, tuple[Thing, ...]]]:
    """Yield what to have or hire, a kind after the other."""
    for kind in KINDS:
        some = [each for each in found if each.kind == kind]
        if some:
            yield CALLED[kind], tuple(_thing(each, clock) for each in some)


def _thing(each: Gear, clock: Clock) -> Thing:
    at = clock.text(each.at)
    rest = len(each.used_for) - MOST_FOR
    words = "; ".join(each.used_for[:MOST_FOR]) + (f"; and {rest} more" if rest > 0 else "")
    of = f" of {each.there}" if each.there else ""
    return Thing(
        name=each.name,
        most=f"{each.most}{of}",
        at=f"{short_date(at)}, {face.hour(at)}",
        used_for=words,
        is_short=each.there is not None and each.most > each.there,
    )


PAPER = Paper("shopping.html", "Shopping list", _shown)
draw = PAPER.draw
