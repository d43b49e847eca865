"""What might happen next on a day that is under way: ticks as planned, and accidents.

A `Walk` goes through a day step by step. Each step passes some time, in which the crew do and tick
what the plan says as far as they can, and ends with an accident. After a step the plan may be
mended; the walk goes on from there.
"""

import random
from collections.abc import Callable, Iterator
from typing import Any

from app.planning.begun import named
from app.planning.day import Day, Run
from app.planning.events import AnyEvent
from app.planning.happened import Happened, happened
from app.planning.minutes import MINUTE_S, Clock
from app.planning.moments import beat_second
from app.planning.plan import Batch, Plan
from app.planning.reading import read_day
from app.planning.solve import solve
from tests.planning.told import KINDS
from tests.random_days import tiny_day

STEPS_MIN = (0, 3, 7, 12, 20, 35, 60)
DELAYS_MIN = (2, 5, 10, 15, 20, 30)
SLIPS_MIN = (-20, -10, -5, 5, 10, 15, 20, 30, 45, 60)
ON_SET_SHARE = 0.3
ON_SET = ("copies go to the set", "a beat takes other copies", "copies come back")
DOWN_MIN = (10, 30, 60, 120, 240)


class Walk:
    """One day on its way. `events` are all that was told, `now` is a minute from 1970 in UTC.

    On a day of minutes instead of hours, everything can be so many times `slower`; on a lucky day
    nothing is lost in the making.
    """

    def __init__(self, day: Day, plan: Plan, roll: random.Random, slower: int = 1) -> None:
        self.day, self.plan, self.roll, self.slower = day, plan, roll, slower
        self.clock = Clock(day.timezone)
        self.now = self.clock.minute(day.prep_from)
        self.events: list[AnyEvent] = []
        self.held: set[str] = set()
        self.is_lucky = False
        self.taken_up = 0
        self.accidents: dict[str, Callable[[Happened], bool]] = {
            "a batch starts late": self._starts_late,
            "a batch takes long": self._takes_long,
            "a batch is told to take longer": self._expected,
            "a batch is staged early": self._staged_early,
            "copies are lost": self._lost,
            "a run moves": self._moved,
            "a run is added": self._added,
            "a run is dropped": self._dropped,
            "an item is down": self._closed,
            "a cook goes": self._absent,
            "a copy stands elsewhere": self._placed,
            "a copy is measured": self._measured,
            "copies go to the set": self._sent,
            "a beat takes other copies": self._used,
            "copies come back": self._returned,
            "an event is undone": self._undone,
        }

    @property
    def is_over(self) -> bool:
        """Tell whether the last beat of the day has begun."""
        day = self.state().day
        seconds = [beat_second(day, run, beat.id) for run in day.runs for beat in day.beats_of(run)]
        return max(seconds, default=0) <= self.now * MINUTE_S

    def step(self) -> str:
        """Let some time pass, then an accident happen; return which."""
        self.passes(self._some(STEPS_MIN))
        names = list(self.accidents)
        self.roll.shuffle(names)
        if self.roll.random() < ON_SET_SHARE:
            names.sort(key=lambda name: name not in ON_SET)
        for name in names:
            if self.accidents[name](self.state()):
                return name
        return "nothing"

    def state(self) -> Happened:
        """Return what has happened by now."""
        return happened(self.day, self.plan, self.events, self.now)

    def tell(self, kind: str, **says: Any) -> None:
        """Tell one event, now; `from_` stands for `from`."""
        n = len(self.events) + 1
        every = {"n": n, "at": self.clock.text(self.now), "once": f"k{n}", "by": "Ada"}
        told = {key.rstrip("_"): value for key, value in says.items()}
        self.events.append(KINDS[kind].model_validate(every | told))

    def mended(self, day: Day, plan: Plan) -> None:
        """Go on with a mended plan and its day."""
        self.day, self.plan = day, plan
        self.held.clear()
        self.taken_up = len(self.events)

    def passes(self, minutes: int) -> None:
        """Let time pass; what is due and can be done is done and ticked, but for what is held."""
        until = self.now + minutes
        while (due := self._next_due(until)) is not None:
            self.now, kind, batch = due
            self.tell(kind, batch=batch.id, **self._losses(kind, batch))
        self.now = until

    def _next_due(self, until: int) -> tuple[int, str, Batch] | None:
        state = self.state()
        due: list[tuple[int, str, Batch]] = []
        for batch in self.plan.batches:
            begun = state.begun.get(batch.id)
            if batch.id in self.held or (begun and begun.is_staged):
                continue
            if begun:
                due.append((begun.ends, "staged", batch))
            elif self.now <= self.clock.minute(batch.starts) and self._has_inputs(batch, state):
                due.append((self.clock.minute(batch.starts), "started", batch))
        due = [each for each in due if each[0] <= until]
        return min(due, key=lambda each: (*each[:2], each[2].id), default=None)

    def _has_inputs(self, batch: Batch, state: Happened) -> bool:
        """Tell whether what a batch takes is there when it starts."""
        starts = self.clock.minute(batch.starts)
        inputs = [state.copies.get(copy) for copy in batch.consumes]
        return all(
            known is not None
            and known.state in ("coming", "kitchen", "set")
            and known.ready <= starts
            for known in inputs
        )

    def _losses(self, kind: str, batch: Batch) -> dict[str, Any]:
        stage = self.day.stage(batch.demonstration, batch.stage)
        way = next(each for each in stage.ways if each.id == batch.way)
        loss = stage.loss_by(way)
        if kind != "staged" or self.is_lucky:
            return {}
        return {"lost": [copy for copy in batch.copies if self.roll.random() < loss]}

    # -- accidents: each tells whether it could happen --------------------------------------------

    def _some(self, minutes: tuple[int, ...]) -> int:
        return self.roll.choice(minutes) // self.slower

    def _chosen(self, some: list[Any]) -> list[Any]:
        """Return one of some things, or none if there is none."""
        return [self.roll.choice(some)] if some else []

    def _starts_late(self, state: Happened) -> bool:
        soon = [
            batch
            for batch in self.plan.batches
            if batch.id not in state.begun
            and self.now <= self.clock.minute(batch.starts) <= self.now + 60
        ]
        for batch in self._chosen(soon):
            self.held.add(batch.id)
            wait = self.clock.minute(batch.starts) - self.now
            self.passes(wait + self._some(DELAYS_MIN))
            if self.roll.random() < 0.5 and self._has_inputs(batch, self.state()):
                self.tell("started", batch=batch.id)
        return bool(soon)

    def _running(self, state: Happened) -> list[Batch]:
        return [begun.batch for begun in state.begun.values() if not begun.is_staged]

    def _takes_long(self, state: Happened) -> bool:
        for batch in self._chosen(self._running(state)):
            self.held.add(batch.id)
            self.passes(state.begun[batch.id].ends - self.now + self._some(DELAYS_MIN))
        return bool(self._running(state))

    def _expected(self, state: Happened) -> bool:
        for batch in self._chosen(self._running(state)):
            self.held.add(batch.id)
            ends = max(self.now, state.begun[batch.id].ends) + self._some(DELAYS_MIN)
            self.tell("expected", batch=batch.id, ends=self.clock.text(ends))
        return bool(self._running(state))

    def _staged_early(self, state: Happened) -> bool:
        running = self._running(state)
        for batch in self._chosen(running):
            self.tell("staged", batch=batch.id, **self._losses("staged", batch))
        return bool(running)

    def _standing(self, state: Happened) -> list[str]:
        return [copy for copy, known in state.copies.items() if known.state == "kitchen"]

    def _lost(self, state: Happened) -> bool:
        there = self._standing(state)
        for copy in self.roll.sample(there, min(len(there), self.roll.choice((1, 1, 2, 3)))):
            self.tell("lost", copy=copy, why="dropped")
        return bool(there)

    def _runs_to_come(self, state: Happened) -> list[Run]:
        """Return the runs that have not begun, as far as anybody said."""
        begun = {event.run for event in self.events if event.event == "used"}
        left = {copy.id: copy.made_by.use for copy in self.plan.copies if copy.made_by.use}
        begun |= {left[copy][0] for event in self.events for copy in named(event) if copy in left}
        return [
            run
            for run in state.day.runs
            if run.id not in begun and self.clock.minute(run.starts) > self.now - 10
        ]

    def _moved(self, state: Happened) -> bool:
        for run in self._chosen(self._runs_to_come(state)):
            was = self.clock.minute(run.starts)
            starts = max(was + self._some(SLIPS_MIN), self.now + 1)
            starts += starts == was
            self.tell("moved", run=run.id, starts=self.clock.text(starts))
        return bool(self._runs_to_come(state))

    def _added(self, state: Happened) -> bool:
        for run in self._chosen(list(state.day.runs)):
            starts = self.now + self._some((30, 60, 120, 240))
            changed = {"id": f"extra-{len(self.events) + 1}", "starts": self.clock.text(starts)}
            self.tell("added", run=run.model_copy(update=changed | {"name": None}))
        return bool(state.day.runs)

    def _dropped(self, state: Happened) -> bool:
        for run in self._chosen(self._runs_to_come(state)):
            self.tell("dropped", run=run.id)
        return bool(self._runs_to_come(state))

    def _closed(self, state: Happened) -> bool:
        for item in self._chosen(list(self.day.kitchen.equipment)):
            until = self.now + max(1, self._some(DOWN_MIN))
            self.tell("closed", equipment=item.id, from_=self._at(0), to=self.clock.text(until))
        return bool(self.day.kitchen.equipment)

    def _absent(self, state: Happened) -> bool:
        there = [
            (cook.id, ends)
            for cook in state.day.kitchen.crew
            for _, ends in cook.shifts
            if self.clock.minute(ends) > self.now
        ]
        for cook, ends in self._chosen(there):
            until = min(self.clock.minute(ends), self.now + max(1, self._some((30, 120, 1000))))
            self.tell("absent", crew=cook, from_=self._at(0), to=self.clock.text(until))
        return bool(there)

    def _at(self, later_min: int) -> str:
        return self.clock.text(self.now + later_min)

    def _placed(self, state: Happened) -> bool:
        spots = [
            (copy, shelf.id, level, self.roll.randint(1, slots - (stage.slots or 1) + 1))
            for copy in self._standing(state)
            for stage in [self.day.stage(*self._kind(state, copy))]
            for shelf in self.day.kitchen.shelves
            if shelf.zone == stage.zone
            for level, slots in enumerate(shelf.levels, 1)
            if slots >= (stage.slots or 1)
        ]
        for copy, shelf, level, slot in self._chosen(spots):
            self.tell("placed", copy=copy, shelf=shelf, level=level, slot=slot)
        return bool(spots)

    def _kind(self, state: Happened, copy: str) -> tuple[str, str]:
        known = state.copies[copy].copy
        return known.demonstration, known.stage

    def _measured(self, state: Happened) -> bool:
        there = self._standing(state)
        for copy in self._chosen(there):
            self.tell("measured", copy=copy, celsius=float(self.roll.randint(-20, 99)))
        return bool(there)

    def _beats(self, day: Day, since: int, until: int) -> list[tuple[str, str]]:
        """Return the beats that start from one minute to another."""
        return [
            (run.id, beat.id)
            for run in day.runs
            if not run.dry
            for beat in day.beats_of(run)
            if since <= beat_second(day, run, beat.id) // MINUTE_S <= until
        ]

    def _sent(self, state: Happened) -> bool:
        coming = self._beats(state.day, self.now + 1, self.now + 15)
        for run, beat in self._chosen(coming):
            copies = self._planned(run, beat, self._standing(state))
            if copies:
                self.tell("sent", copies=copies, run=run, beat=beat)
        return bool(coming)

    def _planned(self, run: str, beat: str, among: list[str]) -> list[str]:
        uses = [use for use in self.plan.uses if (use.run, use.beat) == (run, beat)]
        return [copy for use in uses for copy in use.copies if copy in among]

    def _used(self, state: Happened) -> bool:
        """Let a beat that is just on take a backup in the place of a planned copy."""
        told = {(each.run, each.beat) for each in self.events if each.event == "used"}
        aired = [
            beat for beat in self._beats(state.day, self.now - 3, self.now) if beat not in told
        ]
        for run, beat in self._chosen(aired):
            taken = [
                copy
                for key, copies in state.uses.items()
                if key[:2] == (run, beat)
                for copy in copies
            ]
            uses = [use for use in self.plan.uses if (use.run, use.beat) == (run, beat)]
            for use in uses:
                spare = [copy for copy in use.backups if copy in self._standing(state)]
                swapped = [copy for copy in taken if copy in use.copies]
                if spare and swapped and self.roll.random() < 0.5:
                    taken[taken.index(swapped[0])] = spare[0]
            if taken:
                self.tell("used", run=run, beat=beat, copies=taken)
        return bool(aired)

    def _returned(self, state: Happened) -> bool:
        out = [copy for copy, known in state.copies.items() if known.state == "set"]
        if out:
            self.tell("returned", copies=self.roll.sample(out, self.roll.randint(1, len(out))))
        return bool(out)

    def _undone(self, state: Happened) -> bool:
        last = self.events[-1] if len(self.events) > self.taken_up else None
        if last is None or last.event == "undone":
            return False
        self.tell("undone", undoes=last.n)
        return True


def as_it_happened(walk: Walk, state: Happened) -> Plan:
    """Return the published plan with the real times of what has begun, and what beats took."""
    batches = []
    for batch in walk.plan.batches:
        if batch.id in state.begun:
            spans = zip(batch.phases, state.begun[batch.id].spans, strict=True)
            phases = tuple(
                phase.model_copy(
                    update={"starts": walk.clock.text(starts), "ends": walk.clock.text(ends)}
                )
                for phase, (starts, ends) in spans
            )
            batch = batch.model_copy(update={"phases": phases})
        batches.append(batch)
    uses = tuple(
        use.model_copy(update={"copies": state.uses[use.run, use.beat, use.stage]})
        if (use.run, use.beat, use.stage) in state.uses
        else use
        for use in walk.plan.uses
    )
    return walk.plan.model_copy(update={"batches": tuple(batches), "uses": uses})


def as_planned(seed: int) -> Iterator[Walk]:
    """Yield a tiny day at each minute of it: all goes as planned, each tick to the minute."""
    day = read_day(tiny_day(seed))
    walk = Walk(day, solve(day), random.Random(seed))
    walk.is_lucky = True
    while not walk.is_over:
        walk.passes(1)
        yield walk
