"""What can be said of a batch, a run, an item or a person that does not go as planned: a tap each.

A choice is an event on its way: who says it, when, and under which key comes with the tap. Where
it says `for_min`, it counts from the minute of the tap.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from app.planning.begun import begun_batches
from app.planning.dates import lasting
from app.planning.day import Cook, Day, Equipment, Run
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan
from app.planning.undoing import standing
from app.storage.states import States
from app.storage.ticks import AnyTick
from app.web.forms import new_once

LONGER_MIN = (5, 10, 15, 20, 30, 45, 60)
SLIPS_MIN = (5, 10, 15, 20, 30, 45, 60, -5, -10, -15)
AGAIN_MIN = (15, 30, 45, 60, 90, 120, 180)
OUT_MIN = (15, 30, 60, 120, 240)
DAY_MIN = 24 * 60
MOST_COPIES = 24
LONGEST_ID = 48


@dataclass(frozen=True)
class Choice:
    """One tap: what it says to a person, and what it says to the log."""

    words: str
    says: dict[str, Any]

    @property
    def sent(self) -> str:
        """Return what the button sends: the same button twice is the same event."""
        return json.dumps({**self.says, "once": new_once()})


@dataclass(frozen=True)
class Group:
    """Choices that belong together; `note` stands where there is nothing to tap."""

    title: str
    choices: tuple[Choice, ...] = ()
    note: str = ""
    is_late: bool = False


class Chooser:
    """Finds the choices of a day that is under way."""

    def __init__(
        self, day: Day, plan: Plan, ticks: Sequence[AnyTick], states: States, now: int
    ) -> None:
        self.day, self.plan, self.ticks, self.states, self.now = day, plan, ticks, states, now
        self.clock = Clock(day.timezone)
        self.begins = max(now, self.clock.minute(day.prep_from))

    def of_batch(self, batch: Batch) -> Iterator[Group]:
        """Yield what can be said of a batch, of what it takes, and of who and what makes it."""
        state = self.states.of(batch.id).state
        if state == "planned":
            yield self._not_started(batch)
        elif state == "started":
            yield self._takes_longer(batch)
            staged = {"event": "staged", "batch": batch.id, "lost": []}
            yield Group("Staged early", (Choice("It is staged now", staged),))
        if state != "planned":
            yield from self._lost("A copy is lost", batch.copies)
        if state == "planned":
            yield from self._lost("Something that goes into it is lost", batch.consumes)
        items = {held.id for phase in batch.phases for held in phase.equipment}
        for item in self.day.kitchen.equipment:
            if item.id in items and state != "staged":
                yield self.of_item(item)
        cooks = {cook for phase in batch.phases for cook in phase.crew}
        for cook in self.day.kitchen.crew:
            if cook.id in cooks:
                yield self.of_cook(cook)

    def _not_started(self, batch: Batch) -> Group:
        planned = self.clock.minute(batch.starts)
        if planned >= self.now:
            note = f"It is to start at {self._hour(planned)}. If it has not by then, say so here."
            return Group("Starts late", note=note)
        return Group(f"It should have started at {self._hour(planned)}", is_late=True)

    def _takes_longer(self, batch: Batch) -> Group:
        begun = begun_batches(self.day, self.plan, standing(self.ticks), self.now)[batch.id]
        choices = [
            Choice(
                f"{lasting(more)}: {self._hour(begun.ends + more)}",
                {
                    "event": "expected",
                    "batch": batch.id,
                    "ends": self.clock.text(begun.ends + more),
                },
            )
            for more in LONGER_MIN
        ]
        return Group(f"Takes longer than {self._hour(begun.ends)}", tuple(choices))

    def _hour(self, minute: int) -> str:
        """Return the hour of a minute, with its day where that is not today."""
        return self.clock.hour_seen_from(minute, self.clock.date(self.now))

    def _lost(self, title: str, copies: Sequence[str]) -> Iterator[Group]:
        tags = {copy.id: copy.tag for copy in self.plan.copies}
        there = [copy for copy in copies if copy in tags and copy not in self.states.lost]
        # Tags count up within a demonstration: the shorter one is the lower number.
        there.sort(key=lambda copy: (len(tags[copy]), tags[copy]))
        choices = [
            Choice(f"{tags[copy]} is lost", {"event": "lost", "copy": copy}) for copy in there
        ]
        if choices:
            yield Group(title, tuple(choices[:MOST_COPIES]))

    def of_item(self, item: Equipment) -> Group:
        """Return for how long an item may be down."""
        says = {"event": "closed", "equipment": item.id}
        choices = [self._for(says, out_min) for out_min in OUT_MIN]
        choices.append(Choice("the rest of the day", {**says, "to": self._midnight()}))
        return Group(f"{item.called} is down", tuple(choices))

    def of_cook(self, cook: Cook) -> Group:
        """Return for how long somebody may be gone."""
        says = {"event": "absent", "crew": cook.id}
        choices = [self._for(says, out_min) for out_min in OUT_MIN]
        left = [ends for _, ends in cook.shifts if self.clock.minute(ends) > self.begins]
        if left:
            first, last = min(left), max(left)
            choices.append(Choice("the rest of the shift", {**says, "to": first}))
            if last != first:
                choices.append(Choice("every shift from now on", {**says, "to": last}))
            return Group(f"{cook.called} is away", tuple(choices))
        return Group(f"{cook.called} is away", note=f"{cook.called} has no shift any more.")

    def _for(self, says: dict[str, Any], out_min: int) -> Choice:
        until = self._hour(self.begins + out_min)
        return Choice(f"{lasting(out_min)}: to {until}", {**says, "for_min": out_min})

    def _midnight(self) -> str:
        date = self.clock.date(self.begins + DAY_MIN)
        return f"{date}T00:00"

    def of_run(self, run: Run) -> Iterator[Group]:
        """Yield what can be said of a run."""
        starts = self.clock.minute(run.starts)
        moved = [
            Choice(
                f"{lasting(abs(slip))} {'later' if slip > 0 else 'earlier'}: "
                f"{self._hour(starts + slip)}",
                {"event": "moved", "run": run.id, "starts": self.clock.text(starts + slip)},
            )
            for slip in SLIPS_MIN
            if starts + slip > self.now
        ]
        note = "" if moved else f"It was to start at {self._hour(starts)}."
        yield Group("Starts at another time", tuple(moved), note)
        dropped = {"event": "dropped", "run": run.id}
        yield Group("Will not be", (Choice(f"Drop {run.called}", dropped),))
        yield Group("Once more", tuple(self._again(run, starts)))

    def _again(self, run: Run, starts: int) -> Iterator[Choice]:
        known = {each.id for each in self.day.runs}
        known |= {tick.run.id for tick in self.ticks if tick.event == "added"}
        number = next(n for n in range(2, 10_000) if _again_id(run, n) not in known)
        named = {"id": _again_id(run, number), "name": f"{run.called}, {number}"}
        for later in AGAIN_MIN:
            at = max(starts, self.now) + later
            again = run.model_copy(update={**named, "starts": self.clock.text(at)})
            says = {
                "event": "added",
                "run": again.model_dump(mode="json", exclude_defaults=True),
            }
            yield Choice(f"at {self._hour(at)}", says)


def _again_id(run: Run, number: int) -> str:
    tail = f"-again-{number}"
    return run.id[: LONGEST_ID - len(tail)] + tail


def filled(says: dict[str, Any], clock: Clock, begins: int) -> dict[str, Any]:
    """Return what a choice says with the span that it counts from now.

    Parameters
    ----------
    says
        As the button sent it.
    clock
        The clock of the day.
    begins
        The minute now, or that at which the prep begins, if that is later.
    """
    told = dict(says)
    if told.get("event") in ("closed", "absent"):
        told.setdefault("from", clock.text(begins))
        out_min = told.pop("for_min", None)
        if isinstance(out_min, int) and 0 < out_min <= DAY_MIN:
            told["to"] = clock.text(begins + out_min)
    return told
