"""What a plan file may not say: a copy comes from one place, and one thing takes it at a time."""

from collections.abc import Iterator

from app.planning.refusals.fault import Found
from app.planning.refusals.sketch import Sketch

ORIGINS = ("batch", "use", "stock")
TAKERS = ("batch", "use")


def one_origin(plan: Sketch) -> Iterator[Found]:
    """Find copies that come from nothing, or from two things."""
    for copy in plan.parts("copies"):
        origin = copy.part("made_by")
        if origin is not None:
            yield from _one(origin, ORIGINS)


def one_taker(plan: Sketch) -> Iterator[Found]:
    """Find takers that are nothing, or two things."""
    for copy in plan.parts("copies"):
        for taker in copy.parts("taken_by"):
            yield from _one(taker, TAKERS)


def no_phase(plan: Sketch) -> Iterator[Found]:
    """Find batches without a phase."""
    for batch in plan.parts("batches"):
        if batch.value("phases") == []:
            yield Found(batch.at("phases"), "an empty list; write one phase at least")


def _one(part: Sketch, keys: tuple[str, ...]) -> Iterator[Found]:
    given = [key for key in keys if part.raw.get(key) is not None]
    if len(given) != 1:
        words = f"{len(given)} of {', '.join(keys)} are given; write exactly one"
        yield Found(part.path, words)


RULES = (one_origin, one_taker, no_phase)
