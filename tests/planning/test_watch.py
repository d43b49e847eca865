"""How long the planner may work: by a clock that a test sets."""

from app.planning.solve import nobody
from app.planning.watch import Watch


class Clock:
    """A clock that stands until it is set."""

    def __init__(self) -> None:
        self.second = 0.0

    def __call__(self) -> float:
        """Return the second that was set."""
        return self.second


def test_no_more_time_is_granted_than_is_missing() -> None:
    """Of ten seconds two must be left: at six there are four, at nine one is missing."""
    clock = Clock()
    watch = Watch(10.0, clock, lambda: False, nobody)
    clock.second = 6.0
    watch.grant(0.2)
    assert watch.grace_s == 0.0
    clock.second = 9.0
    watch.grant(0.2)
    assert watch.grace_s == 1.0
    clock.second = 10.5
    assert not watch.over()
    clock.second = 11.0
    assert watch.over()


def test_work_that_is_called_off_stops_nobody_else() -> None:
    """Tests that the watch itself goes on."""
    called_off = [False]
    watch = Watch(10.0, Clock(), lambda: False, nobody)
    other = watch.until(lambda: called_off[0])
    assert not other.over()
    called_off[0] = True
    assert other.over()
    assert not watch.over()
    assert watch.stopped_by is None
