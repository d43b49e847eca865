"""Time from left to right, with room for what is written."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from app.web.charts.axis import Axis

moments = st.lists(st.integers(0, 200_000), min_size=1, max_size=40)


@given(moments, st.floats(0, 3000))
def test_moments_keep_their_order(times: list[int], width: float) -> None:
    """A later moment is never drawn before an earlier one, nor on top of it."""
    axis = Axis(times, [], width)
    drawn = [axis.x(each) for each in sorted(set(times))]
    assert all(before < after for before, after in pairwise(drawn))


@given(st.lists(st.tuples(st.integers(0, 9000), st.integers(0, 9000), st.floats(1, 300))))
def test_each_span_has_its_room(spans: list[tuple[int, int, float]]) -> None:
    """However close its moments lie."""
    ordered = [(min(a, b), max(a, b), room) for a, b, room in spans if a != b]
    axis = Axis([each for a, b, _ in ordered for each in (a, b)], ordered, 900)
    assert all(axis.x(b) - axis.x(a) >= room - 1e-6 for a, b, room in ordered)


def test_a_long_wait_is_drawn_longer_than_a_short_one() -> None:
    """Though not as much longer as it is."""
    axis = Axis([0, 600, 36_600], [], 0)
    short, long = axis.x(600), axis.x(36_600) - axis.x(600)
    assert short < long < 60 * short


def test_the_width_is_filled_where_it_can_be() -> None:
    """Spare width is shared out."""
    times = list(range(0, 60_000, 3_000))
    assert 700 < Axis(times, [], 720).width <= 720
