"""The day as it stands after what happened."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from app.planning.day import Day, Span
from app.planning.day_now import day_now
from app.planning.events import Absent, Added, AnyEvent, Closed, Dropped, Moved, Used
from app.planning.minutes import Clock
from tests.planning import drafts

AT: dict[str, Any] = {"at": "2027-03-04T14:00", "once": "k", "by": "Ada"}
SHIFT = ("06:00", "20:00")


def _day(closed: list[tuple[str, str]] | None = None) -> Day:
    oven = {"id": "oven", "kind": "oven"}
    if closed:
        oven["closed"] = [[drafts.at(a), drafts.at(b)] for a, b in closed]
    beats = [
        drafts.beat("show", 30, 60, {"baked": 1}, {}),
        drafts.beat("cut", 100, 60, {"baked": 1}, {}),
    ]
    kitchen = {"crew": [drafts.cook(shift=SHIFT)], "equipment": [oven]}
    facts = drafts.day(
        [drafts.stage("baked")],
        beats,
        [drafts.run("one", "14:00"), drafts.run("two", "16:00")],
        kitchen=kitchen,
    )
    return Day.model_validate(facts)


def _used(run: str, beat: str) -> Used:
    return Used(run=run, beat=beat, copies=("c",), **AT)


def _closed(starts: str, ends: str) -> Closed:
    return Closed(equipment="oven", from_=drafts.at(starts), to=drafts.at(ends), **AT)


def _absent(starts: str, ends: str) -> Absent:
    return Absent(crew="ada", from_=drafts.at(starts), to=drafts.at(ends), **AT)


def _hours(spans: tuple[Span, ...]) -> list[tuple[str, str]]:
    return [(starts[11:], ends[11:]) for starts, ends in spans]


def test_nothing_happened_and_the_day_is_the_same() -> None:
    """The very same."""
    assert day_now(_day(), []) == _day()


def test_a_run_that_moves_starts_at_its_new_time() -> None:
    """The last word counts, and the rundown keeps its order."""
    moves = [Moved(run="one", starts=drafts.at(clock), **AT) for clock in ("17:00", "15:10")]
    runs = day_now(_day(), moves).runs
    assert [(run.id, run.starts[11:]) for run in runs] == [("one", "15:10"), ("two", "16:00")]


def test_a_run_that_is_dropped_keeps_only_what_was_shot() -> None:
    """One without any beat shot is gone; the other one stays with that beat."""
    dropped = [Dropped(run="one", **AT), Dropped(run="two", **AT)]
    (run,) = day_now(_day(), [_used("one", "show"), *dropped]).runs
    assert (run.id, run.beats, run.starts) == ("one", ("show",), drafts.at("14:00"))


def test_a_run_that_has_begun_does_not_move() -> None:
    """What was shot was shot when it was."""
    moved = Moved(run="one", starts=drafts.at("15:00"), **AT)
    assert day_now(_day(), [_used("one", "show"), moved]) == _day()


def test_a_run_that_is_added_is_the_last_of_the_rundown() -> None:
    """Under its id it can be moved and dropped like any other."""
    three = _day().runs[0].model_copy(update={"id": "three", "starts": drafts.at("18:00")})
    added = Added(run=three, **AT)
    moved = Moved(run="three", starts=drafts.at("18:20"), **AT)
    assert [run.id for run in day_now(_day(), [added]).runs] == ["one", "two", "three"]
    assert day_now(_day(), [added, moved]).run("three").starts == drafts.at("18:20")
    assert day_now(_day(), [added, Dropped(run="three", **AT)]) == _day()


def test_an_oven_that_is_down_is_closed_then() -> None:
    """Spans that meet are one; one that says nothing new changes nothing."""
    day = day_now(
        _day([("10:00", "11:00")]), [_closed("14:00", "15:00"), _closed("11:00", "12:00")]
    )
    assert _hours(day.kitchen.equipment[0].closed) == [("10:00", "12:00"), ("14:00", "15:00")]
    assert day_now(day, [_closed("14:10", "14:50")]) == day


def test_who_is_away_has_no_shift_then() -> None:
    """Within a shift, over its end, over all of it, beside it."""
    for away, left in (
        (("10:00", "11:00"), [("06:00", "10:00"), ("11:00", "20:00")]),
        (("19:00", "22:00"), [("06:00", "19:00")]),
        (("05:00", "21:00"), []),
        (("20:00", "21:00"), [("06:00", "20:00")]),
    ):
        assert _hours(day_now(_day(), [_absent(*away)]).kitchen.crew[0].shifts) == left


QUARTERS = st.integers(24, 80)


@st.composite
def spans(draw: st.DrawFn) -> tuple[int, int]:
    """Return two different quarters of an hour from 06:00 to 20:00, in order."""
    starts, ends = sorted(draw(st.lists(QUARTERS, min_size=2, max_size=2, unique=True)))
    return starts, ends


def _clock(quarter: int) -> str:
    return f"{quarter // 4:02}:{quarter % 4 * 15:02}"


@settings(max_examples=200, deadline=None)
@given(away=st.lists(spans(), max_size=5), down=st.lists(spans(), max_size=5))
def test_every_minute_is_worked_unless_somebody_is_away(
    away: list[tuple[int, int]], down: list[tuple[int, int]]
) -> None:
    """Counted minute by minute; told twice it is the same day."""
    events: list[AnyEvent] = [_absent(_clock(a), _clock(b)) for a, b in away]
    events += [_closed(_clock(a), _clock(b)) for a, b in down]
    day, clock = day_now(_day(), events), Clock("Europe/Lisbon")
    assert day_now(day, events) == day
    midnight = clock.minute(drafts.at("00:00"))
    shifts = _minutes(clock, day.kitchen.crew[0].shifts)
    closed = _minutes(clock, day.kitchen.equipment[0].closed)
    for quarter in range(24, 80):
        minute = midnight + quarter * 15
        assert (minute in shifts) == (not any(a <= quarter < b for a, b in away))
        assert (minute in closed) == any(a <= quarter < b for a, b in down)


def _minutes(clock: Clock, told: tuple[Span, ...]) -> set[int]:
    both = [(clock.minute(starts), clock.minute(ends)) for starts, ends in told]
    assert both == sorted(both)
    return {minute for starts, ends in both for minute in range(starts, ends)}
