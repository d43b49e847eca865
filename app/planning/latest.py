"""Batches as late as what they are for allows, where neither hands nor items hold them.

What is decided stays: which copies there are, what takes them, in which order. Late starts change
nothing to the worse, since copies wait less: only what a batch feeds, and what would not keep for
it any longer, bound it from above.
"""

from collections.abc import Iterator
from itertools import repeat

from app.planning.draft import Draft, Item, Made
from app.planning.needs import Use
from app.planning.scope import Scope

# The start of one batch is at most that of another and so many minutes.
Tie = tuple[str, str, int]


def put_late(scope: Scope, draft: Draft) -> None:
    """Let every batch of a draft in a kitchen without limits start as late as it can."""
    latest = {made.name: _due(scope, made) for made in draft.made}
    ties = [tie for made in draft.made for tie in _ties(scope, made)]
    for _ in repeat(None, len(draft.made)):
        held = [(one, latest[other] + apart_min) for one, other, apart_min in ties]
        tighter = [(one, start) for one, start in held if start < latest[one]]
        for one, start in tighter:
            latest[one] = min(latest[one], start)
        if not tighter:
            break
    for made in draft.made:
        _shift(made, max(0, latest[made.name] - made.starts))
    draft.made.sort(key=lambda each: (each.starts, each.stage, each.name))


def _due(scope: Scope, made: Made) -> int:
    """Return the last start of a batch by what stands still: beats, stock, what beats left."""
    lasts_min = made.ends - made.starts
    due = [use.due for copy in made.copies for use in (*_first_use(copy), *copy.backs)]
    stale = [
        item.staged + scope.makings[item.stage].stage.keeps_min
        for item in made.inputs
        if item.batch is None
    ]
    return min([*(minute - lasts_min for minute in (scope.needs.end, *due)), *stale])


def _first_use(copy: Item) -> Iterator[Use]:
    for first in copy.takers[:1]:
        if isinstance(first, Use):
            yield first


def _ties(scope: Scope, made: Made) -> Iterator[Tie]:
    """Yield how a batch and those that take its copies hold each other."""
    making, lasts_min = scope.makings[made.stage], made.ends - made.starts
    for copy in made.copies:
        for number, taker in enumerate(copy.takers):
            if isinstance(taker, Made):
                yield taker.name, made.name, lasts_min + making.stage.keeps_min
                if number == 0:
                    yield made.name, taker.name, -lasts_min - making.slack_min


def _shift(made: Made, by_min: int) -> None:
    for work in made.work:
        work.starts += by_min
        work.ends += by_min
    for copy in made.copies:
        copy.staged = made.ends
