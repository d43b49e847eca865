"""Why a batch that is still to be done is when it is, for the screens that show it."""

from app.planning.why_then.told import why_then
from app.web.floor import Floor


def why_lines(floor: Floor, batch: str | None) -> tuple[str, ...]:
    """Return what a batch serves and how far it could move, in sentences.

    Nothing is said of what has begun: that does not move any more.
    """
    if batch is None or floor.states.of(batch).state != "planned":
        return ()
    return why_then(floor.day, floor.plan, batch, floor.in_fahrenheit).lines()[1:]
