"""The facts of a kitchen: equipment, crew, shelves; what every other fact is built on."""

from typing import Literal

from pydantic import BaseModel, ConfigDict

Zone = Literal["ambient", "chill", "frozen", "hot", "proof"]
Span = tuple[str, str]


class Fact(BaseModel):
    """Something the day says; it never changes once read."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class Named(Fact):
    """A fact with an id; `called` is what screens and paper show."""

    id: str
    name: str | None = None

    @property
    def called(self) -> str:
        """Return the name for people: the given name, else the id."""
        return self.name or self.id


class Settings(Fact):
    """What it takes to bring an item to another setting."""

    change_min: int
    cold_after_min: int | None = None

    @property
    def cold_after(self) -> int:
        """Return the minutes without use after which the item is cold again."""
        return max(120, self.change_min) if self.cold_after_min is None else self.cold_after_min


class Equipment(Named):
    """One item of the kitchen: an oven, a mixer, a hob."""

    kind: str
    units: int = 1
    closed: tuple[Span, ...] = ()
    settings: Settings | None = None


class Cook(Named):
    """One of the crew."""

    shifts: tuple[Span, ...]
    skills: tuple[str, ...] = ()


class Shelf(Named):
    """A shelf unit: a fridge, rack or cupboard; slots of each level from the top."""

    zone: Zone
    levels: tuple[int, ...]


class Kitchen(Fact):
    """Where the prep happens, and by whom."""

    equipment: tuple[Equipment, ...] = ()
    crew: tuple[Cook, ...] = ()
    shelves: tuple[Shelf, ...] = ()
