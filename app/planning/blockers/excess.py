"""More that is asked for than there is."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Excess:
    """More is asked for than there is: slots of a zone at a minute, or hands' minutes up to it."""

    zone: str | None
    minute: int
    asked: int
    there: int
