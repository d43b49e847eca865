"""Ticks: what crew say happened, as events on their way into the log.

The events are those of `planning.events`; a tick knows the plan that it was made for as well, and
an undo may name the key of what it takes back instead of its number. Neither is part of the event.
"""

import json
from typing import Annotated, Any, Self

from pydantic import BaseModel, Field, TypeAdapter, ValidationError, model_validator

from app.planning import events
from app.planning.events import Key, Number
from app.storage.refusals import Refusal

COLDEST_C, HOTTEST_C = -80, 300
OF_EVERY_EVENT = {"n", "at", "once", "by", "event"}


class TickRefused(Refusal):
    """A tick that cannot be stored; the words say why and what next."""


class Tick(BaseModel):
    """What makes an event a tick: the number of the plan that it was made for."""

    plan: Number | None = Field(default=None, exclude=True)

    def says(self) -> dict[str, Any]:
        """Return what this kind of event says beside what every event has."""
        return self.model_dump(mode="json", exclude=OF_EVERY_EVENT)


class Started(Tick, events.Started):
    """A batch was started."""


class Staged(Tick, events.Staged):
    """The copies of a batch are staged, all but those lost."""


class Lost(Tick, events.Lost):
    """A copy is lost."""


class Measured(Tick, events.Measured):
    """A copy was measured, in degrees Celsius that food can have."""

    celsius: Annotated[float, Field(ge=COLDEST_C, le=HOTTEST_C)]


class Expected(Tick, events.Expected):
    """A batch that has begun will be staged at another time than its way says."""


class Moved(Tick, events.Moved):
    """A run starts at another time."""


class Added(Tick, events.Added):
    """There is one more run."""


class Dropped(Tick, events.Dropped):
    """A run will not be, or will not go on."""


class Closed(Tick, events.Closed):
    """Nothing can be made in an item of equipment from one time to another."""


class Absent(Tick, events.Absent):
    """One of the crew is not there from one time to another."""


class Undone(Tick, events.Undone):
    """An event is taken back, named by its number or, by a page that got no answer, its key."""

    undoes_once: Key | None = Field(default=None, exclude=True)

    @model_validator(mode="after")
    def _names_one(self) -> Self:
        if self.undoes is None and self.undoes_once is None:
            raise ValueError("say which event is undone")
        return self


OfTheDay = Moved | Added | Dropped | Closed | Absent
AnyTick = Started | Staged | Lost | Measured | Expected | OfTheDay | Undone
_EVENT: TypeAdapter[AnyTick] = TypeAdapter(Annotated[AnyTick, Field(discriminator="event")])


def tick_of(document: object) -> AnyTick:
    """Return the tick of a JSON object.

    Raises
    ------
    TickRefused
        If it is no such event: which field, and what is wrong with it.
    """
    try:
        return _EVENT.validate_python(document)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(each) for each in first["loc"][1:]) or "event"
        value = json.dumps(first["input"], ensure_ascii=False, default=str)[:80]
        raise TickRefused(f"This is no tick: {place} is {value}. {first['msg']}.") from error
