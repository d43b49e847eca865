"""Ticks: what crew say happened, one frozen value an event, in the form of the event log.

A tick says the state that is wanted (*started*, *staged with these lost*), never a change of
it, so that sending it twice does no harm. `plan` is the number of the plan that the tick was
made for; it is not part of the event.
"""

import json
from datetime import datetime
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    TypeAdapter,
    ValidationError,
    model_validator,
)

from app.storage.refusals import Refusal

LOCAL = r"^\d{4}-\d\d-\d\dT\d\d:\d\d([+-]\d\d:\d\d)?$"
Key = Annotated[str, Field(min_length=1, max_length=100)]
Words = Annotated[str, Field(max_length=500)]
Number = Annotated[int, Field(ge=1, le=2**53)]


def _is_a_time(text: str) -> str:
    datetime.fromisoformat(text)
    return text


class TickRefused(Refusal):
    """A tick that cannot be stored; the words say why and what next."""


class Tick(BaseModel):
    """What every event has: its number once stored, when it happened, its key, who said it."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    n: Number | None = None
    at: Annotated[str, Field(pattern=LOCAL), AfterValidator(_is_a_time)]
    once: Key
    by: Key
    plan: Number | None = Field(default=None, exclude=True)

    def says(self) -> dict[str, Any]:
        """Return what this kind of event says beside what every event has."""
        return self.model_dump(mode="json", exclude={"n", "at", "once", "by", "event"})

    def document(self) -> dict[str, Any]:
        """Return the event as a JSON object, its keys in the order of the log."""
        named = {name: getattr(self, name) for name in ("n", "at", "once", "by", "event")}
        return named | self.says()


class Started(Tick):
    """A batch was started."""

    event: Literal["started"] = "started"
    batch: Key


class Staged(Tick):
    """The copies of a batch are staged, all but those lost; it was started, if nobody said so."""

    event: Literal["staged"] = "staged"
    batch: Key
    lost: Annotated[tuple[Key, ...], Field(strict=False)] = ()


class Lost(Tick):
    """A copy is lost."""

    event: Literal["lost"] = "lost"
    copy_id: Annotated[Key, Field(alias="copy")]
    why: Words = ""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, populate_by_name=True, serialize_by_alias=True
    )


class Undone(Tick):
    """An event is taken back, named by its number or, by a page that got no answer, its key."""

    event: Literal["undone"] = "undone"
    undoes: Number | None = None
    undoes_once: Key | None = Field(default=None, exclude=True)

    @model_validator(mode="after")
    def _names_one(self) -> Self:
        if self.undoes is None and self.undoes_once is None:
            raise ValueError("say which event is undone")
        return self


AnyTick = Started | Staged | Lost | Undone
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
