import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.heat_test import turbidity_rise
from hypothesis import given
from hypothesis import strategies as st


def test_the_rise_is_heated_less_its_twin() -> None:
    """A control of 1.2 NTU that reads 3.7 heated has risen by 2.5 (AWRI method: heated against unheated)."""
    assert turbidity_rise(3.7, 1.2) == pytest.approx(2.5)


def test_a_little_noise_is_no_error() -> None:
    """A fall of 0.3 NTU is the meter, and is kept as it is."""
    assert turbidity_rise(0.7, 1.0) == pytest.approx(-0.3)


def test_a_heated_sample_that_cleared_was_swapped() -> None:
    """A clear fall is refused with the likely slip."""
    with pytest.raises(OutOfRange, match=r"-4 NTU; it must be at least -0\.5\. .*swapped"):
        turbidity_rise(1, 5)


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, 50))
def test_the_start_cancels_out(start: float, rise: float, haze: float) -> None:
    """Haze that was there before heating makes no difference to the rise."""
    clear = turbidity_rise(start + rise, start)
    assert turbidity_rise(start + haze + rise, start + haze) == pytest.approx(clear, abs=1e-9)
