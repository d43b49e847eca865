"""The columns of the prep board: who they are of, how wide they stand, how much a page holds."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from app.paper.jobs import Job
from app.paper.lines import PADS_MM, PAIRED_MM, ROOMY_MM, TIME_PT
from app.paper.measuring import MM_A_POINT, Piece, lines
from app.paper.setting import Setting
from app.planning.day import Run

COLUMN_MM = 45
HEAD_HIGH = 1.25
STEP_MM, WIDER_MM, PLAY_MM = 2.0, 1, 0.01
NAME_GAP_MM, BETWEEN_MM = 2.0, 0.4
NOBODY_HANDS = "nobody’s hands"
# How far the widths follow the work in the columns: not at all, wholly, more.
LEANINGS = (0.0, 0.35, 0.5, 0.75, 1.0, 1.5, 2.5)
# How much of what a page could hold is enough for it to end with an hour.
FULL_ENOUGH = 0.8
Item = Job | Run


@dataclass(frozen=True)
class Column:
    """A person, or nobody; on a page it is as wide as what stands in it needs.

    Nobody's holds what none of the `others` reads. Where there is room, rows stand in several
    tracks side by side, which are read one after the other.
    """

    cook: str | None
    name: str
    hours: tuple[str, ...]
    wide_mm: float = 0
    tracks: int = 1
    others: frozenset[str] = frozenset()

    @property
    def track_mm(self) -> float:
        """Return how wide a track is."""
        return self._track_mm(self.tracks)

    @property
    def most_tracks(self) -> int:
        """Return how many tracks have room."""
        count = 1
        while self._track_mm(count + 1) >= PAIRED_MM:
            count += 1
        return count

    def _track_mm(self, tracks: int) -> float:
        """Return how wide each of some tracks is, reckoned as a column with its own edges."""
        if tracks == 1:
            return self.wide_mm
        return (self.wide_mm - PADS_MM) // tracks + BETWEEN_MM

    @property
    def is_paired(self) -> bool:
        """Return whether both times of a row stand on one line of it."""
        return self.track_mm >= PAIRED_MM

    @property
    def is_roomy(self) -> bool:
        """Return whether the words of a row begin on the line of its times."""
        return self.track_mm >= ROOMY_MM

    def holds(self, job: Job) -> bool:
        """Return whether a job stands in it."""
        return (
            self.others.isdisjoint(job.readers) if self.cook is None else self.cook in job.readers
        )


def head_mm(column: Column, setting: Setting) -> float:
    """Return how high the head of a column stands: the name and hours; below, whose hands not."""
    inner_mm = column.wide_mm - PADS_MM
    name_pt = setting.nobody_pt if column.cook is None else TIME_PT
    name = Piece(column.name, name_pt, True)
    hours = [Piece(each, TIME_PT, pad_mm=NAME_GAP_MM, is_whole=True) for each in column.hours]
    named = lines((name, *(hours if column.cook else ())), lambda _: inner_mm)
    below_mm = 0 if column.cook else HEAD_HIGH * setting.words_pt * MM_A_POINT
    return named * HEAD_HIGH * name_pt * MM_A_POINT + below_mm


def shared(
    columns: list[Column], work: list[float], leaning: float, wide_mm: float
) -> tuple[Column, ...]:
    """Return columns that share a width by their work, so far as they lean to it."""
    shares = [each**leaning for each in work]
    spare_mm = wide_mm - COLUMN_MM * len(columns)
    return tuple(
        replace(column, wide_mm=int(COLUMN_MM + spare_mm * share / sum(shares)))
        for column, share in zip(columns, shares, strict=True)
    )


def evened(count: int, wide_mm: float, stands: Callable[[int, float], float]) -> list[float]:
    """Return widths that columns share so that the highest stands as low as it may.

    First the highest is given a little, again and again; then it takes from another, as long as
    that lowers the highest.

    Parameters
    ----------
    stands
        How high the column of a number stands in a width.
    """
    wides: list[float] = [COLUMN_MM] * count
    highs = [stands(at, COLUMN_MM) for at in range(count)]
    for _ in range(int(wide_mm - COLUMN_MM * count) // WIDER_MM):
        at = highs.index(max(highs))
        wides[at] += WIDER_MM
        highs[at] = stands(at, wides[at])
    while True:
        at = highs.index(max(highs))
        lower = _lowered(at, wides, highs, stands)
        if lower is None:
            return wides
        wides, highs = lower


def _lowered(
    at: int, wides: list[float], highs: list[float], stands: Callable[[int, float], float]
) -> tuple[list[float], list[float]] | None:
    """Return widths in which a column took from another and the highest stands lower, if any."""
    wider_mm = stands(at, wides[at] + WIDER_MM)
    for other in sorted(range(len(wides)), key=lambda each: highs[each]):
        if other == at or wides[other] - WIDER_MM < COLUMN_MM:
            continue
        moved, told = list(wides), list(highs)
        moved[at], moved[other] = wides[at] + WIDER_MM, wides[other] - WIDER_MM
        told[at], told[other] = wider_mm, stands(other, moved[other])
        if max(told[at], told[other]) < highs[at]:
            return moved, told
    return None


def tracked(highs_mm: Sequence[float], tracks: int) -> list[int]:
    """Return how many rows stand in each track, so that the highest is as low as can be."""
    limit_mm = max([sum(highs_mm) / tracks, *highs_mm])
    while len(counts := _filled(highs_mm, limit_mm)) > tracks:
        limit_mm += STEP_MM
    return counts


def _filled(highs_mm: Sequence[float], limit_mm: float) -> list[int]:
    counts, left_mm = [0], limit_mm
    for high_mm in highs_mm:
        if high_mm > left_mm + PLAY_MM:
            counts, left_mm = [*counts, 0], limit_mm
        counts[-1] += 1
        left_mm -= high_mm
    return counts


def held_by(items: Sequence[Item], columns: tuple[Column, ...]) -> list[list[Job]]:
    """Return the jobs of each column."""
    here = [each for each in items if isinstance(each, Job)]
    return [[job for job in here if column.holds(job)] for column in columns]


def concerns(item: Item, columns: tuple[Column, ...]) -> bool:
    """Return whether an item stands on a page with these columns."""
    return isinstance(item, Run) or any(column.holds(item) for column in columns)


def whole_hours(hours: Sequence[str], most: int) -> int:
    """Return how many items a page takes: as many as fit, or fewer if it then ends with an hour.

    Pages that begin with an hour stay as they are when something changes on an earlier one.

    Parameters
    ----------
    hours
        The hour of each item that is still to be printed.
    most
        How many of them fit on the page.
    """
    if most == len(hours):
        return most
    first = hours.index(hours[most])
    return first if first >= FULL_ENOUGH * most else most
