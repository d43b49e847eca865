"""A shopping list in words, the same on screen and on paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from app.food.larder import Larder
from app.food.measures import Quantity
from app.food.rounding import decimal, number, text
from app.planning.buying import Bought
from app.planning.shopping import ByDay, Line, Shopping

TO_TASTE = "to taste"
CENT = Fraction(1, 100)
# A blank at which no line breaks.
WHOLE = "\u00a0"


@dataclass(frozen=True)
class DayWords:
    """What is needed on a date; `packs` says how many more there have to be by then."""

    date: str
    needed: str
    packs: str


@dataclass(frozen=True)
class Row:
    """One thing to buy, in words; an empty `price` is not known."""

    name: str
    buy: str
    days: tuple[DayWords, ...]
    needed: str
    held: str
    price: str
    notes: tuple[str, ...]
    contains: tuple[str, ...]
    is_there: bool


@dataclass(frozen=True)
class Place:
    """Where some of the list is kept; no name is no place."""

    name: str
    rows: tuple[Row, ...]


def listing(found: Shopping, larder: Larder) -> tuple[Place, ...]:
    """Return a shopping list in words, in the measures and the money of the house."""
    return tuple(
        Place(name, tuple(_row(line, larder) for line in lines)) for name, lines in found.places
    )


def money(value: Fraction, currency: str) -> str:
    """Return a price: *€ 3.60*; something never reads as nothing."""
    cents = (value / CENT + Fraction(1, 2)).__floor__()
    said = f"{cents // 100}.{cents % 100:02d}" if cents or not value else "under 0.01"
    return f"{currency} {said}".strip()


def _row(line: Line, larder: Larder) -> Row:
    held = line.good.held
    return Row(
        name=line.good.name,
        buy=_buy(line, larder),
        days=tuple(_day(each, larder) for each in line.days),
        needed=_needed(line.needed, line.is_to_taste, larder),
        held=text(held, larder.system) if held is not None and held.number else "",
        price="" if line.price is None else money(line.price, larder.currency),
        notes=tuple(_notes(line)),
        contains=line.contains,
        is_there=line.is_there,
    )


def _buy(line: Line, larder: Larder) -> str:
    """Return what to put in the basket: *2 × 5 kg + 1 × 1 kg*, *2.45 kg*, or nothing."""
    if line.packs is not None:
        return _packs(line.packs)
    quantities = line.needed if line.buy is None else line.buy
    return _needed(quantities, line.is_to_taste, larder)


def _packs(packs: tuple[Bought, ...]) -> str:
    """Return packs as they are sold: of flour *2 × 5 kg + 1 × 1 kg*, of eggs *3 × 12*."""
    return " + ".join(_pack(each.count, each.pack.holds) for each in packs)


def _pack(count: int, holds: Quantity) -> str:
    """Return so many of one pack; single lemons, which are in no pack, are *7*."""
    if holds.kind == "count" and not holds.unit:
        return (
            str(count) if holds.number == 1 else WHOLE.join((f"{count}", "×", number(holds.number)))
        )
    return WHOLE.join((f"{count}", "×", decimal(holds.number), holds.unit))


def _day(each: ByDay, larder: Larder) -> DayWords:
    packs = ""
    if each.packs is not None:
        packs = _packs(each.packs) or "no more"
    needed = _needed(each.quantities, each.is_to_taste, larder)
    return DayWords(each.date, needed, packs)


def _needed(quantities: tuple[Quantity, ...], is_to_taste: bool, larder: Larder) -> str:
    said = " and ".join(text(each, larder.system) for each in quantities)
    if is_to_taste:
        return f"{said}, more {TO_TASTE}" if said else TO_TASTE
    return said


def _notes(line: Line) -> Iterator[str]:
    if line.unknown:
        yield line.unknown
    if line.good.percent is not None:
        yield f"{decimal(line.good.percent)} % is left after trimming; that is bought too."
    if line.yields is not None:
        told = line.yields
        yield (
            f"Without {told.trimmed}, {decimal(told.percent)} % is left ({told.source}); "
            "not reckoned in."
        )
