"""Who does what: as many as it takes, one with the skill, on shift, one thing at a time."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger, first, words
from app.planning.auditing.parts import Making, Span
from app.planning.auditing.rundown import away_as_told
from app.planning.day import Cook, Phase
from app.planning.plan import PlannedPhase

Busy = dict[str, list[tuple[int, int, str]]]


def crew(ledger: Ledger) -> Breaches:
    """Yield the phases without the right people, and people in two places at once.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    cooks = first((cook.id, cook) for cook in ledger.day.kitchen.crew)
    shifts = {cook.id: _merged(ledger, cook) for cook in cooks.values()}
    busy: Busy = {}
    for making in ledger.makings:
        ways = making.way.phases if making.way else ()
        for phase, planned in zip(ways, making.batch.phases, strict=False):
            yield from _right_people(ledger, making, phase, planned, cooks)
        for planned, span in zip(making.batch.phases, making.spans, strict=True):
            for cook in dict.fromkeys(planned.crew):
                if span and cook in shifts:
                    if not ledger.is_begun(making):
                        yield from _on_shift(ledger, making, cook, span, shifts[cook])
                    busy.setdefault(cook, []).append((*span, making.batch.id))
    yield from _one_thing(ledger, busy)
    yield from away_as_told(ledger)


def _merged(ledger: Ledger, cook: Cook) -> list[Span]:
    """Return the shifts of a cook in minutes, those that touch as one."""
    clock, merged = ledger.clock, list[Span]()
    for starts, ends in sorted((clock.minute(a), clock.minute(b)) for a, b in cook.shifts):
        if merged and starts <= merged[-1][1]:
            merged[-1] = merged[-1][0], max(ends, merged[-1][1])
        else:
            merged.append((starts, ends))
    return merged


def _right_people(
    ledger: Ledger, making: Making, phase: Phase, planned: PlannedPhase, cooks: dict[str, Cook]
) -> Breaches:
    ids, named = set(planned.crew), tidy(making.batch.id)
    when = tidy(planned.starts)
    unknown = sorted(ids - set(cooks))
    if unknown:
        yield Breach(
            "crew",
            (making.batch.id, *unknown),
            f"batch {named} at {when} is done by {words(unknown)}, who is not of the crew.",
        )
    if len(planned.crew) != phase.hands or len(ids) < len(planned.crew):
        yield Breach(
            "crew",
            (making.batch.id, *planned.crew),
            f"batch {named} at {when} takes {phase.hands} of the crew, each once, not "
            f"{words(planned.crew) or 'nobody'}.",
        )
    skilled = any(phase.skill in cooks[each].skills for each in ids - set(unknown))
    if phase.skill is not None and not skilled:
        yield Breach(
            "crew",
            (making.batch.id, *planned.crew),
            f"batch {named} at {when} is done by nobody with the skill {phase.skill}.",
        )


def _on_shift(
    ledger: Ledger, making: Making, cook: str, span: Span, shifts: list[Span]
) -> Breaches:
    if not any(starts <= span[0] and span[1] <= ends for starts, ends in shifts):
        yield Breach(
            "crew",
            (making.batch.id, cook),
            f"{cook} has no shift over {ledger.at(span[0])} to {ledger.at(span[1])} for batch "
            f"{tidy(making.batch.id)}.",
        )


def _one_thing(ledger: Ledger, busy: Busy) -> Breaches:
    for cook, spans in busy.items():
        latest: tuple[int, int, str] | None = None
        for span in sorted(spans):
            has_been = latest and {latest[2], span[2]} <= ledger.history.begun
            if latest and span[0] < latest[1] and span[0] < span[1] and not has_been:
                yield Breach(
                    "crew",
                    (cook, latest[2], span[2]),
                    f"{cook} is with batch {tidy(latest[2])} until {ledger.at(latest[1])} and with "
                    f"batch {tidy(span[2])} from {ledger.at(span[0])}.",
                )
            if latest is None or span[1] > latest[1]:
                latest = span
