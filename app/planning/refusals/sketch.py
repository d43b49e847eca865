"""A document as far as it is well shaped, so that rules can work on it beside its faults."""

from dataclasses import dataclass, field
from typing import Any, Final

from app.planning.canonical import AS_IF_UNSAID
from app.planning.minutes import Clock
from app.planning.refusals.fault import Found, Path, Words

MOST_COUNTED = 100_000


class Bad:
    """What stands in the place of a value that is not well shaped; its fault is told already."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Final = Bad()


class Enough(Exception):
    """So much is wrong that reading on would only cost time."""


@dataclass(slots=True)
class Reading:
    """One reading of one document: what was found wrong, and the clock if the zone is known."""

    clock: Clock | None = None
    found: list[Found] = field(default_factory=list)

    def note(self, found: Found) -> None:
        """Note a fault; Enough if there are too many to go on counting."""
        self.found.append(found)
        if len(self.found) >= MOST_COUNTED:
            raise Enough

    def bad(self, path: Path, words: Words) -> Bad:
        """Note a fault and return BAD, to stand in the place of the value."""
        self.note(Found(path, words))
        return BAD


class Sketch:
    """A part of a document: what is good of it, by the keys of the file.

    Lists keep their length: an entry that is not well shaped is BAD in its place.
    """

    __slots__ = ("defaults", "good", "path", "raw")

    def __init__(
        self, path: Path, raw: dict[str, Any], good: dict[str, Any], defaults: dict[str, Any]
    ) -> None:
        self.path = path
        self.raw = raw
        self.good = good
        self.defaults = defaults

    def at(self, *steps: str | int) -> Path:
        """Return the path of something within this part."""
        return (*self.path, *steps)

    def given(self, key: str) -> bool:
        """Tell whether the document says anything under this key."""
        return key in self.raw

    def value(self, key: str) -> Any:
        """Return what is good under a key, its default where absent; None where unknown."""
        if key in self.good:
            return self.good[key]
        return None if key in self.raw else self.defaults.get(key)

    def text(self, key: str) -> str | None:
        """Return the text under a key, also one that breaks a rule; None if there is no text."""
        there = self.raw.get(key)
        return there if isinstance(there, str) else None

    def part(self, key: str) -> "Sketch | None":
        """Return the part under a key, if it is there and an object."""
        there = self.good.get(key)
        return there if isinstance(there, Sketch) else None

    def entries(self, key: str) -> list[tuple[int, Any]]:
        """Return the good entries of a list with their places; none where it is no list."""
        there = self.value(key)
        if not isinstance(there, list | tuple):
            return []
        return [(number, each) for number, each in enumerate(there) if each is not BAD]

    def parts(self, key: str) -> list["Sketch"]:
        """Return the parts in a list."""
        there = self.good.get(key)
        if not isinstance(there, list):
            return []
        return [each for each in there if isinstance(each, Sketch)]

    def is_whole(self, key: str) -> bool:
        """Tell whether everything in a list is known."""
        there = self.value(key)
        return isinstance(there, list | tuple) and BAD not in there

    def plain(self) -> dict[str, Any]:
        """Return the part as plain values, for the models; only where nothing is BAD."""
        return {
            key: _plain(value)
            for key, value in self.good.items()
            if key not in AS_IF_UNSAID or value != AS_IF_UNSAID[key]
        }


def _plain(value: object) -> object:
    if isinstance(value, Sketch):
        return value.plain()
    if isinstance(value, list):
        return [_plain(each) for each in value]
    return value
