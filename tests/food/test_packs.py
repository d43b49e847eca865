"""Which packs are bought, against every set of packs there is."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.food.measures import Quantity
from app.food.packs import Pack, packs_for

SIZES = st.builds(Fraction, st.integers(2, 12), st.sampled_from([1, 1, 2]))
PRICES = st.none() | st.integers(0, 20).map(Fraction)
KINDS = st.lists(st.tuples(SIZES, PRICES), min_size=1, max_size=3)
NEEDS = st.builds(Fraction, st.integers(0, 15), st.sampled_from([1, 1, 3]))
Kinds = list[tuple[Fraction, Fraction | None]]


def bought(needed: Fraction | int, kinds: Kinds) -> tuple[int, ...]:
    """Return how many of each pack are bought, in kilograms."""
    packs = [Pack(Quantity(size, "kg"), price) for size, price in kinds]
    return packs_for(Quantity(Fraction(needed), "kg"), packs)


def goal(counts: tuple[int, ...], kinds: Kinds) -> tuple[Fraction, Fraction, int]:
    """Return what a set costs, what it holds, how many packs it is."""
    cost = sum((n * (price or 0) for n, (_, price) in zip(counts, kinds, strict=True)), Fraction(0))
    holds = sum((n * size for n, (size, _) in zip(counts, kinds, strict=True)), Fraction(0))
    return cost, holds, sum(counts)


@settings(max_examples=150, deadline=None)
@given(NEEDS, KINDS)
def test_no_other_set_is_cheaper_holds_less_or_is_fewer_packs(
    needed: Fraction, kinds: Kinds
) -> None:
    """Tests against brute force over every set that could be the best."""
    is_priced = any(price is not None for _, price in kinds)
    most = [
        -(-needed // size) if price is not None or not is_priced else 0 for size, price in kinds
    ]
    every = product(*(range(int(n) + 1) for n in most))
    goals = [goal(each, kinds) for each in every]
    assert goal(bought(needed, kinds), kinds) == min(each for each in goals if each[1] >= needed)


@pytest.mark.parametrize(
    ("needed", "counts"),
    [
        (0, (0, 0)),
        (1, (1, 0)),
        (4, (0, 1)),
        (11, (1, 2)),
        (13, (3, 2)),
        (14, (0, 3)),
        (1001, (1, 200)),
    ],
)
def test_flour_in_bags_of_one_and_five_kilograms(needed: int, counts: tuple[int, ...]) -> None:
    """At 1.20 and 4.50: four single bags cost more than a large one."""
    kinds = [(Fraction(1), Fraction("1.2")), (Fraction(5), Fraction("4.5"))]
    assert bought(needed, kinds) == counts


def test_without_prices_the_least_is_left_over() -> None:
    assert bought(11, [(Fraction(1), None), (Fraction(5), None)]) == (1, 2)


def test_packs_in_pounds_and_kilograms_are_told_apart_exactly() -> None:
    """A pound is 0.45359237 kg (NIST): 11 of them are 4.98951607 kg, and 12 more than 5."""
    pound, kilo = Quantity(Fraction(1), "lb"), Quantity(Fraction(5), "kg")
    packs = [Pack(pound, Fraction(1)), Pack(kilo, Fraction(12))]
    assert packs_for(Quantity(Fraction("4.9895"), "kg"), packs) == (11, 0)
    assert packs_for(Quantity(Fraction("4.99"), "kg"), packs) == (0, 1)


def test_a_tonne_in_odd_sizes_costs_what_a_table_of_all_amounts_says() -> None:
    """Tests against the cheapest cover of every amount from nothing up, one after the other."""
    kinds = [(Fraction(size), Fraction(price)) for size, price in ((3, 5), (7, 11), (13, 20))]
    least = [Fraction(0)]
    for amount in range(1, 1001):
        least.append(min(least[max(0, amount - int(size))] + (price or 0) for size, price in kinds))
    found = goal(bought(1000, kinds), kinds)
    assert found[0] == least[1000]
    assert found[1] >= 1000
