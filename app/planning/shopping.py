"""The shopping list of plans: added up exactly, by the day, in packs, less what is held."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from app.food.amounts import added
from app.food.densities import same, turned
from app.food.larder import Good, Larder
from app.food.measures import Quantity, kind_of
from app.food.yields import Yield, known_yield, purchased
from app.planning.buying import Bought, paid, shelf_of
from app.planning.takings import Taking

NOTHING = Fraction(0)


@dataclass(frozen=True)
class ByDay:
    """What is needed on a day, and which further packs have to be there by then."""

    date: str
    quantities: tuple[Quantity, ...]
    is_to_taste: bool
    packs: tuple[Bought, ...] | None


@dataclass(frozen=True)
class Line:
    """One thing to buy.

    `needed` is what recipes take; `buy` what has to be bought of it as it is sold, before packs,
    less what is held; None where nobody can tell, and `unknown` says why. `packs` are the cheapest
    that hold it.
    """

    good: Good
    needed: tuple[Quantity, ...]
    is_to_taste: bool
    days: tuple[ByDay, ...]
    contains: tuple[str, ...]
    buy: tuple[Quantity, ...] | None
    packs: tuple[Bought, ...] | None
    price: Fraction | None
    yields: Yield | None
    unknown: str = ""

    @property
    def is_there(self) -> bool:
        """Return whether the larder holds all that is needed."""
        bought = self.packs if self.packs is not None else self.buy
        return bought is not None and not bought and not self.is_to_taste


@dataclass(frozen=True)
class Shopping:
    """A whole list, by the place where things are kept; those without a place come last."""

    places: tuple[tuple[str, tuple[Line, ...]], ...]
    price: Fraction
    unpriced: tuple[str, ...]

    @property
    def lines(self) -> tuple[Line, ...]:
        """Return all lines."""
        return tuple(line for _, lines in self.places for line in lines)


def shopping(takings: Iterable[Taking], larder: Larder) -> Shopping:
    """Return what to buy for all that is taken.

    Parameters
    ----------
    takings
        Of one plan or of several.
    larder
        What the house knows: packs, prices, places, yields, weights, and what it holds.
    """
    named: dict[str, list[Taking]] = {}
    for each in takings:
        named.setdefault(same(each.name), []).append(each)
    places: dict[str, list[Line]] = {}
    for _, some in sorted(named.items()):
        line = _Buying(some, larder).line()
        places.setdefault(line.good.place, []).append(line)
    ordered = sorted(places.items(), key=lambda each: (not each[0], same(each[0])))
    lines = [line for _, some in ordered for line in some]
    return Shopping(
        places=tuple((place, tuple(some)) for place, some in ordered),
        price=sum((line.price for line in lines if line.price is not None), NOTHING),
        unpriced=tuple(line.good.name for line in lines if line.price is None),
    )


class _Buying:
    """One ingredient on its way to the list."""

    def __init__(self, takings: list[Taking], larder: Larder) -> None:
        self.takings, self.own = takings, larder.weights
        self.good = larder.good(takings[0].name)
        self.shelf = shelf_of(self.good, self.own)
        self.sum = added(self.good.name, [each.quantity for each in takings], self.own)

    def line(self) -> Line:
        buy = self._buy(self.sum.quantities)
        packs = self._packs(buy)
        return Line(
            good=self.good,
            needed=self.sum.quantities,
            is_to_taste=self.sum.is_to_taste,
            days=tuple(self._days(packs)),
            contains=tuple(sorted({name for each in self.takings for name in each.contains})),
            buy=buy,
            packs=packs,
            price=None if packs is None or not self._is_priced() else paid(packs),
            yields=self._yields(),
            unknown=self._unknown(buy),
        )

    def _yields(self) -> Yield | None:
        """Return what a table says of trimming, where nobody has said and it is not counted."""
        is_counted = any(each.kind == "count" for each in self.sum.quantities)
        return None if is_counted or self.good.percent is not None else known_yield(self.good.name)

    def _is_priced(self) -> bool:
        return any(each.price is not None for each in self.good.packs)

    def _days(self, packs: tuple[Bought, ...] | None) -> Iterator[ByDay]:
        """Yield each day, the larder used up first, with the packs of all that it asks for."""
        left = [each.pack for each in packs or () for _ in range(each.count)]
        there = Fraction(0)
        until: list[Quantity | None] = []
        for date, some in self._by_date().items():
            until += some
            today = added(self.good.name, some, self.own)
            buy = self._buy(added(self.good.name, until, self.own).quantities)
            more = None
            if packs is not None and self.shelf is not None and buy is not None:
                needed = sum((each.number for each in buy), NOTHING)
                more = self.shelf.by_then(needed - there, left)
                there += sum((each.count * self.shelf.size(each.pack) for each in more), NOTHING)
            yield ByDay(date, today.quantities, today.is_to_taste, more)

    def _by_date(self) -> dict[str, list[Quantity | None]]:
        found: dict[str, list[Quantity | None]] = {}
        for each in sorted(self.takings, key=lambda taking: taking.date):
            found.setdefault(each.date, []).append(each.quantity)
        return found

    def _buy(self, needed: tuple[Quantity, ...]) -> tuple[Quantity, ...] | None:
        """Return what to buy of what recipes take, None where nobody knows a weight for it.

        It is told in the measure of the pack, else of what is held, else as recipes have it.
        """
        pack, held = (self.good.packs[0].holds if self.good.packs else None), self.good.held
        bought = [self._purchased(each) for each in needed]
        if (pack is None and held is None) or not bought:
            return tuple(bought)
        unit = (pack or held or bought[0]).unit
        alike = [turned(self.good.name, each, unit, self.own) for each in bought]
        there = turned(self.good.name, held, unit, self.own) if held else Quantity(NOTHING, unit)
        known = [each.number for each in alike if each is not None]
        if there is None or len(known) < len(alike):
            return None
        left = sum(known, NOTHING) - there.number
        return (Quantity(left, unit),) if left > 0 else ()

    def _purchased(self, quantity: Quantity) -> Quantity:
        percent = self.good.percent
        if percent is None:
            return quantity
        return Quantity(purchased(quantity.number, percent), quantity.unit)

    def _packs(self, buy: tuple[Quantity, ...] | None) -> tuple[Bought, ...] | None:
        """Return the packs that hold what is bought, None where that is not known."""
        if self.shelf is None or buy is None:
            return None
        return self.shelf.chosen(sum((each.number for each in buy), NOTHING))

    def _unknown(self, buy: tuple[Quantity, ...] | None) -> str:
        """Return in a sentence what nobody knows, nothing if all is known."""
        if buy is not None and len(self.sum.quantities) < 2:
            return ""
        units = [each.unit for each in self.sum.quantities]
        units += [each.holds.unit for each in self.good.packs[:1]]
        units += [self.good.held.unit] if self.good.held else []
        told = dict.fromkeys(each or "a piece" for each in units if kind_of(each) != "mass")
        return f"Not known: what {' or '.join(told)} of it weighs, so not all of it is added up."
