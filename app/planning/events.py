"""What happened on the day: one frozen value an event, nothing but its shape.

An event says the state that is wanted (*started*, *staged with these lost*), never a change of
it, so that telling it twice does no harm. `n` and `undoes` are None only while an event is not
yet in a log. Times are local texts as in the day.
"""

from datetime import datetime
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from app.planning.day import Run

LOCAL = r"^\d{4}-\d\d-\d\dT\d\d:\d\d([+-]\d\d:\d\d)?$"
LONGEST_KEY = 100
LONGEST_NAME = 150
LONGEST_WORDS = 500
LARGEST_NUMBER = 2**53


def _is_a_time(text: str) -> str:
    datetime.fromisoformat(text)
    return text


At = Annotated[str, Field(pattern=LOCAL), AfterValidator(_is_a_time)]
Key = Annotated[str, Field(min_length=1, max_length=LONGEST_KEY)]
Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME)]
Words = Annotated[str, Field(max_length=LONGEST_WORDS)]
Number = Annotated[int, Field(ge=1, le=LARGEST_NUMBER)]
Copies = Annotated[tuple[Name, ...], Field(strict=False)]


class Event(BaseModel):
    """What every event has: its number in the log, when it happened, its key, who said it."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, populate_by_name=True, serialize_by_alias=True
    )

    n: Number | None = None
    at: At
    once: Key
    by: Key


class Started(Event):
    """A batch was started."""

    event: Literal["started"] = "started"
    batch: Name


class Staged(Event):
    """The copies of a batch are staged, all but those lost; it was started, if nobody said so."""

    event: Literal["staged"] = "staged"
    batch: Name
    lost: Copies = ()


class Expected(Event):
    """A batch that has begun is expected to be staged at another time than its way says."""

    event: Literal["expected"] = "expected"
    batch: Name
    ends: At


class Lost(Event):
    """A copy is lost."""

    event: Literal["lost"] = "lost"
    copy_id: Annotated[Name, Field(alias="copy")]
    why: Words = ""


class Placed(Event):
    """A copy stands in another place than planned; level and slot count from 1."""

    event: Literal["placed"] = "placed"
    copy_id: Annotated[Name, Field(alias="copy")]
    shelf: Name
    level: Number
    slot: Number


class Sent(Event):
    """Copies have gone to the set, for one beat of one run."""

    event: Literal["sent"] = "sent"
    copies: Copies
    run: Name
    beat: Name


class Used(Event):
    """A beat has been shot, with these copies and no others."""

    event: Literal["used"] = "used"
    run: Name
    beat: Name
    copies: Copies


class Returned(Event):
    """Copies are back in the kitchen."""

    event: Literal["returned"] = "returned"
    copies: Copies


class Moved(Event):
    """A run starts at another time."""

    event: Literal["moved"] = "moved"
    run: Name
    starts: At


class Added(Event):
    """There is one more run."""

    event: Literal["added"] = "added"
    run: Run


class Dropped(Event):
    """A run will not be, or will not go on."""

    event: Literal["dropped"] = "dropped"
    run: Name


class Closed(Event):
    """Nothing can be made in an item of equipment from one time to another."""

    event: Literal["closed"] = "closed"
    equipment: Name
    from_: Annotated[At, Field(alias="from")]
    to: At


class Absent(Event):
    """One of the crew is not there from one time to another."""

    event: Literal["absent"] = "absent"
    crew: Name
    from_: Annotated[At, Field(alias="from")]
    to: At


class Measured(Event):
    """A copy was measured, in degrees Celsius."""

    event: Literal["measured"] = "measured"
    copy_id: Annotated[Name, Field(alias="copy")]
    celsius: float


class Undone(Event):
    """An event, named by its number, is taken back; an undo can be taken back as well."""

    event: Literal["undone"] = "undone"
    undoes: Number | None = None


AnyEvent = (
    Started
    | Staged
    | Expected
    | Lost
    | Placed
    | Sent
    | Used
    | Returned
    | Moved
    | Added
    | Dropped
    | Closed
    | Absent
    | Measured
    | Undone
)
