"""One rule broken, in one place, told in one sentence."""

from collections.abc import Iterator
from dataclasses import dataclass

LONGEST_ID = 80


@dataclass(frozen=True)
class Breach:
    """A rule that the plan breaks: its code, what it concerns, and a sentence."""

    code: str
    ids: tuple[str, ...]
    words: str

    def __str__(self) -> str:
        return f"{self.code}: {tidy(self.words, len(self.words))}"


Breaches = Iterator[Breach]


def tidy(text: str, longest: int = LONGEST_ID) -> str:
    """Return a text on one line and not without end: a plan may hold any text as an id."""
    if len(text) <= longest and text.isprintable():
        return text
    plain = "".join(sign if sign.isprintable() else "?" for sign in text[:longest])
    return plain + ("…" if len(text) > longest else "")
