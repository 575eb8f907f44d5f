import pytest
from chempy.properties.water_density_tanaka_2001 import water_density as tanaka
from diagnose.calculators import OutOfRange, hydrometer
from hypothesis import given
from hypothesis import strategies as st

READINGS = st.floats(0.985, 1.13)


@given(READINGS, st.floats(15, 25))
def test_at_its_own_temperature_nothing_changes(reading: float, temperature: float) -> None:
    """A sample as warm as the instrument was made for needs no correction."""
    assert hydrometer.corrected_gravity(reading, temperature, temperature) == pytest.approx(reading)


@given(READINGS, st.floats(8, 34), st.floats(0.1, 1))
def test_the_warmer_the_sample_the_more_is_added(reading: float, temperature: float, warmer: float) -> None:
    """Warm juice is light, so the same reading means more; UC Davis: below 20 C subtract, above it add.

    Below 8 C water and glass turn the rule round by a hair, so it begins there.
    """
    cool = hydrometer.corrected_gravity(reading, temperature)
    assert hydrometer.corrected_gravity(reading, min(temperature + warmer, 35)) > cool
    assert (cool > reading) == (temperature > 20) or temperature == pytest.approx(20)


@pytest.mark.parametrize("temperature", [5, 10, 15, 25, 30, 35])
def test_water_reads_one_after_correction(temperature: float) -> None:
    """What a hydrometer reads in water at any temperature (Tanaka 2001, glass 25e-6) comes out as 1.000."""
    glass = 1 - 25e-6 * (temperature - 20)
    reads = tanaka(273.15 + temperature) / tanaka(293.15) / glass
    assert hydrometer.corrected_gravity(reads, temperature) == pytest.approx(1, abs=2e-5)


@given(st.floats(0.995, 1.12), st.floats(15, 25))
def test_gravity_at_20_is_the_correction_of_a_20_degree_instrument(
    reading: float, temperature: float
) -> None:
    """For an instrument made for 20 C the two sums are one."""
    assert hydrometer.gravity_at_20_c(reading, temperature) == hydrometer.corrected_gravity(
        reading, temperature
    )


def test_sweet_must_and_wine_swell_more_than_water() -> None:
    """The same warmth needs a larger correction in must, and in wine, than in water."""
    water = hydrometer.corrected_gravity(1.0, 30) - 1
    assert hydrometer.corrected_gravity(1.1, 30) - 1.1 > water
    assert hydrometer.corrected_gravity(1.0, 30, alcohol_percent=13) - 1 > water


def test_what_cannot_be_corrected_is_refused() -> None:
    """A hot sample and a temperature that is no instrument's are refused with the mend."""
    with pytest.raises(OutOfRange, match="near 20 C and read again"):
        hydrometer.corrected_gravity(1.09, 45)
    with pytest.raises(OutOfRange, match="printed on the scale"):
        hydrometer.corrected_gravity(1.09, 20, 60)
    with pytest.raises(OutOfRange, match="not 1090"):
        hydrometer.corrected_gravity(1090, 20)
    with pytest.raises(OutOfRange, match="15 to 30 Brix"):
        hydrometer.corrected_brix(60, 20)
