"""Who does a batch: until when they are at something else, or not there."""

from collections.abc import Iterator

from app.planning.hours import shifts_of
from app.planning.plan import Batch
from app.planning.why_then.limits import Limit, Sheet, Span


def later(sheet: Sheet, batch: Batch) -> Iterator[Limit]:
    """Yield how much later a batch could start for its crew to be free until its end.

    Parameters
    ----------
    sheet
        The day and the plan.
    batch
        A batch of the plan.
    """
    for cook, (_, ends) in _worked(sheet, batch):
        called, until = _called(sheet, cook), _shift(sheet, cook, ends - 1)[1]
        words = f"{called} works until {sheet.hour(until)}"
        yield Limit(until - ends, "shift", words)
        for other, (starts, _) in _else(sheet, batch, cook):
            if starts >= ends:
                words = f"{called} begins {_step(sheet, other)} at {sheet.hour(starts)}"
                yield Limit(starts - ends, "crew", words)


def earlier(sheet: Sheet, batch: Batch) -> Iterator[Limit]:
    """Yield how much earlier a batch could start for its crew to be free from its start.

    Parameters
    ----------
    sheet, batch
        As for `later`.
    """
    for cook, (starts, _) in _worked(sheet, batch):
        called, since = _called(sheet, cook), _shift(sheet, cook, starts)[0]
        words = f"{called} works from {sheet.hour(since)}"
        yield Limit(starts - since, "shift", words)
        for other, (_, ends) in _else(sheet, batch, cook):
            if ends <= starts:
                words = f"{called} is at {_step(sheet, other)} until {sheet.hour(ends)}"
                yield Limit(starts - ends, "crew", words)


def _worked(sheet: Sheet, batch: Batch) -> Iterator[tuple[str, Span]]:
    """Yield who works on a batch, and when."""
    for told, (_, span) in zip(batch.phases, sheet.phases(batch), strict=True):
        for cook in told.crew:
            yield cook, span


def _else(sheet: Sheet, batch: Batch, cook: str) -> Iterator[tuple[Batch, Span]]:
    """Yield what else somebody works on."""
    for other in sheet.plan.batches:
        if other.id != batch.id:
            for worker, span in _worked(sheet, other):
                if worker == cook and span[0] < span[1]:
                    yield other, span


def _shift(sheet: Sheet, cook: str, minute: int) -> Span:
    """Return the shift of somebody that a minute lies in; shifts that touch are one."""
    told = next(each for each in sheet.day.kitchen.crew if each.id == cook)
    whole = shifts_of(sheet.clock, told)
    return next(span for span in whole if span[0] <= minute < span[1])


def _called(sheet: Sheet, cook: str) -> str:
    return next(each for each in sheet.day.kitchen.crew if each.id == cook).called


def _step(sheet: Sheet, batch: Batch) -> str:
    return sheet.called(batch.demonstration, batch.stage)
