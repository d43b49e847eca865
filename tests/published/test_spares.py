"""Spares against the binomial distribution.

Sources: binomial tables (n = 20, p = .05; n = 10, p = .4; n = 4, 6, 5), and scipy.stats.binom.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from app.planning.spares import chance_of, started_for


@pytest.mark.parametrize(
    ("good", "loss", "confidence", "started"),
    [(4, 0.1, 0.95, 6), (2, 0.1, 0.99, 4), (3, 0.1, 0.99, 5)],
)
def test_the_tables_tell_how_many_to_start(
    good: int, loss: float, confidence: float, started: int
) -> None:
    """Tests rows that can be looked up in printed binomial tables."""
    assert started_for(good, loss, confidence) == started


def test_the_tables_tell_the_chances() -> None:
    """Tests the chances themselves: n = 4 and 5 at p = .1, 20 at .05, 10 at .4."""
    assert chance_of(4, 2, 0.1) == pytest.approx(0.9963, abs=5e-5)
    assert chance_of(5, 3, 0.1) == pytest.approx(0.9914, abs=5e-5)
    lost = [chance_of(20, 20 - k, 0.05) - chance_of(20, 21 - k, 0.05) for k in range(1, 4)]
    assert chance_of(20, 20, 0.05) == pytest.approx(0.3585, abs=5e-5)
    assert lost == pytest.approx([0.3774, 0.1887, 0.0596], abs=5e-5)
    assert chance_of(10, 7, 0.4) == pytest.approx(0.38228, abs=5e-6)


@settings(max_examples=300, deadline=None)
@given(
    good=st.integers(1, 60),
    loss=st.floats(0.001, 0.6),
    confidence=st.floats(0.5, 0.999),
)
def test_a_batch_starts_the_fewest_that_are_sure_enough(
    good: int, loss: float, confidence: float
) -> None:
    """Tests the number against scipy: one more than wanted at least, and the smallest that does."""
    started = started_for(good, loss, confidence)
    assert started > good
    assert binom.sf(good - 1, started, 1 - loss) >= confidence - 2e-9
    if started > good + 1:
        assert binom.sf(good - 1, started - 1, 1 - loss) < confidence


def test_without_loss_nothing_is_spare() -> None:
    """Tests that a sure step starts what it gives."""
    assert [started_for(good, 0, 0.95) for good in (1, 2, 30)] == [1, 2, 30]
