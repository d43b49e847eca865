"""A line of a recipe as an ingredient: so much of what, and what was said beside it."""

import re
from fractions import Fraction

from app.food.measures import SIGNS, Quantity, converted, kind_of, read_number, unit_of
from app.planning.day import Ingredient

LONGEST_NAME, LONGEST_LINE = 200, 500
MOST = 1_000_000
_PARTS = "".join(SIGNS)
_NUMBER = (
    rf"\d{{1,6}}(?:[.,]\d{{1,3}})?\s?[{_PARTS}]|\d{{1,3}}\s\d{{1,2}}\s?/\s?\d{{1,2}}|"
    rf"\d{{1,3}}\s?/\s?\d{{1,2}}|\d{{1,6}}(?:[.,]\d{{1,3}})?|[{_PARTS}]"
)
_LEADING = re.compile(
    rf"(?P<from>{_NUMBER})(?:\s?(?:-|–|—|to|or)\s?(?P<to>{_NUMBER}))?(?![\d/])\s*(?:x\s)?"
)
_OR = re.compile(rf"/\s?((?:{_NUMBER})\s?[^\W\d_]{{1,12}}\.?(?:\s(?:oz|ounces?)\.?)?)\s+")
_ASIDE = re.compile(r"\s*\(([^()]{0,200})\)")
_WORD = re.compile(r"(fl\.?\s?oz\.?|[^\W\d_]{1,20}\.?)(?=[\s,/]|$)", re.IGNORECASE)
_ONE = re.compile(r"(?:a|an|one|half an?)\s", re.IGNORECASE)
_TASTE = re.compile(r"\(?\b(?:to taste|as needed|as required)\b\)?", re.IGNORECASE)
# What is counted by a word of its own rather than measured.
_COUNTED_BY = """
bunch bunches can cans clove cloves dash dashes drop drops handful handfuls head heads knob knobs
leaf leaves packet packets piece pieces pinch pinches pod pods rasher rashers sachet sachets sheet
sheets slice slices sprig sprigs stalk stalks stick sticks strip strips tin tins
"""
_COUNTED = frozenset(_COUNTED_BY.split())


def ingredient_of(line: str) -> Ingredient:
    """Return the ingredient that a line tells; of a span the larger amount, told beside it.

    A line that begins with no amount is to taste.
    """
    line = " ".join(line[:LONGEST_LINE].split())
    rest, notes = _TASTE.sub("", line).strip(" ,"), list[str]()
    quantity, rest = _quantity(rest, notes)
    for aside in _ASIDE.findall(rest):
        notes.append(aside.strip())
    rest = _ASIDE.sub("", rest)
    name, _, after = rest.partition(", ")
    if after:
        notes.insert(0, after.strip())
    name = re.sub(r"^of\s+", "", name.strip(" ,;*•-"), flags=re.IGNORECASE)
    return Ingredient(
        name=name[:LONGEST_NAME] or line.strip()[:LONGEST_NAME],
        amount=None if quantity is None else float(quantity.number),
        unit="" if quantity is None else quantity.unit,
        per="copy",
        note="; ".join(filter(None, notes)),
    )


def is_to_taste(line: str) -> bool:
    """Tell whether a line says itself that nobody measures it."""
    return _TASTE.search(line) is not None


def _quantity(line: str, notes: list[str]) -> tuple[Quantity | None, str]:
    found = _LEADING.match(line)
    if found is None:
        return _one_of(line)
    number = _number(found["to"] or found["from"])
    if number is None:
        return None, line
    if found["to"]:
        notes.append(found[0].strip())
    rest = line[found.end() :]
    if aside := _ASIDE.match(rest):
        notes.append(aside[1].strip())
        rest = rest[aside.end() :].lstrip()
    unit, rest = _unit(rest)
    if other := _OR.match(rest):
        notes.append(other[1])
        rest = rest[other.end() :]
    quantity = Quantity(number, unit)
    more = _LEADING.match(rest)
    if more is not None and kind_of(unit) != "count" and not more["to"]:
        smaller, after = _unit(rest[more.end() :])
        also = _number(more["from"])
        if also is not None and kind_of(smaller) == kind_of(unit):
            also_in = converted(Quantity(also, smaller), unit).number
            return Quantity(number + also_in, unit), after
    return quantity, rest


def _one_of(line: str) -> tuple[Quantity | None, str]:
    """Read *a pinch of salt* and *pinch of salt* as one pinch, *an egg* as one."""
    found = _ONE.match(line)
    unit, rest = _unit(line[found.end() :] if found else line)
    if found is None:
        is_one = unit.lower() in _COUNTED and rest.startswith("of ")
        return (Quantity(Fraction(1), unit), rest) if is_one else (None, line)
    return Quantity(
        Fraction(1, 2) if found[0].lower().startswith("half") else Fraction(1), unit
    ), rest


def _number(text: str) -> Fraction | None:
    try:
        number = read_number(text)
    except ValueError:
        return None
    return number if 0 < number <= MOST else None


def _unit(rest: str) -> tuple[str, str]:
    found = _WORD.match(rest)
    if found is None:
        return "", rest
    word = found[1]
    if unit_of(word) is None and word.lower() not in _COUNTED:
        return "", rest
    return word.rstrip("."), rest[found.end() :].lstrip()
