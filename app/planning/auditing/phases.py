"""The phases of each batch: without a gap, as long as they are, and not before the prep starts."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Making
from app.planning.day import Way


def phases(ledger: Ledger) -> Breaches:
    """Yield the batches whose phases do not follow the way, or that hold too many copies.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for making in ledger.makings:
        yield from _readable(making)
        yield from _no_gap(ledger, making)
        if making.way:
            yield from (_really if ledger.is_begun(making) else _lengths)(
                ledger, making, making.way
            )
            yield from _size(ledger, making, making.way)


def _readable(making: Making) -> Breaches:
    for number, span in enumerate(making.spans, start=1):
        if span is None:
            yield Breach(
                "phases",
                (making.batch.id,),
                f"phase {number} of batch {tidy(making.batch.id)} has no readable times.",
            )


def _no_gap(ledger: Ledger, making: Making) -> Breaches:
    for number, (one, then) in enumerate(zip(making.spans, making.spans[1:], strict=False), 1):
        if one and then and one[1] != then[0]:
            yield Breach(
                "phases",
                (making.batch.id,),
                f"phase {number} of batch {tidy(making.batch.id)} ends at {ledger.at(one[1])}, "
                f"the next starts at {ledger.at(then[0])}.",
            )


def _lengths(ledger: Ledger, making: Making, way: Way) -> Breaches:
    if len(making.spans) != len(way.phases):
        yield _not_as_many(making, way)
        return
    for number, (span, phase) in enumerate(zip(making.spans, way.phases, strict=True), 1):
        length = phase.length_min(making.size)
        if span and span[1] - span[0] != length:
            yield Breach(
                "phases",
                (making.batch.id,),
                f"phase {number} of batch {tidy(making.batch.id)} lasts {span[1] - span[0]} min "
                f"from {ledger.at(span[0])}; for a batch of {making.size} it is {length}.",
            )


def _not_as_many(making: Making, way: Way) -> Breach:
    return Breach(
        "phases",
        (making.batch.id, way.id),
        f"batch {tidy(making.batch.id)} has {len(making.spans)} phases, {way.id} has "
        f"{len(way.phases)}.",
    )


def _really(ledger: Ledger, making: Making, way: Way) -> Breaches:
    """Yield where a batch that has begun is not told as it was, or will be, as things are.

    Staged, it ends when somebody said so; seen, by then; else it takes its length, or as long as
    somebody expects, or until now if that is longer. Where nobody tells the time now, it may be
    any later than the last event.
    """
    batch, history = making.batch.id, ledger.history
    if len(making.spans) != len(way.phases):
        yield _not_as_many(making, way)
    starts, ends = making.starts, making.ends
    if starts is None or ends is None or any(span and span[1] < span[0] for span in making.spans):
        yield Breach("phases", (batch,), f"batch {tidy(batch)} has begun, its times are none.")
        return
    staged, seen = history.staged.get(batch), history.seen.get(batch)
    started, length = history.started.get(batch), way.length_min(making.size)
    if batch in history.expected:
        length = max(0, history.expected[batch] - starts)
    if started is not None:
        known = [started, *(each for each in (staged, seen) if each is not None)]
        yield from _told(ledger, making, "started", starts, [min(known), started])
    if staged is not None:
        yield from _told(ledger, making, "was staged", ends, [staged])
    elif seen is not None:
        if ends > max(seen, starts) or ends - starts > length:
            yield from _told(ledger, making, "was staged", ends, [min(seen, starts + length)])
    else:
        expected = max(starts + length, history.now or 0)
        if history.is_now_told or ends < expected:
            yield from _told(ledger, making, "will be staged", ends, [expected])


def _told(ledger: Ledger, making: Making, what: str, minute: int, right: list[int]) -> Breaches:
    if minute not in right:
        yield Breach(
            "phases",
            (making.batch.id,),
            f"batch {tidy(making.batch.id)} {what} at {ledger.at(right[0])}, the plan says "
            f"{ledger.at(minute)}.",
        )


def _size(ledger: Ledger, making: Making, way: Way) -> Breaches:
    if not 1 <= making.size <= way.batch_max:
        yield Breach(
            "phases",
            (making.batch.id, way.id),
            f"{making.size} copies are in batch {tidy(making.batch.id)} at "
            f"{ledger.at(making.starts)}; {way.id} holds 1 to {way.batch_max}.",
        )


def before(ledger: Ledger) -> Breaches:
    """Yield what starts before the prep does.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for making in ledger.makings:
        starts = min((span[0] for span in making.spans if span), default=ledger.prep_from)
        now = ledger.history.now
        if ledger.is_begun(making):
            continue
        if now is not None and starts < now:
            yield Breach(
                "before",
                (making.batch.id,),
                f"batch {tidy(making.batch.id)} starts at {ledger.at(starts)}, and has not begun "
                f"at {ledger.at(now)}.",
            )
        if starts < ledger.prep_from:
            yield Breach(
                "before",
                (making.batch.id,),
                f"batch {tidy(making.batch.id)} starts at {ledger.at(starts)}, the prep at "
                f"{ledger.at(ledger.prep_from)}.",
            )
    for heat in ledger.plan.heats:
        lit = ledger.minute(heat.starts)
        if lit is not None and lit < ledger.prep_from:
            yield Breach(
                "before",
                (heat.equipment,),
                f"{tidy(heat.equipment)} is lit at {ledger.at(lit)}, the prep starts at "
                f"{ledger.at(ledger.prep_from)}.",
            )
