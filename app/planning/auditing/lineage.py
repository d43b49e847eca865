"""What each batch is made from, where each copy comes from, and what it is for."""

from collections import Counter
from collections.abc import Iterable

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger, words
from app.planning.auditing.origins import origins
from app.planning.auditing.parts import Item, Making
from app.planning.auditing.tags import tags
from app.planning.plan import Taker

Kind = tuple[str, str]


def lineage(ledger: Ledger) -> Breaches:
    """Yield what does not fit together between batches, copies, beats, stock, roles and tags.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    yield from _doubled_ids(ledger)
    yield from _forgotten(ledger)
    for making in ledger.makings:
        yield from _unknown_way(making)
        yield from _inputs(ledger, making)
        yield from _unlisted_copies(ledger, making)
    yield from _inputs_at_hand(ledger)
    yield from origins(ledger)
    takers = _takers(ledger)
    for item in ledger.items.values():
        yield from _takers_agree(item, takers.get(item.copy.id, Counter()))
        yield from _order_agrees(ledger, item)
        yield from _role(ledger, item, bool(takers.get(item.copy.id)))
    yield from tags(ledger)


def _doubled_ids(ledger: Ledger) -> Breaches:
    for what, ids in (
        ("batches", [batch.id for batch in ledger.plan.batches]),
        ("copies", [copy.id for copy in ledger.plan.copies]),
    ):
        for each, times in Counter(ids).items():
            if times > 1:
                yield Breach("lineage", (each,), f"{times} {what} are called {tidy(each)}.")


def _forgotten(ledger: Ledger) -> Breaches:
    """Yield the batches that have begun, and the copies that somebody spoke of, left out."""
    for batch in sorted(ledger.history.begun - ledger.making.keys()):
        yield Breach("lineage", (batch,), f"batch {tidy(batch)} has begun, and is left out.")
    for copy in sorted(ledger.history.named - ledger.items.keys()):
        yield Breach("lineage", (copy,), f"{tidy(copy)} is there, or was, and is left out.")


def _unknown_way(making: Making) -> Breaches:
    batch = making.batch
    if making.way is None:
        yield Breach(
            "lineage",
            (batch.id,),
            f"batch {tidy(batch.id)} is made by {tidy(batch.way)} into {tidy(batch.demonstration)} "
            f"{tidy(batch.stage)}, which the day does not know.",
        )


def _inputs(ledger: Ledger, making: Making) -> Breaches:
    """Yield where a batch does not take whole sets of each input, for all that it starts."""
    if making.stage is None or making.way is None:
        return
    batch, sets = making.batch, -(-making.size // making.stage.yields_by(making.way))
    wanted = {
        (each.demonstration or batch.demonstration, each.stage): each.count * sets
        for each in making.stage.takes_by(making.way)
    }
    found = Counter(_kind_of(ledger, copy) for copy in dict.fromkeys(batch.consumes))
    for kind in dict.fromkeys((*wanted, *found)):
        if wanted.get(kind, 0) != found[kind]:
            yield Breach(
                "lineage",
                (batch.id, *kind),
                f"batch {tidy(batch.id)} at {ledger.at(making.starts)} takes {found[kind]} of "
                f"{tidy(' '.join(kind))}; a batch of {making.size} takes {wanted.get(kind, 0)}.",
            )


def _kind_of(ledger: Ledger, copy: str) -> Kind:
    item = ledger.items.get(copy)
    return (item.copy.demonstration, item.copy.stage) if item else ("unknown", copy)


def _inputs_at_hand(ledger: Ledger) -> Breaches:
    """Yield what is staged, or back, only after the batch that takes it has started."""
    for step in ledger.all_steps():
        making, ready, start = step.taking.making, step.ready, step.taking.start
        if making and ready is not None and ready > start and not ledger.is_begun(making):
            copy = step.item.copy.id
            yield Breach(
                "lineage",
                (making.batch.id, copy),
                f"batch {tidy(making.batch.id)} starts at {ledger.at(start)}, before "
                f"{tidy(copy)} is at hand at {ledger.at(ready)}.",
            )


def _unlisted_copies(ledger: Ledger, making: Making) -> Breaches:
    batch = making.batch
    if len(set(batch.copies)) < len(batch.copies):
        yield Breach("lineage", (batch.id,), f"batch {tidy(batch.id)} lists a copy twice.")
    for copy in dict.fromkeys(batch.copies):
        item = ledger.items.get(copy)
        if item is None or item.making is not making:
            yield Breach(
                "lineage",
                (batch.id, copy),
                f"batch {tidy(batch.id)} starts {tidy(copy)}, which the copies do not say.",
            )


def _takers(ledger: Ledger) -> dict[str, Counter[Taker]]:
    """Return who takes each copy, by what batches and uses say."""
    takers: dict[str, Counter[Taker]] = {}
    for batch in ledger.plan.batches:
        _note(takers, batch.consumes, Taker(batch=batch.id))
    for use in ledger.plan.uses:
        _note(takers, use.copies, Taker(use=(use.run, use.beat)))
    return takers


def _note(takers: dict[str, Counter[Taker]], copies: Iterable[str], taker: Taker) -> None:
    for copy in set(copies):
        takers.setdefault(copy, Counter())[taker] += 1


def _takers_agree(item: Item, takers: Counter[Taker]) -> Breaches:
    told = Counter(item.copy.taken_by)
    if told != takers:
        apart = [*(told - takers), *(takers - told)]
        yield Breach(
            "lineage",
            (item.copy.id, *(_called(each) for each in apart)),
            f"{tidy(item.copy.id)} and its takers do not tell the same: "
            f"{words(_called(each) for each in apart)}.",
        )


def _called(taker: Taker) -> str:
    return taker.batch or " ".join(taker.use or ("nobody",))


def _order_agrees(ledger: Ledger, item: Item) -> Breaches:
    """Yield where the takers of a copy are not told in time order."""
    starts = []
    for taker in item.copy.taken_by:
        making = ledger.making.get(taker.batch or "")
        moment = ledger.programme.moments.get(taker.use or ("", ""))
        if making and making.starts is not None:
            starts.append(making.starts * 60)
        elif moment:
            starts.append(moment.starts_s)
    if starts != sorted(starts):
        yield Breach(
            "lineage",
            (item.copy.id,),
            f"{tidy(item.copy.id)} tells its takers out of the order of time.",
        )


def _role(ledger: Ledger, item: Item, taken: bool) -> Breaches:
    """Yield a copy whose role is not what it is first taken for, or that is for nothing."""
    copy = item.copy
    true = _true_role(ledger, item, taken)
    if true != copy.role:
        yield Breach(
            "lineage",
            (copy.id,),
            f"{tidy(copy.id)}, staged {ledger.at(item.staged)}, is said to be {copy.role}, "
            f"but is {true or 'for nothing'}.",
        )


def _true_role(ledger: Ledger, item: Item, taken: bool) -> str | None:
    takings = ledger.takings.get(item.copy.id)
    if takings:
        return "camera" if takings[0].demand else "feeds"
    if taken:
        return item.copy.role
    if item.copy.id in ledger.backed:
        return "backup"
    is_kept = item.making or item.copy.id in ledger.history.named
    return "spare" if is_kept and item.copy.role == "spare" else None
