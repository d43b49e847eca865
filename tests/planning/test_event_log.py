"""Reading events: each fault with its line, the value and the mend; what is the same event."""

from typing import Any

import pytest

from app.planning.canonical import document
from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.event_log import Line, read_events
from app.planning.events import AnyEvent
from app.planning.plan import Plan
from app.planning.reading import Refused
from app.planning.undoing import standing

Document = dict[str, Any]
AT = "2027-03-04T14:00"
RUN = {
    "id": "knots-take-3",
    "demonstration": "knots",
    "kind": "take",
    "starts": "2027-03-04T17:00",
}


def numbered(*said: Document) -> list[Line]:
    """Return what is said as the lines of a file, events in order."""
    return [
        Line(n, {"n": n, "at": AT, "once": f"k{n}", "by": "Ada"} | each)
        for n, each in enumerate(said, 1)
    ]


def read(day: Day, plan: Plan, *said: Document) -> tuple[AnyEvent, ...]:
    return read_events(numbered(*said), day, plan)


def of(event: str, **rest: Any) -> Document:
    return {"event": event} | {key.rstrip("_"): value for key, value in rest.items()}


USED = of("used", run="knots-take-1", beat="mix", copies=["knots/scaled/4"])
CLOSED = of("closed", equipment="deck-oven", from_="2027-03-04T16:00", to="2027-03-04T17:00")
FAULTS: list[tuple[str, list[Document], str]] = [
    (
        "an unknown event",
        [of("stated", batch="b1")],
        'line 1, event: "stated" is not known here; did you mean "started"?',
    ),
    (
        "an unknown key",
        [of("started", batch="b1", batsch="b1")],
        'line 1, batsch: there is no such field; did you mean "batch"?',
    ),
    ("a missing key", [of("started")], "line 1, batch: is missing; add a text in quotes"),
    (
        "a time with seconds",
        [of("started", batch="b1", at="2027-03-04T14:00:30")],
        'line 1, at: "2027-03-04T14:00:30" has seconds; write it to the minute',
    ),
    (
        "a time that never was",
        [of("started", batch="b1", at="2027-03-28T01:30")],
        'line 1, at: "2027-03-28T01:30" does not exist in Europe/Lisbon',
    ),
    (
        "no number of the log",
        [of("started", batch="b1", n=0)],
        "line 1, n: 0 is less than 1; write a whole number of 1 or more",
    ),
    (
        "numbers out of order",
        [of("started", batch="b1", n=7), of("staged", batch="b1")],
        "line 2, n: 2 does not count up from 7 on line 1; number the events in the order",
    ),
    (
        "one number twice",
        [of("started", batch="b1"), of("staged", batch="b1", n=1)],
        "line 2, n: 1 does not count up from 1 on line 1",
    ),
    ("nobody", [of("started", batch="b1", by="")], "line 1, by: is empty; write who says so"),
    (
        "a key without end",
        [of("started", batch="b1", once="x" * 101)],
        "has 101 characters; write 100 at most",
    ),
    (
        "a reason without end",
        [of("lost", copy="knots/scaled/1", why="x" * 501)],
        "has 501 characters; write 500 at most",
    ),
    (
        "no such batch",
        [of("started", batch="b77")],
        'line 1, batch: no batch "b77" in the plan; did you mean "b7"?',
    ),
    (
        "no such copy",
        [of("lost", copy="knots/scaled/9x")],
        'line 1, copy: no copy "knots/scaled/9x" in the plan; did you mean "knots/scaled/',
    ),
    (
        "a copy of another batch",
        [of("staged", batch="b2", lost=["knots/mixed/2"])],
        'line 1, lost[0]: no copy "knots/mixed/2" in this batch; did you mean "knots/mixed/1"?',
    ),
    (
        "a copy twice",
        [of("returned", copies=["knots/mixed/4", "knots/mixed/4"])],
        'line 1, copies[1]: "knots/mixed/4" stands twice; keep one of the two',
    ),
    (
        "no copy at all",
        [of("returned", copies=[])],
        "line 1, copies: an empty list; name a copy, or leave the event out",
    ),
    (
        "no such run",
        [of("moved", run="knots-tke-2", starts=AT)],
        'line 1, run: no run "knots-tke-2" in the day; did you mean "knots-take-2"?',
    ),
    (
        "no such beat",
        [USED | {"beat": "nix"}],
        'line 1, beat: no beat "nix" in run "knots-take-1"; did you mean "mix"?',
    ),
    (
        "a copy that the beat has no need of",
        [USED | {"copies": ["knots/mixed/1"]}],
        'line 1, copies[0]: "knots/mixed/1" is no copy that beat "mix" needs; name one that',
    ),
    (
        "more than the beat needs",
        [USED, USED | {"copies": ["knots/scaled/5"]}],
        "line 2, copies: 2 of scaled are used there, and it needs 1; tell the others as lost",
    ),
    (
        "no such item",
        [CLOSED | {"equipment": "dock-oven"}],
        'line 1, equipment: no item "dock-oven" in the kitchen; did you mean "deck-oven"?',
    ),
    (
        "nobody of that name",
        [of("absent", crew="cook-9", from_=AT, to="2027-03-04T15:00")],
        'line 1, crew: no cook "cook-9" in the kitchen; did you mean "cook-1"?',
    ),
    (
        "a span backwards",
        [CLOSED | {"to": "2027-03-04T15:00"}],
        'line 1, to: "2027-03-04T15:00" is not after "2027-03-04T16:00"; write the later time',
    ),
    (
        "a shelf of another zone",
        [of("placed", copy="knots/scaled/1", shelf="fridge-1", level=1, slot=1)],
        'line 1, shelf: "fridge-1" is chill, and the copy waits ambient; choose a shelf unit',
    ),
    (
        "a level that is not there",
        [of("placed", copy="knots/scaled/1", shelf="rack-1", level=5, slot=1)],
        'line 1, level: 5 is no level of "rack-1"; write 1 to 4',
    ),
    (
        "a slot that is not there",
        [of("placed", copy="knots/scaled/1", shelf="rack-1", level=1, slot=5)],
        "line 1, slot: 5 leaves no room on a level of 4 for a copy 1 wide",
    ),
    (
        "no temperature",
        [of("measured", copy="knots/scaled/1", celsius="warm")],
        'line 1, celsius: "warm" is no number; write a number',
    ),
    (
        "an undo of nothing",
        [of("undone", undoes=1)],
        "line 1, undoes: 1 is the number of no event before; write that of the event to take",
    ),
    ("an undo without number", [of("undone")], "line 1, undoes: is missing; add a whole number"),
    (
        "a run under the id of another one",
        [of("added", run=RUN | {"id": "knots-take-1"})],
        'line 1, run.id: "knots-take-1" is the id of another run of the day; choose another',
    ),
    (
        "a run of nothing",
        [of("added", run=RUN | {"demonstration": "knot"})],
        'line 1, run.demonstration: no demonstration "knot" in the day; did you mean "knots"?',
    ),
    (
        "a run of beats that are not there",
        [of("added", run=RUN | {"beats": ["mix", "nix"]})],
        'line 1, run.beats[1]: no beat "nix" here; did you mean "mix"?',
    ),
    (
        "a run that is no run",
        [of("added", run=RUN | {"kind": "tke"})],
        'line 1, run.kind: "tke" is not known here; did you mean "take"?',
    ),
    (
        "a run in another century",
        [of("moved", run="knots-take-2", starts="2127-03-04T15:00")],
        'line 1, starts: "2127-03-04T15:00" is more than 60 days from prep_from',
    ),
    (
        "a run that has begun",
        [USED, of("moved", run="knots-take-1", starts="2027-03-04T15:00")],
        'line 2, run: "knots-take-1" has begun; drop it and add a pickup of the beats that lack',
    ),
]


