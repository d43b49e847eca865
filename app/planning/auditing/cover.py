"""Backups beside what a use takes, and spares beside what a batch is to give."""

import math
from collections import Counter

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.eating import was_on_camera, why_not_eaten
from app.planning.auditing.ledger import Ledger, words
from app.planning.auditing.moments import Demand, NeedKey
from app.planning.auditing.parts import Item, Making

TIE = 1e-9


def backups(ledger: Ledger) -> Breaches:
    """Yield the needs whose backups do not stand ready, or whose lack of them is not told.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for key, demand in ledger.programme.demands.items():
        yield from _listed_wrongly(ledger, key)
        is_aired = ledger.history.is_aired(demand.moment)
        for copy in ledger.backing.get(key, ()) if not is_aired else ():
            why = _why_not(ledger, demand, ledger.items[copy])
            if why:
                yield Breach(
                    "backups",
                    (copy, *key),
                    f"{tidy(copy)} cannot back {' '.join(key)} at "
                    f"{ledger.at(demand.moment.start)}: {why}.",
                )
        yield from _too_few(ledger, demand)


def _listed_wrongly(ledger: Ledger, key: NeedKey) -> Breaches:
    listed = ledger.used[key].backups if key in ledger.used else ()
    right = ledger.backing.get(key, ())
    for copy, times in Counter(listed).items():
        if times > 1 or copy not in right:
            why = "twice" if times > 1 else "though it is no copy of that stage"
            yield Breach("backups", (copy, *key), f"{tidy(copy)} is to back {' '.join(key)} {why}.")


def _why_not(ledger: Ledger, demand: Demand, item: Item) -> str | None:
    """Return what keeps a copy from standing ready beside a use, None if nothing does."""
    start, takings = demand.moment.start, ledger.takings.get(item.copy.id, ())
    ready = ledger.back(item, item.left_by) if item.left_by else item.staged
    lost, out = ledger.lost_at(item), ledger.history.out_for(item.copy.id)
    if item.stage is None or item.staged is None or ready is None:
        return "nobody can tell when it is staged"
    if ready > demand.due:
        return f"it is at hand at {ledger.at(ready)}, due at {ledger.at(demand.due)}"
    if start - item.staged > item.stage.keeps_min:
        return f"it is {start - item.staged} min old and keeps {item.stage.keeps_min}"
    if takings and takings[0].start <= start:
        return f"{tidy(takings[0].called)} takes it at {ledger.at(takings[0].start)}"
    if item.copy.role == "spare":
        return "it is a spare"
    if lost is not None:
        return f"it is lost since {ledger.at(lost)}"
    if out is not None and out in ledger.programme.moments and out != demand.moment.key:
        return f"it has gone to the set for {tidy(' '.join(out))}"
    if item.left_by and not ledger.day.policy.reuse:
        return "a beat left it and nothing is used again"
    return None


def _too_few(ledger: Ledger, demand: Demand) -> Breaches:
    key, wanted = demand.key, demand.need.backups
    listed = len(ledger.backing.get(key, ()))
    told = ledger.lacks.get((key, "backups"), 0)
    if told != max(0, wanted - listed):
        yield Breach(
            "backups",
            key,
            f"{' '.join(key)} at {ledger.at(demand.moment.start)} wants {wanted} backups, "
            f"lists {listed} and is told to lack {told}.",
        )
    is_aired = ledger.history.is_aired(demand.moment)
    left_out = _left_out(ledger, demand) if listed < wanted and not is_aired else []
    if left_out:
        yield Breach(
            "backups",
            (*key, *left_out),
            f"{' '.join(key)} at {ledger.at(demand.moment.start)} lists {listed} of {wanted} "
            f"backups, though {words(left_out)} stand ready.",
        )


def _left_out(ledger: Ledger, demand: Demand) -> list[str]:
    """Return the copies that stand ready beside a use for certain, though not listed."""
    known = {*ledger.backing.get(demand.key, ()), *ledger.served.get(demand.key, ())}
    alike = ledger.alike.get((demand.demonstration, demand.need.stage), ())
    return [
        item.copy.id
        for item in alike
        if item.copy.id not in known
        and _stands(ledger, demand, item)
        and not _why_not(ledger, demand, item)
        and not _forbidden(ledger, demand, item)
    ]


def _stands(ledger: Ledger, demand: Demand, item: Item) -> bool:
    """Tell whether a copy stands in the kitchen at a use: for a later taker, or on its shelf."""
    if demand.stage.zone not in ledger.zones:
        return True
    first = next(ledger.steps(item), None)
    if first is not None and not first.on_set:
        return True
    ends = (ledger.minute(place.to) for place in item.copy.places)
    return any(each is not None and each >= demand.moment.start for each in ends)


def _forbidden(ledger: Ledger, demand: Demand, item: Item) -> bool:
    need = demand.need
    if (need.untouched or need.tasting) and was_on_camera(ledger, demand, item):
        return True
    return need.tasting and why_not_eaten(demand, item) is not None


def spares(ledger: Ledger) -> Breaches:
    """Yield the batches that start too many or too few for their losses, and spares in use.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for item in ledger.items.values():
        busy = item.copy.id in ledger.takings or item.copy.id in ledger.backed
        if item.copy.role == "spare" and busy:
            yield Breach(
                "spares",
                (item.copy.id,),
                f"{tidy(item.copy.id)}, staged {ledger.at(item.staged)}, is a spare, yet something "
                "takes it or counts on it.",
            )
    for making in ledger.makings:
        if making.stage and making.way and making.size:
            yield from _wrong_number(ledger, making)


