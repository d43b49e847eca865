"""What stands below the prep board: what to watch, who decides, and on which page it has room."""

from collections.abc import Sequence

from app.paper import face
from app.paper.measuring import MM_A_POINT, Piece, lines
from app.paper.setting import CLOSE
from app.planning.plan import Plan

MOST_WARNINGS = 12
# Edges, what stands before a warning, and who decides alone, as `print.css` has them.
EDGES_MM, BULLET_MM, LAW_MM = 3.0, 5.0, 7.2
LINE_HIGH = 1.15


def told(plan: Plan) -> list[str]:
    """Return the warnings of a plan; of too many only how many more there are."""
    some, more = list(plan.warnings[:MOST_WARNINGS]), len(plan.warnings) - MOST_WARNINGS
    return [*some, f"And {more} more, told on the Count screen."] if more > 0 else some


def notes_mm(warnings: Sequence[str], wide_mm: float) -> float:
    """Return how high who decides, and the warnings after it, stand on a page of a width."""
    if not warnings:
        return LAW_MM
    words_pt = CLOSE.words_pt
    law = Piece(f"{face.page('_law.html')} Watch closely:", words_pt, True)
    pieces = (law, *(Piece(each, words_pt, pad_mm=BULLET_MM) for each in warnings))
    high_mm = LINE_HIGH * words_pt * MM_A_POINT
    return EDGES_MM + high_mm * lines(pieces, lambda _: wide_mm)


def bearing(rooms_mm: Sequence[float], high_mm: float) -> int:
    """Return which page, from 0, has room for so much: the last one, else the first that has.

    Where none has, it is the number of pages: it stands on one more.
    """
    some = [page for page, room_mm in enumerate(rooms_mm) if room_mm >= high_mm]
    last = len(rooms_mm) - 1
    return last if last in some else min(some, default=len(rooms_mm))
