"""What may stand in one place of a document: texts, ids, words to choose from, lists."""

import re
from typing import Any, Protocol

from app.planning.refusals.fault import Path, listed, meant, shown
from app.planning.refusals.sketch import BAD, Bad, Reading

ID = r"[a-z0-9][a-z0-9-]{0,47}"
_ID = re.compile(ID)
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")


class Shape(Protocol):
    """What may stand in one place."""

    @property
    def wanted(self) -> str:
        """Return in words what should stand there."""

    def read(self, value: object, path: Path, reading: Reading) -> Any:
        """Return the value in its one form, or BAD after noting what is wrong."""

    def schema(self) -> dict[str, Any]:
        """Return its JSON Schema."""


class Text:
    """Any text."""

    wanted = "a text in quotes"

    def read(self, value: object, path: Path, reading: Reading) -> str | Bad:
        """Return the text."""
        if not isinstance(value, str):
            return reading.bad(path, f"{shown(value)} is no text; write {self.wanted}")
        if _HALF_CHARACTER.search(value):
            return reading.bad(path, f"{shown(value)} holds half a character; write the whole one")
        return value

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of a text."""
        return {"type": "string"}


class Id:
    """An id of a day."""

    wanted = 'an id of 1 to 48 small letters, digits and hyphens, such as "take-1"'

    def read(self, value: object, path: Path, reading: Reading) -> str | Bad:
        """Return the id."""
        if isinstance(value, str) and _ID.fullmatch(value):
            return value
        return reading.bad(path, f"{shown(value)} is no id; write {self.wanted}")

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of an id."""
        return {"type": "string", "pattern": f"^{ID}$"}


class Truth:
    """Yes or no."""

    wanted = "true or false, without quotes"

    def read(self, value: object, path: Path, reading: Reading) -> bool | Bad:
        """Return the truth value."""
        if isinstance(value, bool):
            return value
        return reading.bad(path, f"{shown(value)} is neither true nor false; write {self.wanted}")

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of a truth value."""
        return {"type": "boolean"}


class Choice:
    """One of a few words."""

    def __init__(self, choices: tuple[str, ...]) -> None:
        self.choices = choices
        self.wanted = listed(choices, "or")

    def read(self, value: object, path: Path, reading: Reading) -> str | Bad:
        """Return the word."""
        if isinstance(value, str) and value in self.choices:
            return value

        def words() -> str:
            mend = meant(value, self.choices, f"write {self.wanted}")
            return f"{shown(value)} is not known here; {mend}"

        return reading.bad(path, words)

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a choice."""
        if len(self.choices) == 1:
            return {"const": self.choices[0]}
        return {"enum": list(self.choices)}


class Several:
    """A list of anything long whose entries are alike."""

    wanted = "a list in [ ]"

    def __init__(self, entry: Shape) -> None:
        self.entry = entry

    def read(self, value: object, path: Path, reading: Reading) -> list[Any] | Bad:
        """Return the list, with BAD where an entry is not well shaped."""
        if not isinstance(value, list | tuple):
            return reading.bad(path, f"{shown(value)} is no list; write {self.wanted}")
        read = self.entry.read
        return [read(each, (*path, number), reading) for number, each in enumerate(value)]

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a list."""
        return {"type": "array", "items": self.entry.schema()}


class Pair:
    """A list of two: a span of time, or the run and the beat of a use."""

    def __init__(self, entry: Shape) -> None:
        self.entry = entry
        self.wanted = f"a list of two: {entry.wanted}, twice"

    def read(self, value: object, path: Path, reading: Reading) -> list[Any] | Bad:
        """Return the two, or BAD if either is."""
        if not isinstance(value, list | tuple) or len(value) != 2:
            what = shown(value) if not isinstance(value, list | tuple) else f"{len(value)} entries"
            return reading.bad(path, f"{what} stand here; write {self.wanted}")
        two = [self.entry.read(each, (*path, n), reading) for n, each in enumerate(value)]
        return BAD if BAD in two else two

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of such a pair."""
        return {
            "type": "array",
            "prefixItems": [self.entry.schema()] * 2,
            "minItems": 2,
            "maxItems": 2,
        }


class Nullable:
    """Something that a plan may say is null."""

    def __init__(self, inner: Shape) -> None:
        self.inner = inner
        self.wanted = f"{inner.wanted}, or null"

    def read(self, value: object, path: Path, reading: Reading) -> Any:
        """Return None, or what the inner shape reads."""
        return None if value is None else self.inner.read(value, path, reading)

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of it."""
        return {"anyOf": [self.inner.schema(), {"type": "null"}]}


class Anything:
    """An object that is kept as it is: an operation of a change."""

    wanted = "an object in { }"

    def read(self, value: object, path: Path, reading: Reading) -> Any:
        """Return the object."""
        if isinstance(value, dict):
            return value
        return reading.bad(path, f"{shown(value)} is no object; write {self.wanted}")

    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of any object."""
        return {"type": "object"}
