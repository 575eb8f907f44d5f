"""What a spread in the readings does to a result."""

from __future__ import annotations

import math
import random

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.spread import Range, Spread, digits_after_point, range_result, spread_result
from hypothesis import given
from hypothesis import strategies as st

small = st.floats(0.0, 5.0)
usual = st.floats(-50.0, 50.0)


def plus(a: float, b: float) -> float:
    """A plain sum."""
    return a + b


def positive_only(a: float) -> float:
    """A sum with an edge."""
    if a < 0:
        raise OutOfRange(f"{a:g} is below 0.")
    return math.sqrt(a)


@given(usual, usual, small, small)
def test_spreads_of_a_sum_combine_as_squares(a: float, b: float, sa: float, sb: float) -> None:
    """Two independent spreads make the square root of the sum of their squares: JCGM 100:2008, 5.1.2."""
    found = spread_result(plus, {"a": Spread(a, sa), "b": Spread(b, sb)})
    assert found.high - found.value == pytest.approx(math.hypot(sa, sb), abs=1e-9)
    assert found.value - found.low == pytest.approx(math.hypot(sa, sb), abs=1e-9)


@given(usual)
def test_exact_readings_give_an_exact_result(a: float) -> None:
    """Without spread there is no range."""
    assert spread_result(plus, {"a": Spread(a), "b": Spread(1.0)}).exact


@given(usual, small, small)
def test_a_wider_spread_never_narrows_the_range(a: float, sa: float, more: float) -> None:
    """Less certain readings cannot make a more certain result."""
    narrow = spread_result(plus, {"a": Spread(a, sa), "b": Spread(0.0)})
    wide = spread_result(plus, {"a": Spread(a, sa + more), "b": Spread(0.0)})
    assert wide.low <= narrow.low and wide.high >= narrow.high


def test_range_covers_what_chance_does() -> None:
    """For a curved sum the range holds about nineteen of twenty results drawn by chance (a simulation)."""

    def curved(free: float, ph: float) -> float:
        return free / (1 + 10 ** (ph - 1.81))

    found = spread_result(curved, {"free": Spread(30, 3), "ph": Spread(3.4, 0.05)})
    chance = random.Random(7)
    draws = [curved(chance.gauss(30, 3 / 1.96), chance.gauss(3.4, 0.05 / 1.96)) for _ in range(20_000)]
    inside = sum(found.low <= draw <= found.high for draw in draws) / len(draws)
    assert 0.94 < inside < 0.965


def test_an_end_outside_the_sum_stops_at_its_edge() -> None:
    """A reading near nothing with a spread below nothing uses what can be."""
    found = spread_result(positive_only, {"a": Spread(1.0, 4.0)})
    assert found.low == pytest.approx(0.0, abs=1e-3)
    assert found.high == pytest.approx(math.sqrt(5))


def test_a_middle_outside_the_sum_is_refused() -> None:
    """A value that cannot be is refused, whatever its spread."""
    with pytest.raises(OutOfRange):
        spread_result(positive_only, {"a": Spread(-1.0, 4.0)})


def test_a_negative_spread_is_refused() -> None:
    """A plus-or-minus below nothing means nothing."""
    with pytest.raises(OutOfRange, match="0 or more"):
        spread_result(positive_only, {"a": Spread(1.0, -0.1)})


@pytest.mark.parametrize(
    ("limit", "verdict"),
    [(0.9, "above"), (1.0, "straddles"), (1.5, "straddles"), (2.0, "straddles"), (2.1, "below")],
)
def test_a_range_that_holds_the_limit_decides_nothing(limit: float, verdict: str) -> None:
    """Only a range that lies wholly on one side passes or fails."""
    assert Range(1.0, 1.4, 2.0).against(limit) == verdict


@pytest.mark.parametrize(
    ("half", "places"),
    [(0.05, 3), (0.11, 2), (0.5, 2), (1.1, 1), (5.0, 1), (11.0, 0), (50.0, 0), (0.00001, 4)],
)
def test_no_more_digits_than_the_spread_leaves(half: float, places: int) -> None:
    """Two digits of the plus-or-minus, and no more than four decimals."""
    assert digits_after_point(Range(10 - half, 10, 10 + half)) == places


def test_an_exact_result_sets_no_digits() -> None:
    """Without a spread the digits are another's choice."""
    assert digits_after_point(Range(1.0, 1.0, 1.0)) is None


@given(usual, usual, small, small)
def test_a_range_that_is_even_counts_as_a_spread(a: float, b: float, sa: float, sb: float) -> None:
    """The result of one sum can go into the next: as far down and up as the readings behind it."""
    ranges = {"a": Range(a - sa, a, a + sa), "b": Range(b - sb, b, b + sb)}
    found, same = range_result(plus, ranges), spread_result(plus, {"a": Spread(a, sa), "b": Spread(b, sb)})
    assert (found.low, found.value, found.high) == pytest.approx((same.low, same.value, same.high), abs=1e-9)


def test_an_uneven_range_stays_uneven() -> None:
    """A loss of 5 to 10 with 6 in the middle leaves 90 to 95 of 100, and 94 in the middle."""
    found = range_result(lambda lost: 100 - lost, {"lost": Range(5, 6, 10)})
    assert (found.low, found.value, found.high) == (90, 94, 95)
