"""Why a batch is when it is, in words: what it serves, what binds it, how far it could move.

Where its copies stand is not held: another place would have to be found for them anyway.
"""

from dataclasses import dataclass

from app.planning.dates import lasting
from app.planning.day import Day
from app.planning.needs import Use
from app.planning.plan import Batch, Plan
from app.planning.why_then import hands, items, links
from app.planning.why_then.limits import Limit, Sheet, nearest


@dataclass(frozen=True)
class WhyThen:
    """A batch at its time: what it serves first, and its free minutes with all else held."""

    batch: str
    made: str
    serves: str
    later: Limit
    earlier: Limit

    def lines(self) -> tuple[str, ...]:
        """Return it in sentences."""
        return (
            f"{self.made}.",
            f"It is for {self.serves}." if self.serves else "Nothing takes what it makes.",
            _free("later", self.later),
            _free("earlier", self.earlier),
        )


def why_then(day: Day, plan: Plan, batch: str, in_fahrenheit: bool = False) -> WhyThen:
    """Return why a batch is when it is.

    Parameters
    ----------
    day, plan
        A day and a plan of it that keeps every rule.
    batch
        The id of one of its batches.
    in_fahrenheit
        Whether the house reads degrees Fahrenheit.

    Raises
    ------
    KeyError
        If the plan has no such batch.
    """
    told = {each.id: each for each in plan.batches}[batch]
    sheet = Sheet(day, plan, told.starts[:10], in_fahrenheit)
    starts, ends = sheet.span(told)
    step = f"{sheet.called(told.demonstration, told.stage)} ({sheet.way(told).called})"
    count = f"{len(told.copies)} {'copy' if len(told.copies) == 1 else 'copies'}"
    use = _first_use(sheet, told)
    return WhyThen(
        batch=batch,
        made=f"{batch}: {step}, {count}, {sheet.hour(starts)} to {sheet.hour(ends)}",
        serves=sheet.use_called(use) if use is not None else "",
        later=_limit(sheet, told, [*links.later(sheet, told), *hands.later(sheet, told)], 1),
        earlier=_limit(sheet, told, [*links.earlier(sheet, told), *hands.earlier(sheet, told)], -1),
    )


def _limit(sheet: Sheet, batch: Batch, limits: list[Limit], step: int) -> Limit:
    """Return what is met first when a batch is moved; what it is made in is tried minute by
    minute."""
    first = nearest(limits)
    item = items.nearest_of(sheet, batch, first.minutes, step)
    return first if item is None else item


def _first_use(sheet: Sheet, batch: Batch) -> Use | None:
    """Return the first use that anything made of a batch serves or backs."""
    found: list[Use] = []
    seen: set[str] = set()
    coming = [batch.id]
    while coming:
        each = coming.pop()
        if each in seen:
            continue
        seen.add(each)
        for copy in (sheet.copies[name] for name in sheet.batches[each].copies):
            found += sheet.backed.get(copy.id, ())
            for taker in copy.taken_by:
                if taker.use is not None:
                    found.append(sheet.uses[(*taker.use, copy.stage)])
                elif taker.batch is not None:
                    coming.append(taker.batch)
    return min(found, key=lambda use: (use.start_s, use.index), default=None)


def _free(way: str, limit: Limit) -> str:
    if not limit.minutes:
        return f"It cannot start {way}: {limit.words}."
    return f"It could start up to {lasting(limit.minutes)} {way}: {limit.words}."
