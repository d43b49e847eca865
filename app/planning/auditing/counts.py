"""How many copies of each stage, by where they came from and by what they are for."""

from collections import Counter

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Item
from app.planning.plan import Count

Kind = tuple[str, str]
COLUMNS = ("made", "stock", "carried_in", "on_camera", "feeds", "backups", "spares")
ROLES = {"camera": "on_camera", "feeds": "feeds", "backup": "backups", "spare": "spares"}


def counts(ledger: Ledger) -> Breaches:
    """Yield the rows of the count that do not count the plan's copies.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    found: dict[Kind, Counter[str]] = {}
    for item in ledger.items.values():
        row = found.setdefault((item.copy.demonstration, item.copy.stage), Counter())
        row[_origin(item)] += 1
        row[_role(ledger, item)] += 1
    seen: set[Kind] = set()
    for told in ledger.plan.counts:
        kind = told.demonstration, told.stage
        if kind in seen or kind not in ledger.stages:
            why = "counted twice" if kind in seen else "counted, but not in the day"
            yield Breach("goals", kind, f"{tidy(' '.join(kind))} is {why}.")
        else:
            yield from _row(kind, told, found.get(kind, Counter()))
        seen.add(kind)
    for kind in found.keys() - seen:
        yield Breach("goals", kind, f"{tidy(' '.join(kind))} has copies, but no count.")


def _row(kind: Kind, told: Count, found: Counter[str]) -> Breaches:
    for column in COLUMNS:
        number = getattr(told, column)
        if number != found[column]:
            yield Breach(
                "goals",
                (*kind, column),
                f"{' '.join(kind)} counts {found[column]} {column}, the plan tells {number}.",
            )


def _origin(item: Item) -> str:
    origin = item.copy.made_by
    if origin.batch is not None:
        return "made"
    return "stock" if origin.stock is not None else "carried_in"


def _role(ledger: Ledger, item: Item) -> str:
    """Return what a copy is for, by its takers rather than by what it says of itself."""
    takings = ledger.takings.get(item.copy.id)
    if takings:
        return "on_camera" if takings[0].demand else "feeds"
    return "backups" if item.copy.id in ledger.backed else ROLES[item.copy.role]
