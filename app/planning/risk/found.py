"""What is told of a plan's risk, `risk/1`, as frozen values."""

from typing import Any, Literal

from app.planning.plan import Part
from app.planning.risk.tally import Why

FEW = 0.005


class Chance(Part):
    """A share of the plays, with its standard error."""

    chance: float
    error: float

    @property
    def losing(self) -> float:
        """Return the chance of the opposite."""
        return 1 - self.chance


class Unmade(Part):
    """A batch that can't make all its copies as a copy that it takes is too old by then.

    `share` is that of the plays.
    """

    batch: str
    copy_id: str
    share: float


class UseChance(Chance):
    """How surely all copies of one need stand ready.

    `blame` is the batch most often missing; `unmade` tells what it, or one before it, lacked.
    """

    run: str
    beat: str
    stage: str
    count: int
    short: int
    late: float
    old: float
    lost: float
    blame: str | None = None
    unmade: Unmade | None = None

    @property
    def key(self) -> tuple[str, str, str]:
        """Return the ids of run, beat and stage."""
        return self.run, self.beat, self.stage


class Gain(Chance):
    """What a change at the weakest link makes of its chance; `cost` of copies, where it costs."""

    cost: float | None = None


class Fall(Part):
    """A copy that is too old or too late for the use, or the batch, that was to take it."""

    copy_id: str
    tag: str
    why: Why
    use: tuple[str, str, str] | None = None
    batch: str | None = None
    is_backup: bool = False


class Overrun(Part):
    """What follows if one run takes some minutes longer, all else going as planned."""

    run: str
    minutes: int
    falls: tuple[Fall, ...] = ()
    short: tuple[tuple[str, str, str], ...] = ()


class SoFar(Part):
    """Until when things are as they happened, in local time: only what comes after is played.

    `over` are the needs that are over; `not_begun` the batches that should have begun by then, and
    have not as far as anybody said.
    """

    now: str
    over: tuple[tuple[str, str, str], ...] = ()
    not_begun: tuple[str, ...] = ()


class Risk(Part):
    """How sure a plan is. Chances are shares of `plays`; the same seed gives the same again.

    `uses` are those to come, where what has happened `so_far` is known; else all.
    """

    format: Literal["risk/1"] = "risk/1"
    plays: int
    seed: int
    spread: float
    whole_day: Chance
    uses: tuple[UseChance, ...] = ()
    weakest: int | None = None
    one_more_backup: Gain | None = None
    ten_minutes_more: Gain | None = None
    overruns: tuple[Overrun, ...] = ()
    so_far: SoFar | None = None

    @property
    def weakest_use(self) -> UseChance | None:
        """Return the weakest link, if any use ever lacked a copy."""
        return None if self.weakest is None else self.uses[self.weakest]

    def document(self) -> dict[str, Any]:
        """Return the risk as the JSON document `risk/1`."""
        return self.model_dump(mode="json", exclude=None if self.so_far else {"so_far"})
