"""One good on its way into the basket: how many of which pack, and what a measure of it costs."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from app.food.densities import Weight, same, turned
from app.food.larder import Good, Larder
from app.food.measures import Quantity
from app.food.packs import Pack, packs_for
from app.food.yields import purchased
from app.planning.takings import Taking


@dataclass(frozen=True)
class Bought:
    """So many of one pack."""

    pack: Pack
    count: int


@dataclass(frozen=True)
class Shelf:
    """The packs of a good, all told in one unit: `sizes` is what each holds."""

    packs: tuple[Pack, ...]
    sizes: tuple[Quantity, ...]

    @property
    def unit(self) -> str:
        """Return the unit that packs are told in."""
        return self.sizes[0].unit

    def chosen(self, needed: Fraction) -> tuple[Bought, ...]:
        """Return the cheapest packs that hold so much, the largest first."""
        told = [Pack(size, pack.price) for size, pack in zip(self.sizes, self.packs, strict=True)]
        counts = packs_for(Quantity(needed, self.unit), told)
        bought = [
            (size.number, Bought(pack, count))
            for size, pack, count in zip(self.sizes, self.packs, counts, strict=True)
            if count
        ]
        return tuple(each for _, each in sorted(bought, key=lambda two: -two[0]))

    def size(self, pack: Pack) -> Fraction:
        """Return what one of its packs holds."""
        return self.sizes[self.packs.index(pack)].number

    def by_then(self, needed: Fraction, left: list[Pack]) -> tuple[Bought, ...]:
        """Take out of what is bought the packs that have to be there for so much, and return them.

        Parameters
        ----------
        left
            Single packs that are bought and not there yet; what is taken leaves it.
        """
        taken: list[Pack] = []
        while needed > 0 and left:
            enough = [each for each in left if self.size(each) >= needed]
            best = min(enough, key=self.size) if enough else max(left, key=self.size)
            left.remove(best)
            taken.append(best)
            needed -= self.size(best)
        ordered = sorted(set(taken), key=self.size, reverse=True)
        return tuple(Bought(each, taken.count(each)) for each in ordered)

    def price_of(self, needed: Fraction) -> Fraction | None:
        """Return what one unit of it costs where so much is bought; None if no price is known."""
        chosen = self.chosen(needed) if needed > 0 else ()
        if not chosen:
            told = [
                each.price / size.number
                for size, each in zip(self.sizes, self.packs, strict=True)
                if each.price is not None
            ]
            return min(told, default=None)
        money = paid(chosen)
        held = sum((each.count * self.size(each.pack) for each in chosen), Fraction(0))
        return None if money is None else money / held


def shelf_of(good: Good, own: Iterable[Weight]) -> Shelf | None:
    """Return the packs of a good; those of a measure that nobody can weigh are left out."""
    own = tuple(own)
    if not good.packs:
        return None
    unit = good.packs[0].holds.unit
    sizes = [turned(good.name, each.holds, unit, own) for each in good.packs]
    known = [(pack, size) for pack, size in zip(good.packs, sizes, strict=True) if size is not None]
    return Shelf(tuple(pack for pack, _ in known), tuple(size for _, size in known))


def paid(bought: Iterable[Bought]) -> Fraction | None:
    """Return what packs cost; None if one has no price."""
    money = Fraction(0)
    for each in bought:
        if each.pack.price is None:
            return None
        money += each.count * each.pack.price
    return money


class Prices:
    """What is used of each good costs, by the packs that all of it together takes.

    Parameters
    ----------
    takings
        All that is taken of every good.
    larder
        What the house knows: packs, prices, yields, weights. What it holds is not given away.
    """

    def __init__(self, takings: Iterable[Taking], larder: Larder) -> None:
        self.own = larder.weights
        self.taken: dict[str, list[Quantity]] = {}
        for each in takings:
            if each.quantity is not None:
                self.taken.setdefault(same(each.name), []).append(each.quantity)
        self.known: dict[str, tuple[Shelf | None, Fraction | None]] = {}

    def of(self, good: Good, quantity: Quantity) -> Fraction | None:
        """Return what so much of a good costs; None where a price or a weight is not known."""
        key = same(good.name)
        if key not in self.known:
            self.known[key] = self._known(good)
        shelf, price = self.known[key]
        bought = None if shelf is None else self._bought(good, shelf, quantity)
        return None if price is None or bought is None else bought * price

    def _known(self, good: Good) -> tuple[Shelf | None, Fraction | None]:
        shelf = shelf_of(good, self.own)
        if shelf is None:
            return None, None
        mine = self.taken.get(same(good.name), ())
        amounts = [self._bought(good, shelf, each) for each in mine]
        needed = sum((each for each in amounts if each is not None), Fraction(0))
        return shelf, shelf.price_of(needed)

    def _bought(self, good: Good, shelf: Shelf, quantity: Quantity) -> Fraction | None:
        """Return how much is bought for what is used, in the unit of the packs."""
        alike = turned(good.name, quantity, shelf.unit, self.own)
        if alike is None:
            return None
        return alike.number if good.percent is None else purchased(alike.number, good.percent)
