"""What a batch is made from and what its copies are for: margins, keeping times, next steps."""

from collections.abc import Iterator

from app.planning.dates import lasting
from app.planning.needs import Use
from app.planning.plan import Batch, Copy, Taker
from app.planning.why_then.limits import Limit, Sheet


def later(sheet: Sheet, batch: Batch) -> Iterator[Limit]:
    """Yield how much later a batch could start for its copies to be in time, and its inputs fresh.

    Parameters
    ----------
    sheet
        The day and the plan.
    batch
        A batch of the plan.
    """
    starts, staged = sheet.span(batch)
    for copy in (sheet.copies[each] for each in batch.copies):
        for use in _served(sheet, copy, first=True):
            words = (
                f"{sheet.use_called(use)} wants it ready {lasting(use.margin_min)} before, "
                f"at {sheet.hour(use.due)}"
            )
            yield Limit(use.due - staged, "margin", words)
        for taker in copy.taken_by[:1]:
            if taker.batch is not None:
                yield _next_step(sheet, copy, sheet.batches[taker.batch], staged)
    for copy in (sheet.copies[each] for each in batch.consumes):
        keeps_min = sheet.day.stage(copy.demonstration, copy.stage).keeps_min
        good_until = sheet.clock.minute(copy.staged_at) + keeps_min
        words = (
            f"{sheet.called(copy.demonstration, copy.stage)} ({copy.tag}) is good until "
            f"{sheet.hour(good_until)}"
        )
        yield Limit(good_until - starts, "keeping", words)
    ends = sheet.hour(sheet.end)
    yield Limit(sheet.end - staged, "end", f"the production ends at {ends}")


def earlier(sheet: Sheet, batch: Batch) -> Iterator[Limit]:
    """Yield how much earlier a batch could start for its inputs to be there, its copies to keep.

    Parameters
    ----------
    sheet, batch
        As for `later`.
    """
    starts, staged = sheet.span(batch)
    yield Limit(
        starts - sheet.prep_from, "prep", f"the prep starts at {sheet.hour(sheet.prep_from)}"
    )
    for copy in (sheet.copies[each] for each in batch.consumes):
        yield _inputs_there(sheet, copy, starts)
        for use in sheet.backed.get(copy.id, ()):
            words = f"{copy.tag} stands by as a backup until {sheet.use_called(use)}"
            yield Limit(starts - use.start - 1, "backup", words)
    for copy in (sheet.copies[each] for each in batch.copies):
        keeps_min = sheet.day.stage(copy.demonstration, copy.stage).keeps_min
        called = sheet.called(copy.demonstration, copy.stage)
        for use in _served(sheet, copy, first=False):
            words = f"{called} keeps {lasting(use.oldest_min)}, until {sheet.use_called(use)}"
            yield Limit(use.oldest_min - (use.start - staged), "keeping", words)
        for taker in copy.taken_by:
            if taker.batch is not None:
                taking = sheet.batches[taker.batch]
                taken = sheet.clock.minute(taking.starts)
                words = (
                    f"{called} keeps {lasting(keeps_min)}, until "
                    f"{sheet.called(taking.demonstration, taking.stage)} takes it at "
                    f"{sheet.hour(taken)}"
                )
                yield Limit(keeps_min - (taken - staged), "keeping", words)


def _served(sheet: Sheet, copy: Copy, *, first: bool) -> Iterator[Use]:
    """Yield the uses that take a copy, or the first alone, and those that it backs."""
    for taker in copy.taken_by[:1] if first else copy.taken_by:
        use = _use(sheet, taker, copy)
        if use is not None:
            yield use
    yield from sheet.backed.get(copy.id, ())


def _use(sheet: Sheet, taker: Taker, copy: Copy) -> Use | None:
    return sheet.uses[(*taker.use, copy.stage)] if taker.use is not None else None


def _next_step(sheet: Sheet, copy: Copy, taking: Batch, staged: int) -> Limit:
    taken = sheet.clock.minute(taking.starts)
    slack_min = _slack_min(sheet, copy)
    words = f"{sheet.called(taking.demonstration, taking.stage)} takes it at "
    words += sheet.hour(taken)
    if slack_min:
        words += f", after a wait of {lasting(slack_min)}"
    return Limit(taken - slack_min - staged, "step", words)


def _inputs_there(sheet: Sheet, copy: Copy, starts: int) -> Limit:
    """Return the limit that a copy sets to what is made from it: staged, back, and rested."""
    there, verb = sheet.clock.minute(copy.staged_at), "staged"
    if copy.made_by.use is not None:
        there, verb = sheet.left[(*copy.made_by.use, copy.stage)].back, "back"
    for taker in copy.taken_by:
        use = _use(sheet, taker, copy)
        if use is not None:
            there, verb = use.back, "back"
    slack_min = _slack_min(sheet, copy)
    called = f"{sheet.called(copy.demonstration, copy.stage)} ({copy.tag})"
    words = f"{called} is {verb} at {sheet.hour(there)}"
    if slack_min:
        words += f" and waits {lasting(slack_min)}"
    return Limit(starts - there - slack_min, "inputs", words)


def _slack_min(sheet: Sheet, copy: Copy) -> int:
    keeps_min = sheet.day.stage(copy.demonstration, copy.stage).keeps_min
    return min(sheet.day.policy.step_slack_min, keeps_min // 2)
