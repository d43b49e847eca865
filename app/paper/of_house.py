"""What a paper takes of the house beside a plan: its law, its limits, what somebody has decided."""

from dataclasses import dataclass, field

from app.planning.histories import Watch


@dataclass(frozen=True)
class Decided:
    """A decision by name: on which meeting of a person with what they avoid, what, who, when."""

    key: str
    words: str
    by: str
    at: str


@dataclass(frozen=True)
class OfHouse:
    """What the house knows; a plan that comes from a file is printed as if it knew nothing.

    Attributes
    ----------
    allergen_law
        Whose allergens are the columns of the allergen sheet.
    decided
        Decisions, in order; `at` is a local time.
    decided_beside
        The keys of what was decided in each further production that a paper is of.
    watch
        The limits that it works by, and what was measured and ticked.
    """

    allergen_law: str = "us"
    decided: tuple[Decided, ...] = ()
    decided_beside: tuple[frozenset[str], ...] = ()
    watch: Watch = field(default_factory=Watch)

    @property
    def in_fahrenheit(self) -> bool:
        """Return whether its thermometers show °F."""
        return self.watch.house.in_fahrenheit


NOTHING = OfHouse()