@pytest.mark.parametrize(
    ("said", "told"), [each[1:] for each in FAULTS], ids=[f[0] for f in FAULTS]
)
def test_each_fault_is_told_with_its_line_and_mend(
    said: list[Document], told: str, knots_day: Day, knots_plan: Plan
) -> None:
    """One fault, one sentence."""
    with pytest.raises(Refused) as refused:
        read(knots_day, knots_plan, *said)
    assert len(refused.value.faults) == 1, str(refused.value)
    assert told in str(refused.value)


def test_an_event_that_is_still_to_come_is_refused(knots_day: Day, knots_plan: Plan) -> None:
    """Where the time now is known; to the minute, now is not later than now."""
    lines = numbered(of("started", batch="b1"))
    assert len(read_events(lines, knots_day, knots_plan, AT)) == 1
    with pytest.raises(Refused, match='line 1, at: "2027-03-04T14:00" is later than now, "2027-'):
        read_events(lines, knots_day, knots_plan, "2027-03-04T13:59")


def test_a_repeated_sending_is_the_same_event(knots_day: Day, knots_plan: Plan) -> None:
    """The first counts; an undo that names the number of the second takes the first back."""
    events = read(
        knots_day,
        knots_plan,
        of("started", batch="b1"),
        of("started", batch="b1", once="k1"),
        of("started", batch="b2"),
        of("undone", undoes=2),
    )
    assert [(event.n, event.event) for event in events] == [
        (1, "started"),
        (3, "started"),
        (4, "undone"),
    ]
    assert [event.n for event in standing(events)] == [3, 4]


