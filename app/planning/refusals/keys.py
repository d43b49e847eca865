"""Keys of an object: unknown ones, doubled ones, missing ones."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from app.planning.refusals.fault import Found, Path, nearest, shown


class Doubled(dict[str, Any]):
    """An object in which some keys stand twice; a plain dict would swallow one of them."""

    def __init__(self, pairs: Sequence[tuple[str, Any]]) -> None:
        super().__init__(pairs)
        self.pairs = pairs

    @property
    def twice(self) -> list[str]:
        """Return the keys that stand twice: counted only where it is told, as it takes a while."""
        return [key for key, times in Counter(key for key, _ in self.pairs).items() if times > 1]


def doubled(raw: dict[str, Any], path: Path) -> Iterator[Found]:
    """Find keys that stand twice."""
    if isinstance(raw, Doubled):
        for key in raw.twice:
            yield Found((*path, key), "stands twice in one object; keep one and delete the other")


def unknown(key: str, path: Path, known: Iterable[str]) -> Found:
    """Tell of a key that no field has."""

    def words() -> str:
        near = nearest(key, known)
        return (
            f"there is no such field; {f'did you mean {shown(near)}?' if near else 'leave it out'}"
        )

    return Found((*path, key), words)


def missing(key: str, path: Path, wanted: str) -> Found:
    """Tell of a field that must be there."""
    return Found((*path, key), f"is missing; add {wanted}")
