"""Times are written as the production's clocks show them, with an offset only where it tells."""

from collections.abc import Iterator

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.plan import Plan


def times(ledger: Ledger) -> Breaches:
    """Yield the times that are readable but written otherwise than they should be.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for owner, text in dict.fromkeys(_all(ledger.plan)):
        minute = ledger.minute(text)
        if minute is not None and ledger.at(minute) != text:
            yield Breach(
                "goals", (owner,), f"{tidy(owner)} writes {tidy(text)} for {ledger.at(minute)}."
            )


def _all(plan: Plan) -> Iterator[tuple[str, str]]:
    for batch in plan.batches:
        for phase in batch.phases:
            yield from ((batch.id, phase.starts), (batch.id, phase.ends))
            for where in phase.places or ():
                yield from ((batch.id, where.from_), (batch.id, where.to))
    for copy in plan.copies:
        yield copy.id, copy.staged_at
        for where in copy.places:
            yield from ((copy.id, where.from_), (copy.id, where.to))
    for heat in plan.heats:
        yield from ((heat.equipment, heat.starts), (heat.equipment, heat.ends))
