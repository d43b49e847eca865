"""What has happened by now, as a play takes it: what is over is known, what goes on is not yet.

The state of the production is read elsewhere, as for a plan that is mended: see `happened.py`.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from app.planning.auditing.moments import Moment
from app.planning.auditing.parts import Item, Making
from app.planning.begun import Begun
from app.planning.happened import Happened
from app.planning.plan import Batch, Plan, Use
from app.planning.risk.order import PhaseKey, Waiting
from app.planning.risk.picture import Kept, Task

Names = dict[str, str]


class SoFar:
    """The state of a production, of whose plan a picture is made.

    Parameters
    ----------
    state
        The state now, of that plan.
    base
        The minute from which a picture counts.
    """

    def __init__(self, state: Happened, base: int) -> None:
        self.state, self.base = state, base

    def is_over(self, moment: Moment) -> bool:
        """Tell whether a beat has begun, so that it is not asked for any more."""
        return moment.key in self.state.aired

    def is_begun(self, making: Making) -> bool:
        """Tell whether a batch has begun."""
        return making.batch.id in self.state.begun

    def is_gone(self, copy: str) -> bool:
        """Tell whether a copy is lost, or used up."""
        known = self.state.copies.get(copy)
        return known is not None and known.state in ("lost", "used")

    def kept(self, items: Iterable[Item], number: dict[str, int]) -> Iterator[Kept]:
        """Yield the copies that are there, or on set, or left there by a beat that goes on."""
        for item in items:
            known = self.state.copies.get(item.copy.id)
            begun = self.state.begun.get(item.making.batch.id) if item.making else None
            is_made = begun is None or begun.is_staged
            if known is not None and is_made and not self.is_gone(item.copy.id):
                staged, ready = known.staged - self.base, known.ready - self.base
                yield Kept(number[item.copy.id], staged, ready)

    def sent(self, moment: Moment) -> tuple[str, ...]:
        """Return the copies of the plan that have gone to a beat to come."""
        sent = self.state.sent.get(moment.key, ())
        return tuple(copy for copy in sent if copy in self.state.copies)

    def handed_out(self, making: Making, copies: list[str]) -> list[str]:
        """Return the copies that a batch hands out; of one under way, those that are not lost."""
        begun = self.state.begun.get(making.batch.id)
        if begun is None or begun.is_staged:
            return copies
        return [copy for copy in copies if not self.is_gone(copy)]

    def begun_phases(self, makings: Iterable[Making]) -> set[PhaseKey]:
        """Return the phases that have begun, or should have in a batch that has."""
        return {
            (making.batch.id, planned[0])
            for making in makings
            if (begun := self.state.begun.get(making.batch.id)) is not None
            for planned, span in zip(making.spans, begun.spans, strict=True)
            if planned is not None and span[0] <= self.state.now
        }

    def known(self, task: Task, making: Making, phase: int) -> Task:
        """Return a phase with what is known of it by now."""
        begun, now = self.state.begun.get(making.batch.id), self.state.now
        if begun is None:
            earliest = max(task.earliest, now - self.base) if task.is_first else task.earliest
            return replace(task, earliest=earliest)
        span, is_begun = begun.spans[phase], begun.spans[phase][0] <= now
        if begun.is_staged:
            return replace(task, ended=span[1] - self.base, is_begun=True)
        lengths = _lengths(begun)
        return replace(
            task,
            lasts_min=lengths[phase],
            began=begun.starts - self.base if phase == 0 else None,
            not_over_by=now - self.base,
            then_min=lengths[phase + 1 :],
            is_begun=is_begun,
        )


def _lengths(begun: Begun) -> tuple[int, ...]:
    """Return how long each phase takes of a batch under way, as far as anybody foresees."""
    return tuple(ends - starts for starts, ends in begun.staged_when_due().spans)


def plan_so_far(state: Happened, plan: Plan) -> Plan:
    """Return a plan in which beats have the copies that they took, or that were sent to them.

    Parameters
    ----------
    state
        The state now, of that plan.
    plan
        The plan that people work from. Where a copy has gone to a beat in place of another, the
        two are exchanged in all that is to come.
    """
    names: Names = {}
    for use in plan.uses:
        names |= _exchanged(state, plan, use)
    return plan.model_copy(
        update={
            "uses": tuple(_use(state, use, names) for use in plan.uses),
            "batches": tuple(_batch(state, batch, names) for batch in plan.batches),
        }
    )


def _exchanged(state: Happened, plan: Plan, use: Use) -> Names:
    """Return which copies take each other's part, as some were sent to a use that is to come."""
    kin = {copy.id: (copy.demonstration, copy.stage) for copy in plan.copies}
    sent = state.sent.get((use.run, use.beat), ())
    of_it = {kin[copy] for copy in use.copies}
    more = [each for each in sent if each not in use.copies and kin.get(each) in of_it]
    left = [each for each in use.copies if each not in sent]
    pairs = list(zip(more, left, strict=False))
    return {one: other for pair in pairs for one, other in (pair, pair[::-1])}


def _use(state: Happened, use: Use, names: Names) -> Use:
    if (use.run, use.beat) in state.aired:
        took = state.uses.get((use.run, use.beat, use.stage), use.copies)
        return use.model_copy(update={"copies": took})
    return use.model_copy(
        update={
            "copies": tuple(names.get(each, each) for each in use.copies),
            "backups": tuple(names.get(each, each) for each in use.backups),
        }
    )


def _batch(state: Happened, batch: Batch, names: Names) -> Batch:
    if batch.id in state.begun:
        return batch
    consumes = tuple(names.get(each, each) for each in batch.consumes)
    return batch.model_copy(update={"consumes": consumes})


def begun_first(waits: Waiting, begun: set[PhaseKey]) -> Waiting:
    """Return the planned order of the work in which what has begun waits for nothing to come.

    Parameters
    ----------
    waits
        What each phase waits for by the plan.
    begun
        The phases that have begun. What should have been over before one of them waits for it
        now; and what comes after it waits for both.
    """
    found: Waiting = {}
    for then, before in waits.items():
        for key, lag_min in before:
            if then not in begun:
                found.setdefault(then, []).append((key, lag_min))
                skipped = waits.get(key, ()) if key in begun else ()
                found[then] += [each for each in skipped if each[0] not in begun]
            elif key in begun:
                found.setdefault(then, []).append((key, lag_min))
            else:
                found.setdefault(key, []).append((then, 0))
    return found
