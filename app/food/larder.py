"""What the house knows of what it buys: packs, prices, places, what it holds, own weights."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from functools import cached_property

from app.food.densities import Weight, same
from app.food.measures import Quantity
from app.food.packs import Pack
from app.food.rounding import System

# The fields of what is sold in up to four sizes: what a pack holds, and its price.
PACKS = (("pack", "price"), ("pack_2", "price_2"), ("pack_3", "price_3"), ("pack_4", "price_4"))
FIELDS = (
    *(name for pack, price in PACKS for name in (f"{pack}_amount", f"{pack}_unit", price)),
    *("place", "yield_percent", "held_amount", "held_unit"),
    *("measure_amount", "measure_unit", "measure_grams"),
)
MOST = 1_000_000
LONGEST = {f"{name}_unit": 40 for name in ("held", "measure", *dict(PACKS))} | {"place": 80}
LONGEST_NAME, LONGEST_NUMBER = 200, 20
OWN_ROW = "the house’s own row"


@dataclass(frozen=True)
class Good:
    """One thing that is bought; what nobody has said is None, an empty place is none.

    `packs` are the sizes that it is sold in; `percent` is what is left of it after trimming.
    """

    name: str
    packs: tuple[Pack, ...] = ()
    place: str = ""
    percent: Fraction | None = None
    held: Quantity | None = None
    weight: Weight | None = None


@dataclass(frozen=True)
class Larder:
    """All that the house knows, and the measures and the money that it reckons in."""

    goods: tuple[Good, ...] = ()
    system: System = "as written"
    currency: str = ""

    def good(self, name: str) -> Good:
        """Return what is known of an ingredient; a good of that name alone if nothing is."""
        return self._named.get(same(name)) or Good(name)

    @cached_property
    def weights(self) -> tuple[Weight, ...]:
        """Return the house's own rows of what a measure weighs."""
        return tuple(each.weight for each in self.goods if each.weight is not None)

    @cached_property
    def _named(self) -> dict[str, Good]:
        return {same(each.name): each for each in self.goods}


@dataclass
class Reading:
    """Texts being read as a good; `faults` has a sentence for each that can't be used."""

    said: Mapping[str, str]
    faults: dict[str, str] = field(default_factory=dict)

    def number(self, name: str, *, above_zero: bool = True, most: int = MOST) -> Fraction | None:
        """Return a decimal number, None where nothing is said."""
        text = self.said.get(name, "").strip().replace(",", ".")
        if not text:
            return None
        try:
            value = Decimal(text) if len(text) <= LONGEST_NUMBER else Decimal("nan")
        except InvalidOperation:
            value = Decimal("nan")
        is_low = value.is_finite() and (value < 0 or (above_zero and value == 0))
        if not value.is_finite() or is_low or value > most:
            least = "above 0" if above_zero else "from 0"
            self.faults[name] = f"A number {least} to {most}, such as 2.5, not {text[:40]}."
            return None
        return Fraction(value)

    def words(self, name: str, most: int) -> str:
        """Return a text without needless blanks."""
        text = " ".join(self.said.get(name, "").split())
        if len(text) > most:
            self.faults[name] = f"At most {most} characters; these are {len(text)}."
        return text

    def quantity(self, what: str, *, above_zero: bool = True) -> Quantity | None:
        """Return the quantity that two fields tell, None where neither says anything."""
        number = self.number(f"{what}_amount", above_zero=above_zero)
        unit = self.words(f"{what}_unit", LONGEST[f"{what}_unit"])
        if number is None and unit and f"{what}_amount" not in self.faults:
            self.faults[f"{what}_amount"] = f"How many {unit}? Write a number, or no unit."
        return None if number is None else Quantity(number, unit)

    def pack(self, what: str, priced: str) -> Pack | None:
        """Return the pack that three fields tell, None where they tell none."""
        holds, price = self.quantity(what), self.number(priced, above_zero=False)
        if holds is not None:
            return Pack(holds, price)
        if price is not None:
            words = "A price is of a pack: how much is in it?"
            self.faults.setdefault(f"{what}_amount", words)
        return None


def read_good(name: str, said: Mapping[str, str]) -> tuple[Good, dict[str, str]]:
    """Return the good that texts tell, and what is wrong with them, a sentence a field.

    Parameters
    ----------
    name
        What it is called in recipes.
    said
        A text for some of FIELDS; an empty one says nothing.
    """
    reading = Reading({**said, "name": name})
    called = reading.words("name", LONGEST_NAME)
    if not called:
        reading.faults["name"] = "What is it called? Write the name that recipes use."
    packs = [each for what, price in PACKS if (each := reading.pack(what, price)) is not None]
    measure, grams = reading.quantity("measure"), reading.number("measure_grams")
    if (measure is None) != (grams is None):
        reading.faults.setdefault("measure_grams", "How many grams does which measure weigh?")
    weight = None if measure is None or grams is None else (measure, grams)
    good = Good(
        name=called,
        packs=tuple(packs),
        place=reading.words("place", LONGEST["place"]),
        percent=reading.number("yield_percent", most=100),
        held=reading.quantity("held", above_zero=False),
        weight=None if weight is None else Weight(called, *weight, OWN_ROW),
    )
    return good, reading.faults


def tidy(said: Mapping[str, str]) -> dict[str, str]:
    """Return the texts of all fields as they are kept: no needless blanks, points for commas."""
    numbers = {"yield_percent", "measure_grams", *dict(PACKS).values()}
    found = {}
    for name in FIELDS:
        text = " ".join(said.get(name, "").split())
        is_number = name in numbers or name.endswith("_amount")
        found[name] = text.replace(",", ".") if is_number else text
    return found
