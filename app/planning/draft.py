"""A plan in single copies, before names, shelves and words: what each is, what takes it when."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from app.planning.model.stays import leaves_last
from app.planning.needs import BeatKey, Left, StageKey, Use
from app.planning.scope import Method
from app.planning.supplies import Supply


@dataclass
class Work:
    """One phase of a batch as planned: minutes, how many of which team, units of which item."""

    starts: int
    ends: int
    teams: dict[str, int]
    items: list[tuple[str, int]]
    crew: list[str] = field(default_factory=list)


@dataclass
class Item:
    """One copy, with its takers in time order.

    `returns` is when it came back from beats that have begun, where somebody knows.
    """

    stage: StageKey
    staged: int
    batch: "Made | None" = None
    left: Left | None = None
    stock: str | None = None
    found: Supply | None = None
    spare: bool = False
    takers: "list[Use | Made]" = field(default_factory=list)
    backs: list[Use] = field(default_factory=list)
    returns: dict[BeatKey, int] = field(default_factory=dict)
    id: str = ""
    tag: str = ""

    @property
    def back(self) -> int:
        """Return the minute from which it stands in the kitchen."""
        if self.left is None:
            return self.staged
        return self.returns.get(self.left.at, self.left.back)

    @property
    def stays_on_set(self) -> bool:
        """Tell whether the run of the beat that left it is the first to take it."""
        first = self.takers[0] if self.takers else None
        return isinstance(first, Use) and self.left is not None and self.left.run == first.run

    def back_from(self, use: Use) -> int:
        """Return the minute at which it is back from a use that hands it back."""
        return self.returns.get(use.at, use.back)


@dataclass
class Made:
    """One batch as planned."""

    name: str
    stage: StageKey
    method: Method
    good: int
    started: int
    work: list[Work]
    copies: list[Item] = field(default_factory=list)
    inputs: list[Item] = field(default_factory=list)
    id: str = ""

    @property
    def starts(self) -> int:
        """Return the minute of its start."""
        return self.work[0].starts

    @property
    def ends(self) -> int:
        """Return the minute at which its copies are staged."""
        return self.work[-1].ends


@dataclass
class Draft:
    """A plan in single copies, before names, shelves and words."""

    made: list[Made]
    items: list[Item]
    taken: dict[int, list[Item]]
    backing: dict[int, list[Item]]


def whole(drafts: Iterable[Draft]) -> Draft:
    """Return the drafts of families that share nothing as one."""
    made: list[Made] = []
    draft = Draft([], [], {}, {})
    for each in drafts:
        made += each.made
        draft.items += each.items
        draft.taken |= each.taken
        draft.backing |= each.backing
    draft.made = sorted(made, key=lambda each: (each.starts, each.stage, each.name))
    return draft


def backs_first(item: Item) -> tuple[bool, float, float]:
    """Return the order in which copies of a source back a use.

    Idle ones that back nothing yet come first, and of those kept for something what leaves last; at
    last comes what stays on set.
    """
    first = item.takers[0] if item.takers else None
    if isinstance(first, Use):
        due, index = leaves_last(first)
        return item.stays_on_set, -due, -index
    return (False, -first.starts, 0) if first else (False, bool(item.backs), item.staged)


def taken_after(item: Item, use: Use) -> bool:
    """Tell whether something takes a copy, and nothing by the start of a use."""
    first = item.takers[0] if item.takers else None
    if first is None:
        return False
    return (first.start if isinstance(first, Use) else first.starts) > use.start
