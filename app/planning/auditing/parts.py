"""The parts of a plan, each beside what the day says about it."""

from dataclasses import dataclass

from app.planning.auditing.moments import Demand, Moment
from app.planning.day import Stage, Stock, Way
from app.planning.minutes import MINUTE_S
from app.planning.plan import Batch, Copy

Span = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Making:
    """One batch of the plan, with what the day says about it. Spans are None if unreadable."""

    batch: Batch
    stage: Stage | None
    way: Way | None
    spans: tuple[Span | None, ...]

    @property
    def size(self) -> int:
        """Return the number of copies started."""
        return len(set(self.batch.copies))

    @property
    def starts(self) -> int | None:
        """Return the minute of the start."""
        return self.spans[0][0] if self.spans and self.spans[0] else None

    @property
    def ends(self) -> int | None:
        """Return the minute at which the copies are staged."""
        return self.spans[-1][1] if self.spans and self.spans[-1] else None


@dataclass(frozen=True, eq=False)
class Item:
    """One copy of the plan, with where it came from.

    `staged` is when it is staged by that, `told` by what it says of itself; None if unreadable.
    """

    copy: Copy
    stage: Stage | None
    making: Making | None
    left_by: Moment | None
    stock: Stock | None
    staged: int | None
    told: int | None

    @property
    def oldest(self) -> int | None:
        """Return the earlier of the two times: a copy is held to what it says as well."""
        known = [each for each in (self.staged, self.told) if each is not None]
        return min(known, default=None)


@dataclass(frozen=True, eq=False)
class Taking:
    """One taker of a copy: a use on camera, or a batch. Seconds since 1970 in UTC."""

    starts_s: int
    demand: Demand | None = None
    making: Making | None = None

    @property
    def start(self) -> int:
        """Return the minute of the take."""
        return self.starts_s // MINUTE_S

    @property
    def called(self) -> str:
        """Return the taker in words."""
        if self.demand:
            return " ".join(self.demand.moment.key)
        return f"batch {self.making.batch.id if self.making else ''}"


@dataclass(frozen=True, eq=False)
class Step:
    """A taking and the beat that had the copy last, or left it; None: straight from prep.

    `ready` is the minute from which the copy is at hand in the kitchen, None if unreadable.
    """

    item: Item
    taking: Taking
    last: Moment | None
    ready: int | None

    @property
    def on_set(self) -> bool:
        """Tell whether the copy is handed over within one run."""
        demand = self.taking.demand
        return bool(demand and self.last and demand.moment.run.id == self.last.run.id)
