"""Where a copy comes from: a batch, a beat that left it, or stock."""

from collections import Counter

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Item


def origins(ledger: Ledger) -> Breaches:
    """Yield the copies that nothing made, left or held, or not as the plan says.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for item in ledger.items.values():
        yield from _one_origin(item)
        yield from _stage(item)
        yield from _staged(ledger, item)
        yield from _only_if_needed(ledger, item)
    yield from _left(ledger)
    yield from _stock(ledger)


def _one_origin(item: Item) -> Breaches:
    made_by = item.copy.made_by
    told = sum(each is not None for each in (made_by.batch, made_by.use, made_by.stock))
    known = sum(each is not None for each in (item.making, item.left_by, item.stock))
    if told != 1 or known != 1:
        yield Breach(
            "lineage",
            (item.copy.id,),
            f"{tidy(item.copy.id)} does not come from one batch, beat or stock entry.",
        )
    elif item.making and item.copy.id not in item.making.batch.copies:
        yield Breach(
            "lineage",
            (item.copy.id, item.making.batch.id),
            f"{tidy(item.copy.id)} says that batch {tidy(item.making.batch.id)} made it, which "
            f"does not.",
        )


def _stage(item: Item) -> Breaches:
    """Yield a copy that is of another stage than what it comes from gives."""
    stage = (item.copy.demonstration, item.copy.stage)
    given = stage
    if item.making:
        given = (item.making.batch.demonstration, item.making.batch.stage)
    elif item.stock:
        given = (item.stock.demonstration, item.stock.stage)
    if item.stage is None or stage != given:
        yield Breach(
            "lineage",
            (item.copy.id, *stage),
            f"{tidy(item.copy.id)} cannot be {tidy(' '.join(stage))}: it comes from "
            f"{tidy(' '.join(given))}.",
        )


def _staged(ledger: Ledger, item: Item) -> Breaches:
    told = ledger.minute(item.copy.staged_at)
    if told is None or told != item.staged:
        yield Breach(
            "lineage",
            (item.copy.id,),
            f"{tidy(item.copy.id)} is said to be staged at {tidy(item.copy.staged_at)}, "
            f"but is at {ledger.at(item.staged)}.",
        )


def _only_if_needed(ledger: Ledger, item: Item) -> Breaches:
    """Yield stock and leavings that the plan lists although nothing wants them."""
    wanted = item.copy.id in ledger.takings or item.copy.id in ledger.backed
    wanted = wanted or item.copy.id in ledger.history.named
    if not wanted and (item.stock or item.left_by):
        yield Breach(
            "lineage",
            (item.copy.id,),
            f"{tidy(item.copy.id)} is listed, but nothing takes it and it backs nothing.",
        )


def _left(ledger: Ledger) -> Breaches:
    found = Counter(
        (*item.left_by.key, item.copy.stage)
        for item in ledger.items.values()
        if item.left_by and item.left_by.run.demonstration == item.copy.demonstration
    )
    for item in ledger.items.values():
        if item.left_by and item.left_by.run.demonstration != item.copy.demonstration:
            found[*item.left_by.key, tidy(f"{item.copy.demonstration} {item.copy.stage}")] += 1
    for key, count in found.items():
        new = ledger.new_left(key)
        if count > new:
            moment = ledger.programme.moments[key[:2]]
            yield Breach(
                "lineage",
                key,
                f"{' '.join(key[:2])} leaves {new} new copies of {tidy(key[2])} at "
                f"{ledger.at(moment.staged)}, the plan lists {count}.",
            )


def _stock(ledger: Ledger) -> Breaches:
    found = Counter(item.stock.id for item in ledger.items.values() if item.stock)
    for entry in ledger.day.stock:
        if found[entry.id] > entry.count:
            yield Breach(
                "lineage",
                (entry.id,),
                f"stock {entry.id} holds {entry.count}, the plan lists {found[entry.id]}.",
            )
