import itertools

import pytest
from diagnose.calculators import OutOfRange, worksheets
from diagnose.calculators.trial import even_ladder, geometric_ladder, refine_below, refine_between
from hypothesis import given
from hypothesis import strategies as st

LOWS = st.floats(0.001, 1)
WIDTHS = st.floats(0.01, 5)
STEPS = st.integers(2, 20)


def test_published_ladders_can_be_made() -> None:
    """20 to 100 g/hL by twenties, the upper rungs of the IFV sheet on bentonite (16 April 2024)."""
    assert even_ladder(0.2, 1.0, 5) == (0.2, 0.4, 0.6, 0.8, 1.0)


def test_a_wide_search_doubles() -> None:
    """Even ratios from 0.1 to 1.6 g/L are doublings."""
    assert geometric_ladder(0.1, 1.6, 5) == pytest.approx((0.1, 0.2, 0.4, 0.8, 1.6))


def test_a_lower_ladder_stays_below_and_repeats_the_dose_that_served() -> None:
    """When the lowest rung serves, the next trial looks between nothing and that rung."""
    assert refine_below(0.2) == (0.05, 0.1, 0.15, 0.2)
    assert refine_between(0.4, 0.6, 2) == (0.5, 0.6)


@pytest.mark.parametrize("sheet", ["even_ladder", "geometric_ladder", "refined_ladder"])
def test_half_a_jar_is_no_step(sheet: str) -> None:
    """Four and a half doses cannot be set up: the sheet asks for a whole number and says which is usual."""
    doses = (
        {"first_good_g_per_l": 0.4}
        if sheet == "refined_ladder"
        else {"low_g_per_l": 0.2, "high_g_per_l": 1.0}
    )
    make = worksheets()[sheet].function
    assert len(make(**doses, steps=4.0)) == 4
    with pytest.raises(
        OutOfRange, match=r"cannot have 4\.5 steps. Give a whole number; four to six are usual"
    ):
        make(**doses, steps=4.5)


@given(LOWS, WIDTHS, STEPS)
def test_ladders_rise_from_end_to_end(low: float, width: float, steps: int) -> None:
    """Doses rise, have the number asked for, and keep both ends."""
    for ladder in (even_ladder(low, low + width, steps), geometric_ladder(low, low + width, steps)):
        assert len(ladder) == steps
        assert all(less < more for less, more in itertools.pairwise(ladder))
        assert ladder[0] == pytest.approx(low) and ladder[-1] == pytest.approx(low + width)


@given(LOWS, WIDTHS, STEPS)
def test_refined_ladders_stay_inside(low: float, width: float, steps: int) -> None:
    """A finer ladder never repeats the dose that failed and never goes beyond the one that served."""
    for failed, served in ((0.0, low), (low, low + width)):
        ladder = refine_between(failed, served, steps)
        assert len(ladder) == steps
        assert failed < ladder[0] and ladder[-1] == pytest.approx(served)
        assert all(less < more for less, more in itertools.pairwise(ladder))


@pytest.mark.parametrize(
    "make",
    [
        lambda: even_ladder(0, 1, 3),
        lambda: even_ladder(1, 1, 3),
        lambda: even_ladder(1, 0.5, 3),
        lambda: even_ladder(0.1, 1, 1),
        lambda: geometric_ladder(0.1, 1, 1000),
        lambda: refine_below(0),
        lambda: refine_between(0.5, 0.5),
        lambda: refine_between(-0.1, 0.5),
        lambda: refine_below(float("nan")),
    ],
)
def test_ladders_that_are_none_are_refused(make: object) -> None:
    """No ladder starts at the control, falls, or has a single rung."""
    with pytest.raises(OutOfRange):
        make()  # type: ignore[operator]
