"""Rule `crew` by name: who is there, who is able, and that nobody does two things at once.

While minutes are looked for, numbers of teams do (`model/crew.py`). Whoever gives people by name
something to do at minutes that stand asks here: a rule about people on the day is a function here.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from app.planning.begun import Span
from app.planning.day import Cook, Day, Phase
from app.planning.hours import shifts_of
from app.planning.minutes import Clock
from app.planning.plan import Batch

if TYPE_CHECKING:
    from app.planning.draft import Made, Work
    from app.planning.frozen import Frozen
    from app.planning.happened import Happened

Key = tuple[str, int]


@dataclass(frozen=True)
class Duty:
    """One phase of a batch, by the batch's id and its number there, at minutes that stand.

    Minutes count from 1970 in UTC.
    """

    key: Key
    starts: int
    ends: int
    phase: Phase


class Crew:
    """The people of a day, in its order.

    Parameters
    ----------
    day
        A day.
    begun
        By name, what somebody does whatever else they are asked to do.
    """

    def __init__(self, day: Day, begun: Mapping[str, Sequence[Duty]] | None = None) -> None:
        clock = Clock(day.timezone)
        self.begun = begun or {}
        self.cooks = day.kitchen.crew
        self.by_name = {cook.id: cook for cook in self.cooks}
        self.shifts = {cook.id: shifts_of(clock, cook) for cook in self.cooks}

    def can(self, cook: str, duty: Duty, beside: Iterable[Duty] = ()) -> bool:
        """Tell whether somebody is there for a duty, and free beside what else they do."""
        if not any(a <= duty.starts and duty.ends <= b for a, b in self.shifts.get(cook, ())):
            return False
        return not any(clash(each, duty) for each in (*self.begun.get(cook, ()), *beside))

    def there(self, duty: Duty) -> list[Cook]:
        """Return who is there for a duty."""
        return [cook for cook in self.cooks if self.can(cook.id, duty)]

    def are_able(self, cooks: Iterable[str], phase: Phase) -> bool:
        """Tell whether one of some people has the skill that a phase asks for."""
        return phase.skill is None or any(is_able(self.by_name[cook], phase) for cook in cooks)


def is_able(cook: Cook, phase: Phase) -> bool:
    """Tell whether somebody has the skill that a phase asks for, if it asks for one."""
    return phase.skill is None or phase.skill in cook.skills


def duties_of(day: Day, batch: Batch, spans: Iterable[Span]) -> list[Duty]:
    """Return the phases of a batch of a plan as duties, those without hands too.

    Parameters
    ----------
    day, batch
        A day, and a batch of a plan of it.
    spans
        When its phases start and end, as minutes.
    """
    phases = day.stage(batch.demonstration, batch.stage).way(batch.way).phases
    return [
        Duty((batch.id, number), starts, ends, phase)
        for number, ((starts, ends), phase) in enumerate(zip(spans, phases, strict=True))
    ]


def begun_by(state: "Happened", frozen: "Frozen") -> dict[str, list[Duty]]:
    """Return what people do, or have done, in batches that have begun, by their names.

    Parameters
    ----------
    state
        The state now.
    frozen
        What a search takes as it is; what lacks its people there is done by nobody yet.
    """
    lacking = {(part.batch, part.phase) for part in frozen.uncovered}
    found: dict[str, list[Duty]] = {}
    for begun in state.begun.values():
        duties = duties_of(state.day, begun.batch, begun.spans)
        for duty, told in zip(duties, begun.batch.phases, strict=True):
            for cook in told.crew if duty.key not in lacking else ():
                found.setdefault(cook, []).append(duty)
    return found


def given_in(batches: "Iterable[Made]") -> "Iterator[tuple[Duty, Work]]":
    """Yield what people do in batches of a draft, each with the work that names them."""
    for made in batches:
        for number, work in enumerate(made.work):
            if work.crew:
                phase = made.method.way.phases[number]
                yield Duty((made.id, number), work.starts, work.ends, phase), work


def clash(one: Duty, other: Duty) -> bool:
    """Tell whether nobody can do both of two duties."""
    return one.starts < other.ends and other.starts < one.ends


def clashes(duties: Iterable[Duty]) -> Iterator[list[Duty]]:
    """Yield duties of which nobody can do two: at each start of one, those that go on then."""
    going: list[Duty] = []
    in_order = sorted(duties, key=lambda duty: duty.starts)
    for starts, begin in groupby(in_order, key=lambda duty: duty.starts):
        going = [duty for duty in (*going, *begin) if starts < duty.ends]
        yield going
