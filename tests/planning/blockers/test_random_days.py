"""On tiny random days that cannot be served, what is told clashes, and none of it can be spared."""

from collections import Counter

import pytest

from app.planning.reading import read_day
from tests.bench.blockers import verdict
from tests.random_days import newest, tiny_day

# Without 25, where the proofs are long.
SEEDS = [seed for seed in (*range(60), *newest(12)) if seed != 25]
PARTS = 6


@pytest.mark.parametrize("part", range(PARTS))
def test_what_is_told_is_impossible_and_without_any_one_fact_possible(part: int) -> None:
    """Tests with the planner itself, which looks at the eased days as at any other."""
    verdicts: Counter[str] = Counter()
    for seed in SEEDS[part::PARTS]:
        word, wrong = verdict(read_day(tiny_day(seed)))
        verdicts[word] += 1
        assert wrong == [], seed
    assert verdicts["told"] >= 1
    assert verdicts["not told"] == 0
