"""The facts of a production: `day/1` as frozen values.

Times are local texts (`2027-03-04T14:00`, with an offset only where the local time is double);
`minutes.Clock` turns them into minutes. Whoever builds a `Day` from outside goes through
`reading.read_day`, which tells every fault at once in words; the types here only hold the shape.
"""

from collections.abc import Iterator
from typing import Literal, TypeVar

from pydantic import Field

from app.planning.kitchen import Cook as Cook
from app.planning.kitchen import Equipment as Equipment
from app.planning.kitchen import Fact as Fact
from app.planning.kitchen import Kitchen as Kitchen
from app.planning.kitchen import Named as Named
from app.planning.kitchen import Settings as Settings
from app.planning.kitchen import Shelf as Shelf
from app.planning.kitchen import Span as Span
from app.planning.kitchen import Zone as Zone

RunKind = Literal["rehearsal", "take", "pickup", "stills", "tasting", "sitting"]
ProductionKind = Literal["broadcast", "class"]
Per = Literal["copy", "set", "batch"]
T = TypeVar("T", bound="Named")


class Policy(Fact):
    """The house rules. Spans in minutes."""

    ready_margin_min: int = 10
    return_min: int = 5
    step_slack_min: int = 0
    confidence: float = 0.95
    reuse: bool = True
    prefer: Literal["hands", "fresh"] = "hands"
    spread: float = 0.1


class Stock(Named):
    """Copies that exist before the prep starts."""

    demonstration: str
    stage: str
    count: int
    staged: str


class Input(Fact):
    """One entry of `from`: how many copies of which stage one set takes."""

    stage: str
    count: int = 1
    demonstration: str | None = None


