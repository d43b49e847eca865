"""What is wrong with a document: faults with their place, told in document order, all at once."""

import json
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from heapq import nsmallest

Path = tuple[str | int, ...]
Words = str | Callable[[], str]
MOST_TOLD = 100
LONGEST_SHOWN = 60
MOST_LISTED = 6
MOST_COMPARED = 2000
_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]{0,59}")


@dataclass(frozen=True, slots=True)
class DayFault:
    """One fault: where it stands, and one sentence with the value and the mend."""

    place: str
    words: str

    def __str__(self) -> str:
        return f"{self.place}: {self.words}"


class Refused(Exception):
    """A document that cannot be read: its first faults, and how many more there are."""

    def __init__(self, faults: Iterable[DayFault], more: int = 0) -> None:
        self.faults = tuple(faults)
        self.more = more
        super().__init__(str(self))

    def __str__(self) -> str:
        rest = [f"and {self.more} more"] if self.more else []
        return "\n".join([*map(str, self.faults), *rest])


@dataclass(frozen=True, slots=True)
class Found:
    """A fault as a rule finds it; `words` may wait until it is known that they are told."""

    path: Path
    words: Words

    def told(self) -> DayFault:
        """Return the fault in words."""
        words = self.words if isinstance(self.words, str) else self.words()
        return DayFault(place(self.path), words)


def refused(document: object, found: list[Found]) -> Refused:
    """Return the refusal of `document`: the first hundred faults in its order, the rest counted."""
    order = Order(document)
    first = nsmallest(MOST_TOLD, found, key=lambda each: order.position(each.path))
    return Refused([each.told() for each in first], len(found) - len(first))


class Order:
    """The order in which a document says things."""

    def __init__(self, document: object) -> None:
        self.document = document
        self.numbered: dict[int, dict[object, int]] = {}

    def position(self, path: Path) -> tuple[int, ...]:
        """Return where a path stands; what is absent stands behind what is there."""
        position = []
        here = self.document
        for step in path:
            position.append(self._number(here, step))
            if isinstance(here, dict):
                here = here.get(step)
            else:
                there = isinstance(here, list | tuple) and isinstance(step, int)
                here = here[step] if there and step < len(here) else None  # type: ignore
        return tuple(position)

    def _number(self, here: object, step: str | int) -> int:
        if not isinstance(here, dict):
            return step if isinstance(step, int) else 0
        if id(here) not in self.numbered:
            self.numbered[id(here)] = {key: number for number, key in enumerate(here)}
        return self.numbered[id(here)].get(step, len(here))


def place(path: Path) -> str:
    """Return a path as people write it: `demonstrations[0].stages[3].from[0].stage`."""
    written = ""
    for step in path:
        if isinstance(step, int):
            written += f"[{step}]"
        elif _PLAIN_KEY.fullmatch(step):
            written += f".{step}" if written else step
        else:
            written += f"[{shown(step)}]"
    return written or "the file"


def shown(value: object) -> str:
    """Return a value as a sentence shows it: as JSON, cut short where it is long."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list | tuple):
        return "a list" if value else "an empty list"
    if isinstance(value, str) and len(value) > LONGEST_SHOWN:
        value = value[:LONGEST_SHOWN] + "…"
    try:
        text = json.dumps(value, ensure_ascii=False)
    except (TypeError, ValueError):
        text = type(value).__name__
    text = text if len(text) <= 2 * LONGEST_SHOWN else text[: 2 * LONGEST_SHOWN] + "…"
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def meant(value: object, choices: Iterable[str], otherwise: str) -> str:
    """Return the mend of a word that is none of `choices`: the nearest, or all if few.

    Parameters
    ----------
    value
        What stands there.
    choices
        What could stand there.
    otherwise
        The mend where no choice is near and there are too many, or none, to list.
    """
    known = list(dict.fromkeys(choices))
    near = nearest(value, known)
    if near:
        return f"did you mean {shown(near)}?"
    if 0 < len(known) <= MOST_LISTED:
        return f"write {listed(known, 'or')}"
    return otherwise


def nearest(value: object, choices: Iterable[str]) -> str | None:
    """Return the choice that a word was most likely meant to be; None if it is like none."""
    known = list(choices)
    if not isinstance(value, str) or len(value) > LONGEST_SHOWN or len(known) > MOST_COMPARED:
        return None
    near = get_close_matches(value, known, n=1, cutoff=0.6)
    return near[0] if near else None


def listed(words: Iterable[str], last: str) -> str:
    """Return words in quotes, with commas, and `last` (and, or) before the last of them."""
    quoted = [shown(word) for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"
