"""What a play needs of a day and its plan: who waits for whom, and which copy goes where.

Minutes count from `prep_from`. Copies, batches, phases and needs are told by their number.
"""

from dataclasses import dataclass
from functools import cached_property

from app.planning.auditing.moments import NeedKey, UseKey

Span = tuple[int, int]


@dataclass(frozen=True)
class After:
    """Another phase that has to be over, so many minutes before."""

    task: int
    lag_min: int = 0


@dataclass(frozen=True)
class Task:
    """One phase of a batch: it starts at `earliest`, once all that it waits for is over."""

    lot: int
    is_first: bool
    is_last: bool
    starts: int
    lasts_min: int
    earliest: int
    after: tuple[After, ...] = ()
    closed: tuple[Span, ...] = ()


@dataclass(frozen=True)
class Intake:
    """The copies of one stage that a batch takes, and idle ones that may step in for them."""

    copies: tuple[int, ...]
    per_set: int
    keeps_min: int
    step_in: tuple[int, ...]


@dataclass(frozen=True)
class Lot:
    """One batch. Its copies stand in the order in which good ones are handed out.

    `more_sets` of inputs are at hand beside those that it takes of the plan.
    """

    id: str
    copies: tuple[int, ...]
    yields: int
    loss: float
    intakes: tuple[Intake, ...]
    more_sets: int = 0

    @property
    def started(self) -> int:
        """Return the number of copies started."""
        return len(self.copies)


@dataclass(frozen=True)
class Serving:
    """One need of one beat: the copies it takes, and those that step in, the dearest last."""

    key: NeedKey
    start: int
    count: int
    oldest_min: int
    copies: tuple[int, ...]
    backups: tuple[int, ...]
    step_in: tuple[int, ...]
    on_set: frozenset[int]
    returned: frozenset[int]

    @property
    def is_short(self) -> bool:
        """Tell whether the plan itself has too few copies for it."""
        return len(self.copies) < self.count


@dataclass(frozen=True)
class Scene:
    """One beat of one run: its needs, and the new copies that it leaves once all are met."""

    key: UseKey
    starts_s: int
    servings: tuple[int, ...]
    leaves: tuple[int, ...]
    staged: int
    back: int


@dataclass(frozen=True)
class Kept:
    """A copy that is there from the beginning."""

    copy: int
    staged: int


@dataclass(frozen=True)
class Picture:
    """A whole plan, ready to be played. What is `clean` has never been on camera."""

    names: tuple[str, ...]
    clean: tuple[bool, ...]
    stock: tuple[Kept, ...]
    tasks: tuple[Task, ...]
    lots: tuple[Lot, ...]
    servings: tuple[Serving, ...]
    scenes: tuple[Scene, ...]

    @cached_property
    def events(self) -> tuple[tuple[str, int], ...]:
        """Return phases and beats in their planned order: a beat before a phase of that minute."""
        beats = [(scene.starts_s, 0, number) for number, scene in enumerate(self.scenes)]
        work = [(task.starts * 60, 1, number) for number, task in enumerate(self.tasks)]
        return tuple((("scene", "task")[kind], number) for _, kind, number in sorted(beats + work))

    @cached_property
    def maker(self) -> dict[int, int]:
        """Return the batch that makes each copy, of those that a batch makes."""
        return {copy: number for number, lot in enumerate(self.lots) for copy in lot.copies}
