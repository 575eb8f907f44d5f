import numpy as np
import pytest
from diagnose.calculators import OutOfRange, refractometer
from diagnose.calculators.alcohol import extract
from diagnose.calculators.sugar import scales
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

# Printed indices, from memory: sucrose (ICUMSA, by Brix), alcohol in water (CRC Handbook, by % mass), and the density
# of alcohol in water at 20 C (Perry's handbook, by % mass).
SUGAR = ((0, 5, 10, 15, 20, 25, 30), (1.33299, 1.34026, 1.34782, 1.35568, 1.36384, 1.37233, 1.38115))
ALCOHOL = ((0, 5, 10, 15, 20), (1.3330, 1.3360, 1.3395, 1.3432, 1.3469))
WATER_SPIRIT = ((0, 5, 10, 15, 20), (0.99823, 0.98938, 0.98187, 0.97514, 0.96864))


@given(st.floats(0, 20), st.floats(0, 250))
def test_the_two_instruments_find_the_wine_again(alcohol: float, dissolved: float) -> None:
    """What both instruments would read in a wine leads back to its alcohol and extract."""
    gravity = extract.wine_gravity(alcohol, dissolved)
    brix = refractometer.refractometer_reading(alcohol, dissolved)
    assert refractometer.alcohol_with_refractometer(gravity, brix) == pytest.approx(alcohol, abs=1e-5)
    assert refractometer.extract_with_refractometer(gravity, brix) == pytest.approx(dissolved, abs=1e-4)


@given(st.floats(0.5, 19), st.floats(0, 200), st.floats(0.1, 1))
def test_alcohol_fools_both_instruments(alcohol: float, dissolved: float, more: float) -> None:
    """More alcohol in the same extract reads lower on the hydrometer and higher on the refractometer."""
    assert extract.wine_gravity(alcohol + more, dissolved) < extract.wine_gravity(alcohol, dissolved)
    assert refractometer.refractometer_reading(
        alcohol + more, dissolved
    ) > refractometer.refractometer_reading(alcohol, dissolved)


@given(st.floats(0, 250))
def test_in_fresh_must_they_agree(dissolved: float) -> None:
    """Without alcohol the refractometer shows the Brix of the hydrometer, to 0.03."""
    brix = scales.brix_from_gravity(scales.gravity_from_extract(dissolved))
    assert refractometer.refractometer_reading(0, dissolved) == pytest.approx(brix, abs=0.03)


@pytest.mark.parametrize(("gravity", "brix"), [(0.9914, 6.4), (0.995, 7.0), (1.01, 9.5), (1.04, 14.0)])
def test_another_way_to_the_same_answer(gravity: float, brix: float) -> None:
    """Printed tables read across with straight lines, and another solver, find the same alcohol to 0.3 % vol."""
    seen = np.interp(brix, *SUGAR)

    def off(mass_percent: float) -> float:
        spirit = np.interp(mass_percent, *WATER_SPIRIT)
        sugar_brix = scales.brix_from_gravity(float(gravity - spirit / 0.99823 + 1))
        return float(np.interp(mass_percent, *ALCOHOL) + np.interp(sugar_brix, *SUGAR) - 1.33299 - seen)

    mass_percent = brentq(off, 0, 20)
    percent = mass_percent * float(np.interp(mass_percent, *WATER_SPIRIT)) / 0.78924
    assert refractometer.alcohol_with_refractometer(gravity, brix) == pytest.approx(percent, abs=0.3)


@given(st.floats(0, 30), st.floats(5, 30))
def test_cold_juice_reads_high(brix: float, temperature: float) -> None:
    """Below 20 C something is taken off, above it something added."""
    change = refractometer.corrected_refractometer(brix, temperature) - brix
    assert change * (temperature - 20) >= 0


def test_a_sheet_that_cannot_see_sugar_says_so() -> None:
    """Sugar below nothing is shown as what it is: too much other extract was given."""
    assert "less other extract" in refractometer.hydrometer_with_refractometer(0.9914, 6.4, 30).says
    assert "only a sugar test" in refractometer.hydrometer_with_refractometer(0.9914, 6.4, 15).says


def test_readings_that_no_wine_gives_are_refused() -> None:
    """A pair of readings that means alcohol below nothing, or a slip of the scale, is refused."""
    with pytest.raises(OutOfRange, match="no answer"):
        refractometer.alcohol_with_refractometer(1.09, 10)
    with pytest.raises(OutOfRange, match="Brix scale"):
        refractometer.alcohol_with_refractometer(1.0, 90)
    with pytest.raises(OutOfRange, match="near 20 C"):
        refractometer.corrected_refractometer(20, 40)
    with pytest.raises(OutOfRange, match="Give % vol"):
        refractometer.refractometer_reading(30, 20)
