"""A copy serves one taker at a time, and nobody once it is used up."""

from collections import Counter
from collections.abc import Iterable

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger, words
from app.planning.auditing.parts import Item
from app.planning.minutes import ceil_minute


def double(ledger: Ledger) -> Breaches:
    """Yield each copy that two takers have at once, or that is taken though it is used up.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    yield from _named_twice(ledger)
    for item in ledger.items.values():
        yield from _at_once(ledger, item)
        yield from _lost(ledger, item)
        yield from _carried_without_reuse(ledger, item)
    yield from _used_up(ledger)


def _named_twice(ledger: Ledger) -> Breaches:
    for batch in ledger.plan.batches:
        for copy in _doubled(batch.consumes):
            yield Breach(
                "double",
                (copy, batch.id),
                f"batch {tidy(batch.id)} takes {tidy(copy)} twice at its start.",
            )
    for use in ledger.plan.uses:
        for copy in _doubled(use.copies):
            yield Breach(
                "double",
                (copy, use.run, use.beat, use.stage),
                f"{tidy(use.run)} {tidy(use.beat)} takes {tidy(copy)} twice.",
            )


def _doubled(ids: Iterable[str]) -> list[str]:
    return [each for each, times in Counter(ids).items() if times > 1]


def _at_once(ledger: Ledger, item: Item) -> Breaches:
    busy_until_s: float = float("-inf")
    holder = ""
    for taking in ledger.takings.get(item.copy.id, ()):
        if taking.starts_s < busy_until_s and not ledger.is_over(taking):
            until = "is used up"
            if busy_until_s != float("inf"):
                until = f"is busy until {ledger.at(ceil_minute(int(busy_until_s)))}"
            yield Breach(
                "double",
                (item.copy.id, holder, taking.called),
                f"{tidy(item.copy.id)} is taken by {tidy(taking.called)} at "
                f"{ledger.at(taking.start)}, but {until} by {tidy(holder)}.",
            )
        ends_s = taking.demand.moment.ends_s if taking.demand else float("inf")
        if ends_s > busy_until_s:
            busy_until_s, holder = ends_s, taking.called


def _lost(ledger: Ledger, item: Item) -> Breaches:
    """Yield what takes a copy that is lost, or took it, as nobody said, when it was."""
    lost = ledger.lost_at(item)
    if lost is None:
        return
    for taking in ledger.takings.get(item.copy.id, ()):
        if ledger.is_over(taking):
            told = taking.demand is None or ledger.is_told(item, taking.demand)
            if told or lost > taking.start:
                continue
        yield Breach(
            "double",
            (item.copy.id, taking.called),
            f"{tidy(item.copy.id)} is lost since {ledger.at(lost)}, yet {tidy(taking.called)} "
            f"takes it at {ledger.at(taking.start)}.",
        )


def _carried_without_reuse(ledger: Ledger, item: Item) -> Breaches:
    if ledger.day.policy.reuse:
        return
    for step in ledger.steps(item):
        if step.last and not step.on_set and not ledger.is_over(step.taking):
            yield Breach(
                "double",
                (item.copy.id, step.taking.called),
                f"{tidy(item.copy.id)} was left by {' '.join(step.last.key)} at "
                f"{ledger.at(step.last.staged)} and goes to {tidy(step.taking.called)}, "
                f"but nothing is used again.",
            )


def _used_up(ledger: Ledger) -> Breaches:
    for key, copies in ledger.served.items():
        start_s = ledger.programme.demands[key].moment.starts_s
        later = {
            copy: [taking for taking in ledger.takings[copy] if taking.starts_s > start_s]
            for copy in copies
        }
        again = [copy for copy in copies if later[copy]]
        is_over = all(ledger.is_over(taking) for copy in again for taking in later[copy])
        handed_back = ledger.programme.left.get(key, 0)
        if len(again) > handed_back and not is_over:
            yield Breach(
                "double",
                (*key, *again),
                f"{' '.join(key)} at {ledger.at(start_s // 60)} hands back {handed_back}, but "
                f"{len(again)} of its copies are taken again: {words(again)}.",
            )
