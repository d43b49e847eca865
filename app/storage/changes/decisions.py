"""Somebody decides, by name, on what a tasting would serve to one who avoids it."""

from typing import Any

from sqlalchemy import Connection, delete, insert

from app.storage.changes.record import Change, record, repeated
from app.storage.clock import now
from app.storage.queries.decisions import decision_on
from app.storage.refusals import NotThere, Refusal
from app.storage.tables.decisions import DECISIONS

DECIDED, TAKEN_BACK = "decided", "decision taken back"


def decide(
    connection: Connection,
    production: int,
    key: str,
    words: str,
    decided: str,
    *,
    by: str,
    once: str,
) -> Change:
    """Keep who decided what on a warning, and when. No figure of the plan changes.

    Parameters
    ----------
    key, words
        The warning: what tells it from others, and the sentence that was decided on.
    decided
        What was decided, in words.

    Raises
    ------
    Refusal
        If somebody has decided on it before.
    """
    if first := repeated(connection, once, DECIDED):
        return first
    stored = decision_on(connection, production, key)
    if stored is not None:
        raise Refusal(
            f"{stored.by} has decided on this already: {stored.decided} Nothing was changed; "
            "take that back first if it should be otherwise."
        )
    row = {"key": key, "words": words, "decided": decided, "by": by, "at": now()}
    connection.execute(insert(DECISIONS), {"production_id": production} | row)
    said = f"{by} decided: {decided} ({words})"
    place, after = f"decisions/{key}", _kept(row)
    return record(
        connection, production, DECIDED, said, {place: None}, {place: after}, by=by, once=once
    )


def take_back_decision(
    connection: Connection, production: int, key: str, *, by: str, once: str
) -> Change:
    """Let a warning stand again.

    Raises
    ------
    NotThere
        If nobody has decided on it, or that was taken back.
    """
    if first := repeated(connection, once, TAKEN_BACK):
        return first
    stored = decision_on(connection, production, key)
    if stored is None:
        raise NotThere("There is no such decision any more. Nothing was changed.")
    of = DECISIONS.c
    connection.execute(delete(DECISIONS).where(of.production_id == production, of.key == key))
    words = f"{by} took a decision of {stored.by} back: {stored.decided} ({stored.words})"
    place, before = f"decisions/{key}", _kept(stored._asdict())
    return record(
        connection, production, TAKEN_BACK, words, {place: before}, {place: None}, by=by, once=once
    )


def _kept(row: dict[str, Any]) -> dict[str, Any]:
    return {name: row[name] for name in ("words", "decided", "by", "at")}
