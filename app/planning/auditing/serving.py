"""Each need has its copies, or the plan says what it lacks."""

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import Demand
from app.planning.auditing.rundown import runs_as_told


def unserved(ledger: Ledger) -> Breaches:
    """Yield the needs whose copies and told lacks do not add up, and uses that nobody asked for.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    for demand in ledger.programme.demands.values():
        yield from _short(ledger, demand)
    yield from _unknown_uses(ledger)
    yield from _unknown_lacks(ledger)
    yield from _as_used(ledger)
    yield from runs_as_told(ledger)


def _short(ledger: Ledger, demand: Demand) -> Breaches:
    served = len(ledger.served.get(demand.key, ()))
    told = ledger.lacks.get((demand.key, "copies"), 0)
    if served + told != demand.count:
        yield Breach(
            "unserved",
            demand.key,
            f"{' '.join(demand.key)} at {ledger.at(demand.moment.start)} needs {demand.count}, "
            f"is served {served} and told to lack {told}.",
        )


def _unknown_uses(ledger: Ledger) -> Breaches:
    seen = set()
    for use in ledger.plan.uses:
        key = use.run, use.beat, use.stage
        named = tidy(" ".join(key))
        if key not in ledger.programme.demands:
            yield Breach("unserved", key, f"{named} is served, but the day has no such need.")
        elif key in seen:
            yield Breach("unserved", key, f"{named} is written down twice among the uses.")
        seen.add(key)
        wrong = sorted(set(use.copies) - set(ledger.served.get(key, ())))
        if key in ledger.programme.demands and wrong:
            yield Breach(
                "unserved",
                (*key, *wrong),
                f"{named} is served {tidy(wrong[0])}, which is no copy of that stage.",
            )


def _unknown_lacks(ledger: Ledger) -> Breaches:
    for lack in ledger.plan.unmet:
        key = lack.run, lack.beat, lack.stage
        code = "unserved" if lack.kind == "copies" else "backups"
        if key not in ledger.programme.demands:
            yield Breach(code, key, f"{tidy(' '.join(key))} lacks what the day does not ask for.")
        elif lack.count < 1:
            yield Breach(code, key, f"{tidy(' '.join(key))} is told to lack {lack.count}.")


def _as_used(ledger: Ledger) -> Breaches:
    """Yield copies that a beat has used, as somebody said, and the plan does not say."""
    for key, copies in ledger.history.used.items():
        if key in ledger.programme.moments:
            needs = ledger.programme.moments[key].beat.needs
            served = {copy for need in needs for copy in ledger.served.get((*key, need.stage), ())}
            for copy in sorted(copies - served):
                yield Breach(
                    "unserved",
                    (*key, copy),
                    f"{tidy(' '.join(key))} has used {tidy(copy)}, and the plan does not say so.",
                )
