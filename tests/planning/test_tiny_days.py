"""On tiny random days the first five goals equal what trying everything finds."""

from collections import Counter

import pytest

from app.planning.reading import read_day
from tests.bench.tiny_days import verdict
from tests.random_days import newest, tiny_day

LIMIT = 3_000
SEEDS = (*range(300), *newest(30))
PARTS = 10
FULL_SHELF = 1346


@pytest.mark.parametrize("part", range(PARTS))
def test_tiny_days_are_planned_as_well_as_can_be(part: int) -> None:
    """Tests every tenth seed; days with too many plans to try are left to the bench."""
    verdicts: Counter[str] = Counter()
    for seed in SEEDS[part::PARTS]:
        word, told = verdict(read_day(tiny_day(seed)), LIMIT)
        verdicts[word] += 1
        assert word != "differs", (seed, told)
    assert verdicts["equal"] >= len(SEEDS) // PARTS // 2
    assert verdicts["not proven"] <= 1


def test_a_copy_that_leaves_soon_goes_from_a_full_shelf() -> None:
    """Tests a day on which it could stand by a use before its own, where others do already."""
    word, told = verdict(read_day(tiny_day(FULL_SHELF)))
    assert word in ("equal", "not proven"), told
