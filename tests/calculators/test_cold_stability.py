"""What bitartrate, copper, filters and vessels must do whatever the numbers."""

from __future__ import annotations

import pytest
from diagnose.calculators import OutOfRange, cold_stability, copper, filterability, vessel
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

TEMPERATURES = st.floats(-4, 24)
ALCOHOLS = st.floats(0, 15)
PHS = st.floats(2.8, 4.2)
POTASSIUM = st.floats(100, 2000)
TARTARIC = st.floats(0.5, 6)


@given(TEMPERATURES, ALCOHOLS, st.floats(0.01, 1))
def test_warmth_dissolves_and_alcohol_drives_out(temperature: float, alcohol: float, more: float) -> None:
    """A warmer liquid holds more bitartrate, a stronger one less."""
    here = cold_stability.bitartrate_solubility(temperature, alcohol)
    assert cold_stability.bitartrate_solubility(temperature + more, alcohol) > here
    assert cold_stability.bitartrate_solubility(temperature, alcohol + more) < here


@given(POTASSIUM, TARTARIC, PHS, TEMPERATURES)
def test_no_more_falls_than_there_is(
    potassium: float, tartaric: float, ph: float, temperature: float
) -> None:
    """Neither potassium nor bitartrate falls below nothing, and nothing rises out of the deposit."""
    drop = cold_stability.largest_bitartrate_drop(potassium, tartaric, ph, temperature, 12)
    share = cold_stability.bitartrate_percent(ph, 12) / 100
    assert 0 <= drop <= 188.2 * min(potassium / 39098, tartaric / 150 * share)


@given(POTASSIUM, TARTARIC, PHS, TEMPERATURES)
def test_the_drop_is_the_root_of_its_equation(
    potassium: float, tartaric: float, ph: float, temperature: float
) -> None:
    """The quadratic agrees with a root finder that knows nothing of it (scipy)."""
    drop = cold_stability.largest_bitartrate_drop(potassium, tartaric, ph, temperature, 12)
    k = potassium / 39098.3
    ht = tartaric / 150.087 * cold_stability.bitartrate_percent(ph, 12) / 100
    held = cold_stability.bitartrate_solubility(temperature, 12) / 188.177
    if k * ht <= held**2:
        assert drop == 0
    else:
        root = brentq(lambda x: (k - x) * (ht - x) - held**2, 0, min(k, ht))
        assert drop == pytest.approx(188.177 * root, rel=1e-3, abs=1e-4)


@given(POTASSIUM, TARTARIC, PHS, TEMPERATURES, st.floats(0.1, 3))
def test_colder_never_means_less(
    potassium: float, tartaric: float, ph: float, temperature: float, less: float
) -> None:
    """The colder the cellar, the more can fall."""
    cold = max(-4.0, temperature - less)
    assert cold_stability.largest_bitartrate_drop(
        potassium, tartaric, ph, cold, 12
    ) >= cold_stability.largest_bitartrate_drop(potassium, tartaric, ph, temperature, 12)


@given(st.floats(1500, 3000), st.floats(0, 0.15))
def test_a_verdict_follows_its_lines(before: float, share: float) -> None:
    """Below 3 % stable, to 5 % doubtful, from there unstable."""
    found = cold_stability.conductivity_verdict(before, before * (1 - share))
    wanted = "unstable" if found.drop_percent >= 5 else "doubtful" if found.drop_percent >= 3 else "stable"
    assert found.verdict == wanted


@given(st.floats(500, 3000), st.floats(0, 40), st.floats(0, 40))
def test_conductivity_returns_to_where_it_came_from(reading: float, here: float, there: float) -> None:
    """Turned to another temperature and back it is the reading."""
    turned = cold_stability.conductivity_at(reading, here, there)
    assert cold_stability.conductivity_at(turned, there, here) == pytest.approx(reading)


@given(st.floats(0.01, 1), st.floats(1, 2000))
def test_copper_weighed_is_copper_brought(milligrams: float, litres: float) -> None:
    """The salt weighed for a vessel brings the copper that was asked for."""
    salt = copper.copper_sulfate_g(milligrams, litres)
    assert copper.copper_from_sulfate(1000 * salt / litres) == pytest.approx(milligrams)


@given(st.floats(20, 200), st.floats(20, 300), st.floats(0, 1))
def test_lying_cylinder_agrees_with_slices(diameter: float, length: float, share: float) -> None:
    """The segment of a circle is what its slices add up to (scipy)."""
    depth, radius = share * diameter, diameter / 2
    area, _ = quad(lambda y: 2 * max(0.0, radius**2 - (y - radius) ** 2) ** 0.5, 0, depth, limit=200)
    assert vessel.lying_cylinder_volume_l(diameter, length, depth) == pytest.approx(
        area * length / 1000, rel=1e-4, abs=1e-4
    )


@given(st.floats(0.1, 100), st.floats(1, 2000))
def test_more_air_means_more_oxygen(air: float, litres: float) -> None:
    """Twice the air brings twice the oxygen, and twice the wine shares it out."""
    once = vessel.headspace_oxygen(air, litres)
    assert vessel.headspace_oxygen(2 * air, litres) == pytest.approx(2 * once)
    assert vessel.headspace_oxygen(air, 2 * litres) == pytest.approx(once / 2)


@pytest.mark.parametrize(
    ("sum_", "inputs", "says"),
    [
        (cold_stability.bitartrate_solubility, (28, 12), "28 F is -2.2 C"),
        (cold_stability.bitartrate_solubility, (0, 18), "table ends at 16"),
        (cold_stability.conductivity_drop_percent, (2000, 2100), "sample warmed"),
        (cold_stability.saturation_temperature_at_20_c, (-5,), "only dissolve and raise"),
        (copper.copper_sulfate_g, (2, 20), "ask a laboratory"),
        (filterability.clogging_index, (100, 150), "never runs faster"),
        (filterability.filterability_index, (50, 40, 60, 70), "in order"),
        (vessel.headspace_l, (20, 21), "No vessel holds more"),
        (vessel.barrel_volume_l, (50, 60, 90), "belly is the wider"),
        (vessel.lying_cylinder_volume_l, (50, 60, 51), "deeper than the vessel"),
    ],
)
def test_numbers_that_cannot_be(sum_: object, inputs: tuple[float, ...], says: str) -> None:
    """Each is refused with the sentence a cellar hand needs."""
    with pytest.raises(OutOfRange, match=says):
        sum_(*inputs)  # type: ignore[operator]
