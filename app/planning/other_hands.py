"""Other hands at the same minutes: who does what stays where it is, though somebody is away."""

from collections.abc import Iterable, Iterator

from app.planning.begun import Span
from app.planning.crew import Crew, begun_by, duties_of
from app.planning.difference import weight_at
from app.planning.frozen import Frozen
from app.planning.happened import Happened
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan
from app.planning.sharing import Crews, Shared, meeting, shared

# Somebody has to see to what has begun.
OF_BEGUN = 100


class OtherHands:
    """The phases to come, shared anew among those who are there.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    frozen
        What a search takes as it is.

    `left` are the demonstrations of which a batch was left with nobody at last.
    """

    left: frozenset[str] = frozenset()

    def __init__(self, state: Happened, plan: Plan, frozen: Frozen) -> None:
        self.state, self.plan, self.frozen = state, plan, frozen
        self.clock = Clock(state.day.timezone)
        self.crew = Crew(state.day, begun_by(state, frozen))
        self.owners = {batch.id: batch.demonstration for batch in plan.batches}

    def given(self) -> Plan:
        """Return the published plan with other people where those planned are not there.

        As few batches as will do are left with nobody, those that start soon last of all. As few
        people as will do are changed. Where nobody is for what has begun, it keeps its people.
        """
        duties = list(self._duties())
        meant = meeting(duties, {duty.key for duty in duties if not self._has_all(duty)})
        able = {duty.key: self.crew.there(duty) for duty in meant}
        crews = shared(meant, able) if meant else {}
        left = {duty.key[0] for duty in meant if duty.key not in crews} - self.state.begun.keys()
        crews |= {duty.key: () for duty in duties if duty.key[0] in left}
        self.left = frozenset(self.owners[batch] for batch in left)
        batches = tuple(_crewed(batch, crews) for batch in self.plan.batches)
        return self.plan.model_copy(update={"batches": batches})

    def _duties(self) -> Iterator[Shared]:
        """Yield what is to be done in batches that have not begun, and what begun ones lack."""
        for batch in self.plan.batches:
            starts = self.clock.minute(batch.starts)
            if batch.id in self.state.begun or starts < self.state.now:
                continue
            spans = self.clock.spans((phase.starts, phase.ends) for phase in batch.phases)
            yield from self._of(batch, spans, weight_at(starts, self.state.now))
        for part in self.frozen.uncovered:
            begun = self.state.begun[part.batch]
            for duty in self._of(begun.batch, begun.spans, OF_BEGUN):
                if duty.key == (part.batch, part.phase):
                    yield duty

    def _of(self, batch: Batch, spans: Iterable[Span], weight: int) -> Iterator[Shared]:
        duties = duties_of(self.state.day, batch, spans)
        for duty, told in zip(duties, batch.phases, strict=True):
            if duty.phase.hands:
                yield Shared(**vars(duty), crew=frozenset(told.crew), weight=weight)

    def _has_all(self, duty: Shared) -> bool:
        return all(self.crew.can(cook, duty) for cook in duty.crew)


def _crewed(batch: Batch, crews: Crews) -> Batch:
    if not any((batch.id, number) in crews for number in range(len(batch.phases))):
        return batch
    phases = tuple(
        phase.model_copy(update={"crew": crews.get((batch.id, number), phase.crew)})
        for number, phase in enumerate(batch.phases)
    )
    return batch.model_copy(update={"phases": phases})