class PhaseEquipment(Fact):
    """Units of one item of a kind that a phase holds."""

    kind: str
    per_batch: int = 0
    copies_per_unit: int | None = None
    setting: int | None = None

    def units(self, copies: int) -> int:
        """Return the units that a batch of `copies` takes."""
        each = self.copies_per_unit
        return self.per_batch + (0 if each is None else -(-copies // each))


class Phase(Fact):
    """One unbroken span of a way."""

    lasts_min: int = 0
    per_copy_min: int = 0
    per_copy_s: int = 0
    does: str = ""
    hands: int = 0
    skill: str | None = None
    equipment: tuple[PhaseEquipment, ...] = ()
    zone: Zone | None = None

    def length_min(self, copies: int) -> int:
        """Return the minutes that the phase of a batch of `copies` lasts."""
        return self.lasts_min + self.per_copy_min * copies - (-self.per_copy_s * copies // 60)


class Way(Named):
    """One method that brings copies into a stage. What is None is the stage's own."""

    batch_max: int = 1
    phases: tuple[Phase, ...]
    takes: tuple[Input, ...] | None = Field(default=None, alias="from")
    yields: int | None = None
    cost: float | None = None
    loss: float | None = None

    def length_min(self, copies: int) -> int:
        """Return the minutes from the start of a batch of `copies` until it is staged."""
        return sum(phase.length_min(copies) for phase in self.phases)


class Ingredient(Fact):
    """One line of what goes in."""

    name: str
    amount: float | None = None
    unit: str = ""
    per: Per = "copy"
    contains: tuple[str, ...] = ()
    note: str = ""


class Stage(Named):
    """A state in which a copy can wait, camera-ready."""

    code: str | None = None
    takes: tuple[Input, ...] = Field(default=(), alias="from")
    yields: int = 1
    zone: Zone = "ambient"
    keeps_min: int
    copies_per_slot: int | None = None
    slots: int | None = None
    cost: float = 1
    loss: float = 0
    ways: tuple[Way, ...] = ()
    ingredients: tuple[Ingredient, ...] = ()
    tools: tuple[str, ...] = ()
    container: str = ""
    look: str = ""
    caution: str = ""
    photo: str = ""
    raw_animal: bool = False
    ready_to_eat: bool = False
    needs_temperature_control: bool = False
    cook_to_c: int | None = None
    safety_min: int | None = None

    def way(self, way: str) -> Way:
        """Return the way with this id; KeyError if there is none."""
        return _by_id(self.ways, way)

    def takes_by(self, way: Way) -> tuple[Input, ...]:
        """Return one set of inputs of `way`."""
        return self.takes if way.takes is None else way.takes

    def yields_by(self, way: Way) -> int:
        """Return the copies that one set of inputs gives up to."""
        return self.yields if way.yields is None else way.yields

    def cost_by(self, way: Way) -> float:
        """Return what starting one copy by `way` costs."""
        return self.cost if way.cost is None else way.cost

    def loss_by(self, way: Way) -> float:
        """Return the chance that a copy started by `way` is lost."""
        return self.loss if way.loss is None else way.loss


class Need(Fact):
    """Copies of a stage that a beat takes, and backups beside them."""

    stage: str
    count: int = 1
    backups: int = 0
    untouched: bool = False
    tasting: bool = False
    ready_margin_min: int | None = None
    per_station: bool = True


class Leaving(Fact):
    """Copies of a stage that a beat leaves."""

    stage: str
    count: int = 1
    per_station: bool = True


class Beat(Named):
    """A moment of a demonstration in front of camera."""

    starts_s: int
    lasts_s: int
    kinds: tuple[RunKind, ...] | None = None
    needs: tuple[Need, ...] = ()
    leaves: tuple[Leaving, ...] = ()
    ingredients: tuple[Ingredient, ...] = ()
    tools: tuple[str, ...] = ()
    dressing: tuple[str, ...] = ()
    note: str = ""


class Demonstration(Named):
    """One dish or technique that is shown, or a component that others share."""

    title: str
    code: str | None = None
    stages: tuple[Stage, ...]
    beats: tuple[Beat, ...] = ()

    def stage(self, stage: str) -> Stage:
        """Return the stage with this id; KeyError if there is none."""
        return _by_id(self.stages, stage)

    def beat(self, beat: str) -> Beat:
        """Return the beat with this id; KeyError if there is none."""
        return _by_id(self.beats, beat)


class Person(Fact):
    """Somebody who may taste, and what they avoid."""

    name: str
    avoids: tuple[str, ...] = ()


class Run(Named):
    """One pass of a demonstration."""

    demonstration: str
    kind: RunKind
    starts: str
    starts_at_first_beat: bool = False
    beats: tuple[str, ...] | None = None
    stations: int = 1
    ready_margin_min: int | None = None
    dry: bool = False
    people: tuple[Person, ...] = ()


class Day(Fact):
    """A whole production: one rundown with the prep days before it."""

    format: Literal["day/1"] = "day/1"
    title: str
    kind: ProductionKind = "broadcast"
    timezone: str
    prep_from: str
    policy: Policy = Policy()
    kitchen: Kitchen = Kitchen()
    stock: tuple[Stock, ...] = ()
    demonstrations: tuple[Demonstration, ...] = ()
    runs: tuple[Run, ...] = ()

    def demonstration(self, demonstration: str) -> Demonstration:
        """Return the demonstration with this id; KeyError if there is none."""
        return _by_id(self.demonstrations, demonstration)

    def stage(self, demonstration: str, stage: str) -> Stage:
        """Return a stage of a demonstration; KeyError if there is none."""
        return self.demonstration(demonstration).stage(stage)

    def run(self, run: str) -> Run:
        """Return the run with this id; KeyError if there is none."""
        return _by_id(self.runs, run)

    def beats_of(self, run: Run) -> tuple[Beat, ...]:
        """Return the beats that a run has: its own list, else all that its kind has."""
        beats = self.demonstration(run.demonstration).beats
        if run.beats is not None:
            return tuple(beat for beat in beats if beat.id in run.beats)
        return tuple(beat for beat in beats if beat.kinds is None or run.kind in beat.kinds)

    def all_stages(self) -> Iterator[tuple[Demonstration, Stage]]:
        """Yield every stage with its demonstration, as they stand in the day."""
        for demonstration in self.demonstrations:
            for stage in demonstration.stages:
                yield demonstration, stage


def _by_id(things: tuple[T, ...], wanted: str) -> T:
    for thing in things:
        if thing.id == wanted:
            return thing
    raise KeyError(wanted)
