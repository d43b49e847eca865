"""What stands on a page of the prep board."""

from dataclasses import dataclass

from app.paper.board_columns import Column
from app.paper.lines import Line
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
