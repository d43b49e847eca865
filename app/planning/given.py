"""The names that plans have given, so that none of them is given to something else."""

import re
from collections.abc import Iterable

from app.planning.plan import Plan

NUMBERED = re.compile(r"(.*?)(\d+)", re.DOTALL)
Numbers = dict[str, int]
"""The highest number after each stem: `b` of batches, `knots/mixed/` of copies, `KN-` of tags."""


def numbers_in(names: Iterable[str]) -> Numbers:
    """Return the highest number that follows each stem in some names.

    Parameters
    ----------
    names
        Ids of batches and copies, and tags.
    """
    highest: Numbers = {}
    for name in names:
        if found := NUMBERED.fullmatch(name):
            highest[found[1]] = max(int(found[2]), highest.get(found[1], 0))
    return highest


def names_in(plan: Plan) -> Iterable[str]:
    """Yield the names that a plan gives: ids of batches and copies, and tags."""
    yield from (batch.id for batch in plan.batches)
    for copy in plan.copies:
        yield from (copy.id, copy.tag)
