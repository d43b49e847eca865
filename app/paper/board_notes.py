"""What stands below the prep board: what to watch, who decides, and on which page it has room."""

from collections.abc import Sequence

from app.paper.lines import SMALL_PT, WORDS_MM, WORDS_PT
from app.paper.measuring import Piece, lines
from app.planning.plan import Plan

MOST_WARNINGS = 12
# Edges, the bullet of a warning, and who decides, as `print.css` has them.
EDGES_MM, BULLET_MM, LAW_MM = 2.0, 8.0, 7.2


def told(plan: Plan) -> list[str]:
    """Return the warnings of a plan; of too many only how many more there are."""
    some, more = list(plan.warnings[:MOST_WARNINGS]), len(plan.warnings) - MOST_WARNINGS
    return [*some, f"And {more} more, told on the Count screen."] if more > 0 else some


def notes_mm(warnings: Sequence[str], wide_mm: float) -> float:
    """Return how high warnings stand on a page of a width, and who decides below them."""
    count = sum(lines((Piece(each, SMALL_PT),), lambda _: wide_mm - BULLET_MM) for each in warnings)
    told_mm = WORDS_MM * (1 + count * SMALL_PT / WORDS_PT)
    return LAW_MM + (EDGES_MM + told_mm if warnings else 0)


def bearing(rooms_mm: Sequence[float], high_mm: float) -> int:
    """Return which page, from 0, has room for so much: the last one, else the first that has.

    Where none has, it is the number of pages: it stands on one more.
    """
    some = [page for page, room_mm in enumerate(rooms_mm) if room_mm >= high_mm]
    last = len(rooms_mm) - 1
    return last if last in some else min(some, default=len(rooms_mm))