def test_an_undo_can_be_taken_back(knots_day: Day, knots_plan: Plan) -> None:
    """Then what it took back stands again."""
    events = read(
        knots_day,
        knots_plan,
        of("started", batch="b1"),
        of("undone", undoes=1),
        of("undone", undoes=2),
    )
    assert [event.n for event in standing(events)] == [1, 3]


def test_a_whole_log_can_be_told_again_to_the_day_that_came_of_it(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Runs moved twice, added, dropped, added and moved; a run that is gone is no typing error."""
    said = [
        of("moved", run="knots-take-2", starts="2027-03-04T16:00"),
        of("added", run=RUN),
        of("moved", run="knots-take-2", starts="2027-03-04T15:50"),
        of("moved", run="knots-take-3", starts="2027-03-04T17:30"),
        of("dropped", run="knots-take-2"),
        CLOSED,
        of("absent", crew="cook-1", from_="2027-03-04T10:00", to="2027-03-04T11:00"),
    ]
    after = day_now(knots_day, read(knots_day, knots_plan, *said))
    assert [(run.id, run.starts[11:]) for run in after.runs] == [
        ("knots-take-1", "14:00"),
        ("knots-take-3", "17:30"),
    ]
    assert day_now(after, read(after, knots_plan, *said)) == after


@pytest.mark.parametrize(
    ("event", "mend"),
    [
        (of("moved", run="knots-take-2", starts="2027-03-04T16:00"), "move the run again"),
        (of("added", run=RUN), "drop the run"),
        (of("dropped", run="knots-take-2"), "add the run again"),
        (CLOSED, "take the span out of the day"),
        (
            of("absent", crew="cook-1", from_="2027-03-04T10:00", to="2027-03-04T11:00"),
            "give the shift back",
        ),
    ],
    ids=lambda each: each["event"] if isinstance(each, dict) else "",
)
def test_what_the_day_has_taken_up_cannot_be_undone(
    event: Document, mend: str, knots_day: Day, knots_plan: Plan
) -> None:
    """Before the plan is mended it can; after that nobody knows how it was, and is told so."""
    undo = of("undone", undoes=1)
    events = read(knots_day, knots_plan, event, undo)
    assert day_now(knots_day, standing(events)) == knots_day
    after = day_now(knots_day, read(knots_day, knots_plan, event))
    assert after != knots_day
    with pytest.raises(Refused) as refused:
        read(after, knots_plan, event, undo)
    assert f"line 2, undoes: the day has taken up event 1 already; {mend}" in str(refused.value)


def test_an_event_is_written_as_it_was_read(knots_day: Day, knots_plan: Plan) -> None:
    """With the defaults of the run left out, as in a day."""
    (event,) = read(knots_day, knots_plan, of("added", run=RUN | {"stations": 1}))
    assert document(event)["run"] == RUN
