"""What nobody has decided yet and a tasting would serve: it stands on every screen."""

import time
from typing import NamedTuple

from app.planning.minutes import MINUTE_S
from app.planning.spoilt import Spoiling
from app.storage.engine import reading
from app.storage.queries.decisions import decisions, may_warn
from app.storage.queries.plans import day_planned, published
from app.storage.queries.safety import house
from app.storage.queries.ticks import states
from app.storage.refusals import NotThere, StoreTrouble
from app.web.allergens import undecided_of
from app.web.clocks import watch_now
from app.web.page import TEMPLATE_SET


class Undecided(NamedTuple):
    """A warning in words, and where somebody decides on it."""

    words: str
    address: str


def undecided(id: int) -> list[Undecided]:
    """Return what a tasting of a production would serve, undecided."""
    met: list[Undecided] = []
    try:
        with reading() as conn:
            if not may_warn(conn, id):
                return []
        address = f"/productions/{id}/allergens"
        met = [Undecided(words, address) for words in undecided_of(id)]
        return met + _cold_cores(id)
    except (NotThere, StoreTrouble):
        return met


def _cold_cores(id: int) -> list[Undecided]:
    """Return the copies to be eaten whose core was measured too cold."""
    with reading() as conn:
        plan, told = published(conn, id), states(conn, id)
        if plan is None or not told.measured:
            return []
        day, known, rows = day_planned(conn, id), house(conn), decisions(conn, id)
    spoiling = Spoiling(day, plan, watch_now(day, plan, told, known, rows), told.lost)
    return [
        Undecided(f"{each.copy.tag}: {each.why}", f"/productions/{id}/copies/{each.copy.id}")
        for each in spoiling.found(int(time.time()) // MINUTE_S)
        if each.is_mendable
    ]


TEMPLATE_SET.globals["undecided"] = undecided
