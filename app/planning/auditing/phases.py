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
            yield from _lengths(ledger, making, making.way)
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
        yield Breach(
            "phases",
            (making.batch.id, way.id),
            f"batch {tidy(making.batch.id)} has {len(making.spans)} phases, {way.id} has "
            f"{len(way.phases)}.",
        )
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
