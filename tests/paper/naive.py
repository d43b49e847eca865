"""A plan that looks like one, made without a planner: enough to print, not meant to be valid."""

from itertools import cycle

from app.planning.day import Day, Need, Run, Stage, Way
from app.planning.minutes import Clock, floor_minute
from app.planning.plan import (
    Batch,
    Bounds,
    Copy,
    Heat,
    Held,
    Objective,
    Origin,
    Plan,
    PlannedPhase,
    Standing,
    Taker,
    Use,
)


def naive(day: Day, number: int = 1) -> Plan:
    """Return batches for every need by itself, backwards from its use, whoever is free or not."""
    return _Naive(day).plan(number)


class _Naive:
    def __init__(self, day: Day) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.crew = cycle([cook.id for cook in day.kitchen.crew] or ["nobody"])
        self.slots = {
            zone: cycle(
                [
                    (shelf.id, level + 1, slot + 1)
                    for shelf in day.kitchen.shelves
                    if shelf.zone == zone
                    for level, slots in enumerate(shelf.levels)
                    for slot in range(slots)
                ]
            )
            for zone in {shelf.zone for shelf in day.kitchen.shelves}
        }
        self.batches: list[Batch] = []
        self.copies: list[Copy] = []
        self.uses: list[Use] = []
        self.heats: list[Heat] = []
        self.made: dict[str, int] = {}

    def plan(self, number: int) -> Plan:
        for run in self.day.runs:
            for beat in self.day.beats_of(run) if not run.dry else ():
                for need in beat.needs:
                    self._serve(run, beat.id, beat.starts_s, need)
        zero = Objective(
            unmet=0, unbacked=0, cost=len(self.copies), hands_min=0, waiting_min=0, early_min=0
        )
        return Plan(
            number=number,
            status="feasible",
            objective=zero,
            bounds=Bounds(),
            batches=tuple(sorted(self.batches, key=lambda each: each.starts)),
            copies=tuple(self.copies),
            uses=tuple(self.uses),
            heats=tuple(self.heats),
        )

    def _serve(self, run: Run, beat: str, starts_s: int, need: Need) -> None:
        stage = self.day.stage(run.demonstration, need.stage)
        start = self.clock.minute(run.starts) + floor_minute(starts_s)
        count = need.count * (run.stations if need.per_station else 1)
        if not stage.ways:
            return
        taker, until = Taker(use=(run.id, beat)), start - self.day.policy.ready_margin_min
        made = self._make(run.demonstration, stage, count + need.backups, until, until, taker)
        use = Use(
            run=run.id,
            beat=beat,
            stage=stage.id,
            copies=tuple(made[:count]),
            backups=tuple(made[count:]),
        )
        self.uses.append(use)

    def _make(
        self, demonstration: str, stage: Stage, count: int, by: int, until: int, taker: Taker
    ) -> list[str]:
        way, made = stage.ways[0], []
        while len(made) < count:
            size = min(way.batch_max, count - len(made))
            made += self._batch(demonstration, stage, way, size, by, until, taker)
        return made

    def _batch(
        self,
        demonstration: str,
        stage: Stage,
        way: Way,
        size: int,
        by: int,
        until: int,
        taker: Taker,
    ) -> list[str]:
        name = f"b{len(self.batches) + 1}"
        starts, phases = by - way.length_min(size), self._phases(way, size, by)
        copies = tuple(
            self._copy(demonstration, stage, name, by, until, taker) for _ in range(size)
        )
        batch = Batch(
            id=name,
            demonstration=demonstration,
            stage=stage.id,
            way=way.id,
            copies=copies,
            phases=tuple(phases),
        )
        self.batches.append(batch)
        taken: list[str] = []
        for each in stage.takes_by(way):
            source = each.demonstration or demonstration
            wanted = each.count * -(-size // stage.yields_by(way))
            other = self.day.stage(source, each.stage)
            if other.ways:
                feeds = Taker(batch=name)
                taken += self._make(source, other, wanted, starts, starts, feeds)
        index = self.batches.index(batch)
        self.batches[index] = batch.model_copy(update={"consumes": tuple(taken)})
        return list(copies)

    def _phases(self, way: Way, size: int, by: int) -> list[PlannedPhase]:
        phases, ends = [], by - way.length_min(size)
        for phase in way.phases:
            starts, ends = ends, ends + phase.length_min(size)
            held = [self._held(each.kind, each.units(size)) for each in phase.equipment]
            planned = PlannedPhase(
                starts=self.clock.text(starts),
                ends=self.clock.text(ends),
                crew=tuple(dict.fromkeys(next(self.crew) for _ in range(phase.hands))),
                equipment=tuple(held),
            )
            self._heat(planned, [each.setting for each in phase.equipment])
            phases.append(planned)
        return phases

    def _held(self, kind: str, units: int) -> Held:
        item = next(each for each in self.day.kitchen.equipment if each.kind == kind)
        return Held(id=item.id, units=units)

    def _heat(self, phase: PlannedPhase, settings: list[int | None]) -> None:
        for held, setting in zip(phase.equipment, settings, strict=True):
            item = next(each for each in self.day.kitchen.equipment if each.id == held.id)
            if setting is not None and item.settings is not None:
                ends = self.clock.minute(phase.starts)
                starts = self.clock.text(ends - item.settings.change_min)
                heat = Heat(equipment=held.id, setting=setting, starts=starts, ends=phase.starts)
                if all(each.ends[:13] != heat.ends[:13] for each in self.heats):
                    self.heats.append(heat)

    def _copy(
        self, demonstration: str, stage: Stage, batch: str, by: int, until: int, taker: Taker
    ) -> str:
        number = self.made[demonstration] = self.made.get(demonstration, 0) + 1
        code = self.day.demonstration(demonstration).code or demonstration[:2].upper()
        places = ()
        if stage.zone in self.slots:
            shelf, level, slot = next(self.slots[stage.zone])
            stands = {"from_": self.clock.text(by), "to": self.clock.text(until + 1)}
            places = (Standing(shelf=shelf, level=level, slot=slot, **stands),)
        self.copies.append(
            Copy(
                id=f"{demonstration}/{stage.id}/{number}",
                tag=f"{code}-{number}",
                demonstration=demonstration,
                stage=stage.id,
                staged_at=self.clock.text(by),
                made_by=Origin(batch=batch),
                role="feeds" if taker.batch else "camera",
                taken_by=(taker,),
                places=places,
            )
        )
        return self.copies[-1].id
