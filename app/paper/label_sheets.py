"""How labels lie on a sheet or a roll, in millimetres; nothing of it is known to any one maker."""

from collections.abc import Iterator
from dataclasses import dataclass

# What a printer and its paper shift, and rounded sizes may say too much by.
PLAY_MM = 0.05
LEAST_WIDE_MM, LEAST_HIGH_MM = 60.0, 34.0
MOST_MM = 1000.0


@dataclass(frozen=True)
class LabelSheet:
    """A sheet of labels, `across` by `down`; a roll is a sheet with one label that fills it.

    `left_mm` and `top_mm` lie between the edge of the sheet and the first label, the gaps between
    one label and the next.
    """

    name: str
    sheet_wide_mm: float
    sheet_high_mm: float
    left_mm: float
    top_mm: float
    across: int
    down: int
    label_wide_mm: float
    label_high_mm: float
    gap_across_mm: float
    gap_down_mm: float

    @property
    def labels(self) -> int:
        """Return how many labels a sheet has."""
        return self.across * self.down

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Return where a label begins, from the left and from the top; the first has 0."""
        down, across = divmod(position, self.across)
        return (
            self.left_mm + across * (self.label_wide_mm + self.gap_across_mm),
            self.top_mm + down * (self.label_high_mm + self.gap_down_mm),
        )

    def faults(self) -> Iterator[tuple[str, str]]:
        """Yield the field and a sentence for whatever cannot be printed."""
        for field in ("sheet_wide_mm", "sheet_high_mm", "label_wide_mm", "label_high_mm"):
            if not 0 < getattr(self, field) <= MOST_MM:
                yield field, f"More than 0 and at most {MOST_MM:g} mm."
        if self.label_wide_mm < LEAST_WIDE_MM:
            yield "label_wide_mm", f"What stands on a label needs {LEAST_WIDE_MM:g} mm across."
        if self.label_high_mm < LEAST_HIGH_MM:
            yield "label_high_mm", f"What stands on a label needs {LEAST_HIGH_MM:g} mm of height."
        right, bottom = self.corner_mm(self.labels - 1)
        over_mm = right + self.label_wide_mm - self.sheet_wide_mm
        if over_mm > PLAY_MM:
            yield "across", f"So many labels across are {over_mm:g} mm wider than the sheet."
        over_mm = bottom + self.label_high_mm - self.sheet_high_mm
        if over_mm > PLAY_MM:
            yield "down", f"So many labels down are {over_mm:g} mm higher than the sheet."


def _grid(name: str, wide_mm: float, high_mm: float) -> LabelSheet:
    """Return two labels across and five down on a sheet to be cut, 8 mm from its edges."""
    edge_mm, gap_mm, across, down = 8.0, 3.0, 2, 5
    label_wide_mm = (wide_mm - 2 * edge_mm - (across - 1) * gap_mm) / across
    label_high_mm = (high_mm - 2 * edge_mm - (down - 1) * gap_mm) / down
    return LabelSheet(
        name=name,
        sheet_wide_mm=wide_mm,
        sheet_high_mm=high_mm,
        left_mm=edge_mm,
        top_mm=edge_mm,
        across=across,
        down=down,
        label_wide_mm=round(label_wide_mm, 2),
        label_high_mm=round(label_high_mm, 2),
        gap_across_mm=gap_mm,
        gap_down_mm=gap_mm,
    )


def roll(name: str, wide_mm: float, high_mm: float) -> LabelSheet:
    """Return a roll: a label is a page."""
    return LabelSheet(name, wide_mm, high_mm, 0, 0, 1, 1, wide_mm, high_mm, 0, 0)


# Our own division of plain sheets; a house adds those that it buys.
A4 = _grid("A4, 2 by 5", 210, 297)
LETTER = _grid("Letter, 2 by 5", 215.9, 279.4)
ROLL = roll("Roll, 100 by 60 mm", 100, 60)
SHEETS = {each.name: each for each in (A4, LETTER, ROLL)}
OF_SIZE = {"a4": A4, "letter": LETTER, "roll": ROLL}
