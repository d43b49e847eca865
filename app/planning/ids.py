"""Ids from the words that people give to things."""

import re
import unicodedata
from collections.abc import Collection, Container

LONGEST = 48
_PLAIN = {"ß": "ss", "æ": "ae", "ø": "o", "œ": "oe", "ł": "l", "đ": "d", "ð": "d", "þ": "th"}


def id_from(words: str, taken: Container[str] = (), otherwise: str = "thing") -> str:
    """Return an id that reads like some words: *Crème fraîche* is `creme-fraiche`.

    Parameters
    ----------
    words
        The name that a person gave.
    taken
        Ids that others have; a number is put behind one of those.
    otherwise
        The id of words in which nothing can stand in an id.
    """
    low = "".join(_PLAIN.get(sign, sign) for sign in words.lower()[:400])
    bare = unicodedata.normalize("NFKD", low).encode("ascii", "ignore").decode()
    stem = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")[:LONGEST].strip("-") or otherwise
    found, number = stem, 2
    while found in taken:
        ending = f"-{number}"
        found, number = stem[: LONGEST - len(ending)].rstrip("-") + ending, number + 1
    return found


def ids_from(words: str, taken: Collection[str], count: int) -> list[str]:
    """Return so many ids that read like some words, none of which others have."""
    found: list[str] = []
    while len(found) < count:
        found.append(id_from(words, {*taken, *found}))
    return found
