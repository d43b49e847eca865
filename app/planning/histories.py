"""How each copy of a plan is kept: stages, zones and readings, as the clocks of food read them."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from app.food.cooking import Core, core, is_hot
from app.food.held import Held, Place, Reading, Spell
from app.food.keeping import kept, mixed
from app.food.limits import House, limits
from app.planning.cores import core_due_c, is_heated
from app.planning.day import Day, Phase, Stage, Zone
from app.planning.minutes import Clock
from app.planning.plan import Batch, Copy, Plan

PLACES: dict[Zone, Place] = {
    "ambient": "out",
    "proof": "out",
    "chill": "chill",
    "frozen": "frozen",
    "hot": "hot",
}
US = House(limits("us"))


@dataclass(frozen=True)
class Watch:
    """What is known beside a plan.

    Attributes
    ----------
    house
        The limits that the house works by.
    readings
        What thermometers showed, by copy; minutes of the day's `Clock`.
    late_min
        By batch, how much later than planned it was staged; less than 0 where it was earlier.
    decided
        The keys of cores measured too cold on which somebody has decided by name.
    """

    house: House = US
    readings: Mapping[str, tuple[Reading, ...]] = field(default_factory=dict)
    late_min: Mapping[str, int] = field(default_factory=dict)
    decided: frozenset[str] = frozenset()

    @property
    def is_bare(self) -> bool:
        """Return whether nothing is known of what really happened."""
        return not self.readings and not any(self.late_min.values())


class Histories:
    """The lives of the copies of one plan; each is walked through once."""

    def __init__(self, day: Day, plan: Plan, watch: Watch) -> None:
        self.day, self.watch, self.clock = day, watch, Clock(day.timezone)
        self.batches = {batch.id: batch for batch in plan.batches}
        self.copies = {copy.id: copy for copy in plan.copies}
        self.begun: dict[str, Held] = {}
        self.cores: dict[str, Core | None] = {}

    def staged(self, copy: Copy) -> int:
        """Return the minute at which a copy was, or is to be, staged."""
        late_min = self.watch.late_min.get(copy.made_by.batch or "", 0)
        return self.clock.minute(copy.staged_at) + late_min

    def starts(self, copy: Copy) -> int | None:
        """Return when the batch of a copy was, or is to be, started, if it has one."""
        batch = self.batches.get(copy.made_by.batch or "")
        return None if batch is None else self._starts(batch)

    def inputs(self, copy: Copy) -> list[Copy]:
        """Return the copies that the batch of a copy takes; none where no batch makes it."""
        batch = self.batches.get(copy.made_by.batch or "")
        taken = batch.consumes if batch is not None else ()
        return [self.copies[each] for each in taken if each in self.copies]

    def held(self, copy: Copy, until: int | None = None) -> Held:
        """Return how a copy has been kept until a minute, or for as long as it stays.

        Parameters
        ----------
        until
            A minute after its staging; None for a copy that stays where its stage waits.
        """
        stage, begun = self.day.stage(copy.demonstration, copy.stage), self._begun(copy)
        is_control = stage.needs_temperature_control or stage.raw_animal
        if not is_control and begun.is_fresh:
            return begun
        making, staged = self._making(copy), self.staged(copy)
        spells = [*making, Spell(staged, until, PLACES[stage.zone])]
        readings = self.watch.readings.get(copy.id, ())
        told = kept(begun, spells, readings, self.watch.house, is_raw=stage.raw_animal)
        if is_control or all(spell.place != "heat" for spell in making):
            return told
        # Baked or boiled into what needs no cold: nothing counts any more but what it was.
        return replace(
            Held(),
            is_raw=told.is_raw,
            is_cooked=told.is_cooked,
            first_heat_min=told.first_heat_min,
            failed=told.failed,
        )

    def core(self, copy: Copy) -> Core | None:
        """Return a core that was measured too cold, the copy's own or that of what is in it.

        Once somebody measures it hot enough, it counts as cooked through.
        """
        if copy.id not in self.cores:
            self.cores[copy.id] = self._core(copy)
        return self.cores[copy.id]

    def _core(self, copy: Copy) -> Core | None:
        readings = self.watch.readings.get(copy.id, ())
        heat = [spell for spell in self._making(copy) if spell.place == "heat"]
        stage = self.day.stage(copy.demonstration, copy.stage)
        wanted_c = core_due_c(self.day, copy.demonstration, stage)
        if heat and wanted_c is not None and readings:
            starts, ends = heat[0].starts, max(spell.ends or 0 for spell in heat)
            own = core(copy.id, wanted_c, starts, ends, readings)
            if own is not None or is_hot(readings, wanted_c):
                return own
        above = [self.core(each) for each in self.inputs(copy)]
        cold = [each for each in above if each is not None and not is_hot(readings, each.wanted_c)]
        return min(cold, key=lambda each: each.at, default=None)

    def _begun(self, copy: Copy) -> Held:
        """Return how what a copy is made from was kept until it was begun."""
        if copy.id not in self.begun:
            self.begun[copy.id] = self._found(copy)
        return self.begun[copy.id]

    def _found(self, copy: Copy) -> Held:
        batch = self.batches.get(copy.made_by.batch or "")
        if batch is not None:
            starts = self._starts(batch)
            return mixed([self.held(each, starts) for each in self.inputs(copy)], starts)
        stage, staged = self.day.stage(copy.demonstration, copy.stage), self.staged(copy)
        if not (stage.needs_temperature_control or stage.raw_animal):
            return Held()
        place = PLACES[stage.zone]
        if copy.made_by.stock is None or place == "out":
            return Held(since=staged, made_at=staged, is_raw=stage.raw_animal)
        return Held(
            "heat" if place == "hot" else "cold",
            good_at=staged,
            made_at=staged,
            is_raw=stage.raw_animal,
        )

    def _starts(self, batch: Batch) -> int:
        return self.clock.minute(batch.starts) + self.watch.late_min.get(batch.id, 0)

    def _making(self, copy: Copy) -> list[Spell]:
        """Return where a copy is while it is made."""
        batch = self.batches.get(copy.made_by.batch or "")
        if batch is None:
            return []
        stage = self.day.stage(batch.demonstration, batch.stage)
        late_min, minute = self.watch.late_min.get(batch.id, 0), self.clock.minute
        return [
            Spell(minute(planned.starts) + late_min, minute(planned.ends) + late_min, _place(phase))
            for planned, phase in zip(batch.phases, _phases(stage, batch), strict=False)
        ]


def _phases(stage: Stage, batch: Batch) -> tuple[Phase, ...]:
    return next((way.phases for way in stage.ways if way.id == batch.way), ())


def _place(phase: Phase) -> Place:
    if is_heated(phase):
        return "heat"
    return PLACES[phase.zone or "ambient"]
