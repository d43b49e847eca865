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
    """One phase of a batch: it starts at `earliest`, once all that it waits for is over.

    Of a batch that is staged it is known when it was over, `ended`. Of one that is under way the
    first phase has begun, `began`; none of its last is over by `not_over_by`, and `then_min` are
    the lengths of those after this one. `is_begun` tells of what has begun, whatever came first.
    """

    lot: int
    is_first: bool
    is_last: bool
    starts: int
    lasts_min: int
    earliest: int
    after: tuple[After, ...] = ()
    closed: tuple[Span, ...] = ()
    ended: int | None = None
    began: int | None = None
    not_over_by: int | None = None
    then_min: tuple[int, ...] = ()
    is_begun: bool = False


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

    `more_sets` of inputs are at hand beside those that it takes of the plan; `is_begun` says that
    it has taken all its inputs already.
    """

    id: str
    copies: tuple[int, ...]
    yields: int
    loss: float
    intakes: tuple[Intake, ...]
    more_sets: int = 0
    is_begun: bool = False

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
    """One beat of one run: its needs, and the new copies that it leaves once all are met.

    What has been `sent` to it already comes back from it, taken or not.
    """

    key: UseKey
    starts_s: int
    servings: tuple[int, ...]
    leaves: tuple[int, ...]
    staged: int
    back: int
    sent: tuple[int, ...] = ()


@dataclass(frozen=True)
class Kept:
    """A copy that is there from the beginning; `ready` is when it is at hand in the kitchen."""

    copy: int
    staged: int
    ready: int


@dataclass(frozen=True)
class Picture:
    """A whole plan, ready to be played. What is `clean` has never been on camera."""

    names: tuple[str, ...]
    clean: tuple[bool, ...]
    kept: tuple[Kept, ...]
    tasks: tuple[Task, ...]
    lots: tuple[Lot, ...]
    servings: tuple[Serving, ...]
    scenes: tuple[Scene, ...]

    @cached_property
    def events(self) -> tuple[tuple[str, int], ...]:
        """Return phases and beats in their planned order: a beat before a phase of that minute.

        Before all of them comes what has begun.
        """
        beats = [(True, each.starts_s, 0, number) for number, each in enumerate(self.scenes)]
        work = [
            (not task.is_begun, task.starts * 60, 1, number)
            for number, task in enumerate(self.tasks)
        ]
        return tuple((("scene", "task")[kind], n) for _, _, kind, n in sorted(beats + work))

    @cached_property
    def maker(self) -> dict[int, int]:
        """Return the batch that makes each copy, of those that a batch makes."""
        return {copy: number for number, lot in enumerate(self.lots) for copy in lot.copies}
