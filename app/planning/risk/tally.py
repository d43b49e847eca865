"""What is counted while a day is played."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from app.planning.auditing.moments import NeedKey

Why = Literal["late", "old", "lost"]
WHYS: tuple[Why, ...] = ("late", "old", "lost")
Missing = tuple[int, Why, int]
Taker = NeedKey | str
"""A need, or the id of a batch."""


@dataclass(frozen=True)
class Fallen:
    """A copy that its taker can't take, or that can't back it, in one of the plays."""

    play: int
    copy: int
    taker: Taker
    why: Why
    is_backup: bool = False


@dataclass
class Story:
    """What happened in a few plays, one by one: what fell, and which needs lacked a copy."""

    fallen: list[Fallen] = field(default_factory=list)
    short: list[tuple[int, int]] = field(default_factory=list)
    """Play and need."""


@dataclass
class Tally:
    """In how many plays each need lacked a copy, why, and in how many none did.

    Parameters
    ----------
    plays
        All that were played so far.
    whole
        Those in which no need that the plan serves lacked anything.
    lacked
        Plays in which a need lacked a copy, by its number.
    first
        Plays by need, by the first copy that was missing, and by why.
    starved
        Plays by batch, by the first copy that was missing when it started, and by why.
    """

    plays: int = 0
    whole: int = 0
    lacked: Counter[int] = field(default_factory=Counter)
    first: Counter[tuple[int, int, Why]] = field(default_factory=Counter)
    starved: Counter[tuple[int, int, Why]] = field(default_factory=Counter)

    def served(self, need: int, lacked: int, missing: Iterable[Missing]) -> None:
        """Count how one need went."""
        self.lacked[need] += lacked
        for copy, why, plays in missing:
            self.first[need, copy, why] += plays

    def began(self, lot: int, missing: Iterable[Missing]) -> None:
        """Count what one batch lacked when it started."""
        for copy, why, plays in missing:
            self.starved[lot, copy, why] += plays

    def played(self, plays: int, whole: int) -> None:
        """Count plays that are over."""
        self.plays += plays
        self.whole += whole
