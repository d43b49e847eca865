"""More that is asked for than there is."""

from dataclasses import dataclass

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact


@dataclass(frozen=True)
class Excess:
    """More is asked for than there is: slots of a zone at a minute, or hands' minutes up to it.

    `hands` are those of the whole crew, and `needs` some that lack, for which more of them may do.
    """

    zone: str | None
    minute: int
    asked: int
    there: int
    hands: tuple[Fact, ...] = ()
    needs: tuple[Fact, ...] = ()

    @property
    def clash(self) -> Clash:
        """Return it as a clash of those needs with those hands, to find what would help."""
        return Clash((*self.needs, *self.hands), anyway=False, is_counted=True)
