"""The answer: `plan/1` as frozen values. What each part means stands in DEVELOPERS.md."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Status = Literal["optimal", "feasible", "impossible"]
StoppedBy = Literal["work", "clock", "person"]
Role = Literal["camera", "feeds", "backup", "spare"]
GOALS = ("unmet", "unbacked", "cost", "hands_min", "waiting_min", "early_min")


class Part(BaseModel):
    """A part of a plan; it never changes once written."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Objective(Part):
    """The six goals, in order; the less the better."""

    unmet: int
    unbacked: int
    cost: int | float
    hands_min: int
    waiting_min: int
    early_min: int


class Bounds(Part):
    """What no plan can undercut; None where a better goal is not proven."""

    unmet: int | None = None
    unbacked: int | None = None
    cost: int | float | None = None
    hands_min: int | None = None
    waiting_min: int | None = None
    early_min: int | None = None


class Held(Part):
    """Units of an item that a phase holds."""

    id: str
    units: int


class Standing(Part):
    """Where a copy stands from when to when; in a phase, how many of the batch's copies."""

    shelf: str
    level: int
    slot: int
    copies: int | None = None
    from_: str = Field(alias="from")
    to: str

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class PlannedPhase(Part):
    """One phase of a batch: when, by whom, in what; `places` only for a phase with a zone."""

    starts: str
    ends: str
    crew: tuple[str, ...] = ()
    equipment: tuple[Held, ...] = ()
    places: tuple[Standing, ...] | None = None


class Batch(Part):
    """One execution of a way: some copies, one start."""

    id: str
    demonstration: str
    stage: str
    way: str
    consumes: tuple[str, ...] = ()
    copies: tuple[str, ...]
    phases: tuple[PlannedPhase, ...]

    @property
    def starts(self) -> str:
        """Return when the batch starts."""
        return self.phases[0].starts

    @property
    def ends(self) -> str:
        """Return when the copies of the batch are staged."""
        return self.phases[-1].ends


class Origin(Part):
    """Where a copy came from: exactly one of a batch, a use (run, beat) or a stock entry."""

    batch: str | None = None
    use: tuple[str, str] | None = None
    stock: str | None = None


class Taker(Part):
    """What takes a copy: exactly one of a batch or a use (run, beat)."""

    batch: str | None = None
    use: tuple[str, str] | None = None


class Copy(Part):
    """One staged item at one stage."""

    id: str
    tag: str
    demonstration: str
    stage: str
    staged_at: str
    made_by: Origin
    role: Role
    taken_by: tuple[Taker, ...] = ()
    places: tuple[Standing, ...] = ()


class Use(Part):
    """One need of one beat of one run, and the copies that serve and back it."""

    run: str
    beat: str
    stage: str
    copies: tuple[str, ...] = ()
    backups: tuple[str, ...] = ()


class Heat(Part):
    """When an item is brought to a setting."""

    equipment: str
    setting: int
    starts: str
    ends: str


class Count(Part):
    """How many copies of a stage, by where they came from and by what they are for."""

    demonstration: str
    stage: str
    made: int
    stock: int
    carried_in: int
    on_camera: int
    feeds: int
    backups: int
    spares: int
    why: str = ""


class Lack(Part):
    """What a need lacks."""

    run: str
    beat: str
    stage: str
    kind: Literal["copies", "backups"]
    count: int


class Fault(Part):
    """One fact that stands in the way."""

    kind: str
    ids: tuple[str, ...]
    words: str


class Blocker(Part):
    """Facts that cannot hold together."""

    facts: tuple[Fault, ...]
    words: str


class Remedy(Part):
    """A change of the day that was solved and works."""

    change: tuple[dict[str, Any], ...]
    words: str
    cost: int | float
    hands_min: int


class Plan(Part):
    """A whole plan of a day."""

    format: Literal["plan/1"] = "plan/1"
    number: int = 1
    day: str | None = None
    status: Status
    objective: Objective
    bounds: Bounds
    stopped_by: StoppedBy | None = None
    batches: tuple[Batch, ...] = ()
    copies: tuple[Copy, ...] = ()
    uses: tuple[Use, ...] = ()
    heats: tuple[Heat, ...] = ()
    counts: tuple[Count, ...] = ()
    unmet: tuple[Lack, ...] = ()
    blockers: tuple[Blocker, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    warnings: tuple[str, ...] = ()

    def document(self) -> dict[str, Any]:
        """Return the plan as the JSON document `plan/1`: what is absent is left out."""
        written: dict[str, Any] = self.model_dump(mode="json", by_alias=True, exclude_none=True)
        written["bounds"] = self.bounds.model_dump(mode="json")
        written["stopped_by"] = self.stopped_by
        return written
