import math

import pytest
from diagnose.units import OutOfScale, System, quantities, read_quantity, show_quantity
from hypothesis import given
from hypothesis import strategies as st

SHOWN = [
    (0.4, "dose", "metric", "0.4 g/L"),
    (0.4, "dose", "us", "0.4 g/L"),
    (0.005, "dose", "metric", "5 mg/L"),
    (0.1 + 0.2, "dose", "metric", "0.3 g/L"),
    (30, "trace", "metric", "30 mg/L"),
    (0.15, "volume", "metric", "150 mL"),
    (0.15, "volume", "us", "150 mL"),
    (0.9996, "volume", "metric", "1 L"),
    (0.99949, "volume", "metric", "999 mL"),
    (23, "volume", "metric", "23 L"),
    (12.5, "volume", "us", "3.3 gal"),
    (2254, "volume", "metric", "2254 L"),
    (0, "volume", "metric", "0 L"),
    (1.012, "gravity", "metric", "1.012"),
    (1.01, "gravity", "us", "1.010"),
    (18, "temperature", "metric", "18 °C"),
    (18, "temperature", "us", "64 °F"),
    (18.5, "temperature", "metric", "18.5 °C"),
    (-0.01, "temperature", "metric", "0 °C"),
    (-4, "temperature", "metric", "-4 °C"),
    (3.4, "ph", "metric", "3.40"),
    (12.5, "alcohol", "metric", "12.5 % vol"),
    (11.5, "mass", "metric", "11.5 g"),
    (1500, "mass", "metric", "1.5 kg"),
    (2000, "mass", "us", "4.41 lb"),
    (0.5 / 24, "duration", "metric", "30 minutes"),
    (1 / 24, "duration", "metric", "1 hour"),
    (0.25, "duration", "metric", "6 hours"),
    (2, "duration", "metric", "2 days"),
    (14, "duration", "metric", "14 days"),
    (91.32, "duration", "metric", "3 months"),
    (0, "duration", "us", "0 days"),
    (0.45, "pore_size", "metric", "0.45 µm"),
    (1.5, "pressure", "metric", "1.5 bar"),
    (1.5, "pressure", "us", "21.8 psi"),
    (5.08, "length", "us", "2 in"),
    (1.0, "percent", "metric", "1 %"),
    (7, "count", "metric", "7"),
    (0.5, "turbidity", "metric", "0.5 NTU"),
]


@pytest.mark.parametrize(("value", "quantity", "system", "text"), SHOWN)
def test_values_are_shown_as_the_cellar_reads_them(
    value: float, quantity: str, system: System, text: str
) -> None:
    """A figure has the unit of the house and no digits that nobody can act on."""
    assert show_quantity(value, quantity, system) == text


def test_more_or_fewer_digits_can_be_asked_for() -> None:
    """The caller may ask for more digits, but whole numbers are never rounded away."""
    assert show_quantity(0.123456, "dose", "metric", 2) == "0.12 g/L"
    assert show_quantity(0.123456, "dose", "metric", 5) == "0.12346 g/L"
    assert show_quantity(225, "volume", "metric", 1) == "225 L"
    assert show_quantity(1.01234, "gravity", "metric", 4) == "1.0123"


@given(st.sampled_from(quantities()), st.floats(0.01, 1), st.sampled_from(["metric", "us"]))
def test_what_is_shown_can_be_typed_back(quantity: str, share: float, system: System) -> None:
    """A figure read off one screen and typed into another is the same, to the digits shown."""
    low, high = {"gravity": (0.98, 1.15), "ph": (2.5, 4.5), "alcohol": (0, 20)}.get(quantity, (0, 2000))
    value = low + share * (high - low)
    back = read_quantity(show_quantity(value, quantity, system), quantity, system)
    assert back == pytest.approx(value, rel=0.0055, abs=0.3 if quantity == "temperature" else 0.051)


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_no_screen_ever_shows_a_number_that_is_none(value: float) -> None:
    """A failed sum is an error, not `nan g/L` on a screen."""
    with pytest.raises(OutOfScale):
        show_quantity(value, "dose", "metric")
