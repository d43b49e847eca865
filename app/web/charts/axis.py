"""Time from left to right, drawn so that every label has its room.

Linear time would put hours of waiting beside beats of seconds. So moments keep their order, a long
wait is drawn longer than a short one, and each span is at least as wide as what is written in it.
"""

from collections import defaultdict
from collections.abc import Iterable
from math import log2

STEPS = 18
LEAST_GAP = 2.0
WIDEST_GAP = 46.0


class Axis:
    """Moments to x, in order; `spans` are (from, to, least width)."""

    def __init__(
        self, moments: Iterable[int], spans: Iterable[tuple[int, int, float]], width: float
    ) -> None:
        self.moments = sorted(set(moments))
        self._needed: defaultdict[int, list[tuple[int, float]]] = defaultdict(list)
        for start, end, least in spans:
            if end > start:
                self._needed[end].append((start, least))
        self._x = self._laid_out(0.35)
        if self.width < width:
            self._widen(width)

    @property
    def width(self) -> float:
        """Return the x of the last moment."""
        return self._x[self.moments[-1]] if self.moments else 0.0

    def x(self, moment: int) -> float:
        """Return where a moment lies."""
        return self._x[moment]

    def _laid_out(self, stretch: float) -> dict[int, float]:
        placed: dict[int, float] = {}
        before: int | None = None
        for moment in self.moments:
            x = 0.0
            if before is not None:
                x = placed[before] + _gap((moment - before) / 60, stretch)
            for start, least in self._needed[moment]:
                x = max(x, placed[start] + least)
            placed[moment] = x
            before = moment
        return placed

    def _widen(self, width: float) -> None:
        """Find the stretch that fills the width."""
        low, high = 0.35, 12.0
        for _ in range(STEPS):
            middle = (low + high) / 2
            self._x = self._laid_out(middle)
            low, high = (low, middle) if self.width > width else (middle, high)
        self._x = self._laid_out(low)


def _gap(minutes: float, stretch: float) -> float:
    return min(WIDEST_GAP * stretch, LEAST_GAP + 6 * stretch * log2(1 + minutes / 10))
