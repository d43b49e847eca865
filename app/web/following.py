"""What a page follows beside ticks: marks that are other ones once what it shows has changed.

Readings of thermometers, changes of the house (larder, limits), decisions by name, ticks that the
clocks of food count from, edits, drafts, and what another production changes in a shared kitchen
reach every open page as ticks do. A part bears the marks that it was drawn with, the stream tells
those that hold, and `follow.js` has a part drawn anew that differs.
"""

import hashlib
import json
from collections.abc import Collection

from markupsafe import Markup
from sqlalchemy import Connection

from app.storage.engine import reading
from app.storage.news import HOUSE
from app.storage.queries.decisions import newest_decision
from app.storage.queries.drafts import draft_mark
from app.storage.queries.goods import newest_house_change
from app.storage.queries.kitchens import kitchen_mark
from app.storage.queries.plans import day_planned, published
from app.storage.queries.productions import newest_change
from app.storage.queries.ticks import states
from app.storage.refusals import NotThere, StoreTrouble
from app.web.clocks import lateness
from app.web.page import TEMPLATE_SET
from app.web.undecided import Undecided, undecided

Marks = dict[str, str]
NAMES = (
    *("house", "measured", "lost", "late", "decided", "undecided"),
    *("changes", "kitchen", "draft"),
)
LENGTH = 12


def marks_of(
    production: int,
    names: Collection[str] = NAMES,
    warned: list[Undecided] | None = None,
) -> Marks:
    """Return marks of a production; for none, only those of the house.

    Parameters
    ----------
    production
        Its number, or `HOUSE`.
    names
        Which marks are asked for.
    warned
        What nobody has decided, where that is known already.

    Raises
    ------
    NotThere
        If there is no such production.
    """
    asked = {"house"} & set(names) if production == HOUSE else set(names)
    marks: Marks = {}
    if "undecided" in asked:
        found = undecided(production) if warned is None else warned
        marks["undecided"] = _mark([each.words for each in found])
        asked.remove("undecided")
    return marks | _stored(production, asked) if asked else marks


def _stored(production: int, asked: set[str]) -> Marks:
    """Return those marks that are read from the store."""
    marks: Marks = {}
    with reading() as conn:
        if "house" in asked:
            marks["house"] = str(newest_house_change(conn))
        if asked & {"measured", "lost"}:
            told = states(conn, production)
            marks["measured"] = _count([each.n or 0 for each in told.measured])
            marks["lost"] = _count([each.said.n for each in told.lost.values()])
        if "late" in asked:
            marks["late"] = _mark(_late(conn, production))
        if "decided" in asked:
            marks["decided"] = newest_decision(conn, production)
        if "changes" in asked:
            marks["changes"] = str(newest_change(conn, production))
        if "kitchen" in asked:
            marks["kitchen"] = kitchen_mark(conn, production)
        if "draft" in asked:
            marks["draft"] = draft_mark(conn, production)
    return marks


def follows(production: int, *names: str, warned: list[Undecided] | None = None) -> Markup:
    """Return the attribute of a part that is drawn anew when one of these marks changes.

    Parameters
    ----------
    production
        Its number; `HOUSE` for a page that belongs to none.
    names
        Of *house*, *measured*, *lost*, *late*, *decided*, *undecided*, *changes*, *kitchen*,
        *draft*.
    warned
        What nobody has decided, where the page knows that already.
    """
    try:
        marks = marks_of(production, names, warned)
    except (NotThere, StoreTrouble):
        return Markup("")
    mine = json.dumps({name: marks[name] for name in names})
    return Markup(' data-follows="{}"').format(mine)


def _late(conn: Connection, production: int) -> list[str]:
    """Return which batches were earlier or later than planned, which the clocks count from."""
    told, plan = states(conn, production), published(conn, production)
    if plan is None or not told.batches:
        return []
    late_min = lateness(day_planned(conn, production), plan, told)
    return [f"{batch} {minutes}" for batch, minutes in late_min.items()]


def _count(numbers: list[int]) -> str:
    return f"{len(numbers)}/{max(numbers, default=0)}"


def _mark(words: list[str]) -> str:
    text = "\n".join(words)
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH] if text else ""


TEMPLATE_SET.globals["follows"] = follows