def _wrong_number(ledger: Ledger, making: Making) -> Breaches:
    if making.stage is None or making.way is None:
        return
    loss, idle = making.stage.loss_by(making.way), _idle(ledger, making)
    started, good = making.size, making.size - idle
    if ledger.is_begun(making):
        yield from _too_sure(ledger, making, good, loss)
        return
    if _is_right(started, good, loss, ledger.day.policy.confidence):
        return
    yield Breach(
        "spares",
        (making.batch.id,),
        f"batch {tidy(making.batch.id)} at {ledger.at(making.starts)} starts {started} copies to "
        f"give {good}; with a loss of {loss:g} that is not the least that is sure enough.",
    )


def _too_sure(ledger: Ledger, making: Making, good: int, loss: float) -> Breaches:
    """Yield a batch in the making that is to give more than it surely will.

    Once it is staged, all that are not lost are there.
    """
    if loss == 0 or good == 0 or making.batch.id in ledger.history.staged | ledger.history.seen:
        return
    lost = sum(copy in ledger.history.lost for copy in set(making.batch.copies))
    left = making.size - lost
    if good >= left or chance(left, good, loss) < ledger.day.policy.confidence - TIE:
        yield Breach(
            "spares",
            (making.batch.id,),
            f"batch {tidy(making.batch.id)}, begun at {ledger.at(making.starts)}, has {left} "
            f"copies left to give {good}; with a loss of {loss:g} that is not sure enough.",
        )


def _idle(ledger: Ledger, making: Making) -> int:
    """Return how many copies of a batch nothing takes or counts on, whatever they are called."""
    copies = set(making.batch.copies)
    return sum(each not in ledger.takings and each not in ledger.backed for each in copies)


def _is_right(started: int, good: int, loss: float, confidence: float) -> bool:
    """Tell whether `started` is the smallest number above `good` that is sure enough."""
    if loss == 0:
        return started == good
    if not 1 <= good < started:
        return False
    enough = confidence - TIE
    if chance(started, good, loss) < enough:
        return False
    return started - 1 == good or chance(started - 1, good, loss) < enough


def chance(started: int, good: int, loss: float) -> float:
    """Return the chance that of `started` copies at least `good` come out.

    Parameters
    ----------
    started, good
        Copies.
    loss
        The chance that one is lost, above 0 and below 1.

    Returns
    -------
    float
        P[Binomial(started, 1 - loss) >= good].
    """
    lost, kept = math.log(loss), math.log1p(-loss)
    return math.fsum(
        math.exp(
            math.lgamma(started + 1)
            - math.lgamma(gone + 1)
            - math.lgamma(started - gone + 1)
            + gone * lost
            + (started - gone) * kept
        )
        for gone in range(started - good + 1)
    )
