"""Allergens under a law: which of its allergens a word names, and what meets what somebody avoids.

A word stands for one or several *kinds* (gluten for wheat, rye and more; shellfish for crustaceans
and molluscs). A word names an allergen of a law for sure if all its kinds belong to it, and perhaps
if only some do: so wheat is in the cereals containing gluten of the EU, but those cereals are
perhaps not the wheat of the US, and crustaceans are never molluscs. The word itself is kept.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from app.food.tables import rows

Kinds = frozenset[str]
LAWS = ("us", "eu")


@dataclass(frozen=True)
class Allergen:
    """One allergen of a law: the law's word for it, other words that name it, its kinds."""

    called: str
    names: frozenset[str]
    kinds: Kinds


@dataclass(frozen=True)
class Law:
    """The allergens that a law wants declared."""

    id: str
    called: str
    source: str
    allergens: tuple[Allergen, ...]


@dataclass(frozen=True)
class Named:
    """A word of an ingredient that names an allergen of a law; perhaps only, if not `is_sure`."""

    word: str
    is_sure: bool


@dataclass(frozen=True)
class Declared:
    """Words under a law: a cell for each of its allergens, and the words that it does not name."""

    cells: tuple[tuple[Allergen, tuple[Named, ...]], ...]
    beside: tuple[str, ...]


@lru_cache
def law(id: str) -> Law:
    """Return a law by its id.

    Raises
    ------
    ValueError
        If there is no such law.

    Source
    ------
    FALCPA 2004 with the FASTER Act 2021; Regulation (EU) No 1169/2011 Annex II; secondary reading.
    Which nuts are tree nuts in the US, and that spelt is wheat there: from memory of FDA guidance.
    """
    mine = [row for row in rows("allergen_laws") if row["law"] == id]
    if not mine:
        raise ValueError(f"no law {id!r}; there are {', '.join(LAWS)}")
    allergens = tuple(
        Allergen(row["allergen"], frozenset(_split(row["names"])), frozenset(_split(row["kinds"])))
        for row in mine
    )
    return Law(id, mine[0]["called"], mine[0]["source"], allergens)


def declared(words: Iterable[str], under: Law) -> Declared:
    """Return which allergens of a law some words name, each with the words as they were given.

    Parameters
    ----------
    words
        What ingredients contain, in their own words.
    """
    given = list(dict.fromkeys(words))
    cells = tuple(
        (
            allergen,
            tuple(
                Named(word, is_sure)
                for word in given
                if (is_sure := _names(word, allergen)) is not None
            ),
        )
        for allergen in under.allergens
    )
    told = {named.word for _, names in cells for named in names}
    return Declared(cells, tuple(word for word in given if word not in told))


def meets(contained: str, avoided: str) -> bool | None:
    """Return whether what an ingredient contains is what somebody avoids.

    Parameters
    ----------
    contained, avoided
        A word of an ingredient, and a word of a person.

    Returns
    -------
    bool or None
        True if it is for sure, False if it may be (shellfish for somebody who avoids molluscs),
        None if it is something else.
    """
    if _plain(contained) == _plain(avoided):
        return True
    (there, is_whole), (shunned, _) = _kinds(contained), _kinds(avoided)
    if not there or not shunned:
        return _alike(contained, avoided)
    if there.isdisjoint(shunned):
        return None
    return is_whole and there <= shunned


def is_said(name: str, avoided: str) -> bool:
    """Return whether the name of an ingredient says what somebody avoids: *fennel seed*, fennel."""
    there = {each.rstrip("s") for each in re.findall(r"\w+", _plain(name))}
    shunned = {each.rstrip("s") for each in re.findall(r"\w+", _plain(avoided))}
    return bool(shunned) and shunned <= there


def _names(word: str, allergen: Allergen) -> bool | None:
    if _plain(word) in allergen.names:
        return True
    kinds, is_whole = _kinds(word)
    if kinds.isdisjoint(allergen.kinds):
        return None
    return is_whole and kinds <= allergen.kinds


def _kinds(word: str) -> tuple[Kinds, bool]:
    """Return the kinds of a word; of a phrase that nobody listed, of the words in it, unsurely."""
    known, plain = _words(), _plain(word)
    if plain in known:
        return known[plain], True
    inside = [kinds for each, kinds in known.items() if re.search(rf"\b{re.escape(each)}\b", plain)]
    return frozenset().union(*inside), False


def _alike(one: str, other: str) -> bool | None:
    """Return whether two words that no table knows are the same but for a plural."""
    return True if _plain(one).rstrip("s") == _plain(other).rstrip("s") else None


@lru_cache
def _words() -> dict[str, Kinds]:
    return {
        word: frozenset(_split(row["kinds"]))
        for row in rows("allergen_words")
        for word in _split(row["words"])
    }


def _plain(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").split())


def _split(cell: str) -> list[str]:
    return cell.split("|")
