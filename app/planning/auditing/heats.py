"""When an item is brought to a setting, from cold or from another one."""

from collections import Counter
from collections.abc import Iterator

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.holds import Holds
from app.planning.auditing.ledger import Ledger

Lit = tuple[str, int | None, int | None, int | None]


def heats(ledger: Ledger, held: dict[str, Holds]) -> Breaches:
    """Yield the heats that the plan does not tell, and those that it makes up.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    held
        What is held of each item, in order of time.
    """
    must: set[Lit] = set()
    may: set[Lit] = set()
    for holds in held.values():
        for lit, free in _due(holds):
            (may if free else must).add(lit)
    told = Counter(
        (heat.equipment, heat.setting, ledger.minute(heat.starts), ledger.minute(heat.ends))
        for heat in ledger.plan.heats
    )
    for lit in sorted(must - set(told), key=str):
        yield _breach(ledger, lit, "has to be lit, and the plan does not say so")
    for lit, times in told.items():
        if times > 1 or lit not in must | may:
            yield _breach(ledger, lit, "is said to be lit, and need not be, or is told twice")


def _due(holds: Holds) -> Iterator[tuple[Lit, bool]]:
    """Yield each heat of an item, and whether the plan is free to tell it."""
    item = holds.item
    if item.settings is None or item.settings.change_min == 0:
        return
    for hold, last in holds.before_each():
        lit = item.id, hold.setting, hold.starts - item.settings.change_min, hold.starts
        ends = max((each.ends for each in last), default=None)
        other = [each for each in last if each.setting != hold.setting]
        falling = [each for each in other if holds.falls(each, hold)]
        cold = ends is None or hold.starts - ends > item.settings.cold_after
        if cold or len(other) > len(falling):
            yield lit, False
        elif any(each.ends < hold.starts for each in falling):
            yield lit, True


def _breach(ledger: Ledger, lit: Lit, why: str) -> Breach:
    item, setting, starts, ends = lit
    return Breach(
        "equipment",
        (item,),
        f"{tidy(item)} {why}: to {setting} from {ledger.at(starts)} to {ledger.at(ends)}.",
    )
