"""What stands on a page of the prep board."""

from dataclasses import dataclass

from app.paper import face
from app.paper.board_columns import HEAD_HIGH, Column
from app.paper.lines import Line
from app.paper.measuring import MM_A_POINT, Piece, lines
from app.paper.setting import Setting


@dataclass(frozen=True)
class Row:
    """A part of the day: what each column begins in it, by tracks, and the runs that start in it.

    `until` says when the next one begins, where it is longer than an hour.
    """

    time: str
    until: str
    runs: tuple[tuple[str, str], ...]
    cells: tuple[tuple[tuple[Line, ...], ...], ...]


@dataclass(frozen=True)
class Page:
    """A prep day, or as much of it as fits: the people at work, and who is `idle` meanwhile.

    Below its rows at least `room_mm` are left.
    """

    date: str
    part: str
    columns: tuple[Column, ...]
    idle: tuple[str, ...]
    rows: tuple[Row, ...]
    room_mm: float
    setting: Setting

    @property
    def idle_words(self) -> str:
        """Return who has nothing to do here, as their line above the columns says it."""
        return idle_words(self.idle)


def idle_words(names: tuple[str, ...]) -> str:
    """Return that some have nothing on a page."""
    return f"Nothing on this page for {face.listed(names)}."


def idle_mm(names: tuple[str, ...], wide_mm: float, setting: Setting) -> float:
    """Return how high that stands on a page of a width; nothing where all have work."""
    if not names:
        return 0.0
    words = Piece(idle_words(names), setting.words_pt)
    return HEAD_HIGH * setting.words_pt * MM_A_POINT * lines((words,), lambda _: wide_mm)
