"""How close the prep board is set: sizes and edges, as `print.css` has them."""

from dataclasses import dataclass, replace

from app.paper.measuring import MM_A_POINT


@dataclass(frozen=True)
class Setting:
    """Sizes of one setting, named by its classes; times stand in 18 pt in each.

    Attributes
    ----------
    words_pt, line_high
        Of what to do, in words; how high a line of it stands, in heights of its type.
    nobody_pt
        Of the name of what is in nobody's hands.
    times_mm
        How high a line with a time stands.
    heads_mm
        What stands above and below the rows: edges, the date.
    time_mm, run_wide_mm
        How wide the column of hours is, and a line of what begins in it.
    hour_mm
        How high an hour stands.
    gap_mm
        Between rows.
    box_mm
        What a box to tick takes of a line.
    spare_mm
        How much lower a row of the table stands than is reckoned.
    flows
        Whether what the food does by itself follows in the lines of the work before it.
    """

    name: str
    words_pt: float
    line_high: float
    nobody_pt: float
    times_mm: float
    heads_mm: float
    time_mm: float
    run_wide_mm: float
    hour_mm: float
    gap_mm: float
    box_mm: float
    spare_mm: float
    flows: bool = False

    @property
    def words_mm(self) -> float:
        """Return how high a line of words stands."""
        return self.line_high * self.words_pt * MM_A_POINT


ROOMY = Setting("roomy", 11.5, 1.15, 18.0, 6.6, 48, 32, 26.0, 12, 2.6, 7.0, 3.4)
CLOSE = Setting("close", 10.0, 1.1, 11.5, 6.4, 30, 25, 20.0, 9, 1.6, 6.6, 0.4, flows=True)
SNUG = replace(CLOSE, name="close snug", words_pt=9.0)
