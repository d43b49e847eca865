"""How early the later phases of a batch could start, were the earlier ones quick.

Nothing starts early: a batch starts when it is planned. Its phases follow each other without a
gap, so a later one comes sooner than planned after quick ones, though not before the shift of
those who do it, nor before its oven is hot, nor into the hours that it is closed. Where somebody
has gone away since the plan was made, the work waits for them.
"""

from app.planning.auditing.ledger import Ledger
from app.planning.auditing.parts import Making, Span

NEVER = 10**8


class Openings:
    """The shifts, heats and closed hours of a plan's kitchen, in minutes."""

    def __init__(self, ledger: Ledger) -> None:
        clock = ledger.clock
        self.shifts = {
            cook.id: [(clock.minute(since), clock.minute(until)) for since, until in cook.shifts]
            for cook in ledger.day.kitchen.crew
        }
        self.shut = {
            item.id: [(clock.minute(since), clock.minute(until)) for since, until in item.closed]
            for item in ledger.day.kitchen.equipment
        }
        self.hot = {(heat.equipment, clock.minute(heat.ends)) for heat in ledger.plan.heats}

    def earliest(self, making: Making, phase: int) -> int:
        """Return the minute before which a phase of a batch can't start."""
        planned, span = making.batch.phases[phase], making.spans[phase]
        starts = span[0] if span else 0
        bounds = [self._comes(cook, starts) for cook in planned.crew]
        for part in planned.equipment:
            if (part.id, starts) in self.hot:
                bounds.append(starts)
            bounds += [until for _, until in self.shut[part.id] if until <= starts]
        return max(bounds, default=-(10**12))

    def closed(self, making: Making, phase: int) -> list[Span]:
        """Return the spans in which a phase that is late has to wait."""
        starts = (making.spans[phase] or (0, 0))[0]
        planned = making.batch.phases[phase]
        shut = [span for part in planned.equipment for span in self.shut[part.id]]
        away = [(starts, self._is_back(cook, starts)) for cook in planned.crew]
        return sorted(span for span in (*shut, *away) if span[1] > starts)

    def _is_back(self, cook: str, minute: int) -> int:
        """Return from when on a cook is there, if not at that minute."""
        shifts = self.shifts[cook]
        if any(since <= minute < until for since, until in shifts):
            return minute
        return min((since for since, _ in shifts if since > minute), default=NEVER)

    def _comes(self, cook: str, starts: int) -> int:
        """Return when a cook comes to work; shifts that touch are one."""
        comes = starts
        for since, until in sorted(self.shifts[cook], reverse=True):
            if since <= comes <= until:
                comes = since
        return comes
