import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.roots import bisect
from hypothesis import given
from hypothesis import strategies as st


@given(st.floats(-5, 5), st.sampled_from([-1.0, 1.0]))
def test_the_crossing_is_found(crossing: float, slope: float) -> None:
    """A rising and a falling line are found where they cross nothing."""
    assert bisect(lambda x: slope * (x - crossing), -6, 6, 1e-9) == pytest.approx(crossing, abs=1e-8)


def test_no_crossing_is_refused() -> None:
    """A sum that never comes to nothing is refused instead of answered."""
    with pytest.raises(OutOfRange, match="no answer between 1 and 2"):
        bisect(lambda x: x, 1, 2, 1e-6)


@pytest.mark.parametrize("end", [0.0, 25.0])
def test_a_crossing_at_an_end_is_that_end(end: float) -> None:
    """Nothing is lost when the answer is the very first or the very last number."""
    assert bisect(lambda x: x - end, 0.0, 25.0, 1e-9) == end
