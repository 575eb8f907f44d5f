import pytest
from diagnose.calculators import OutOfRange, calculators
from diagnose.calculators.alcohol import extract, mixture, two_gravities
from diagnose.calculators.sugar import potential, scales
from hypothesis import given
from hypothesis import strategies as st

WINES = st.floats(0, 25)
STARTS = st.floats(1.05, 1.13)


@given(st.floats(0, 99), st.floats(0.1, 1), st.floats(0, 40))
def test_more_alcohol_is_lighter(alcohol: float, more: float, temperature: float) -> None:
    """At any cellar temperature a stronger mixture weighs less."""
    assert mixture.alcohol_density(alcohol + more, temperature) < mixture.alcohol_density(
        alcohol, temperature
    )


@given(st.floats(5, 100), st.floats(5, 39), st.floats(0.1, 1))
def test_warm_spirit_is_lighter(alcohol: float, temperature: float, warmer: float) -> None:
    """From 5 % vol and 5 C on, warmth makes a mixture lighter; colder and weaker it turns round, as water does."""
    cold, warm = (mixture.alcohol_density(alcohol, t) for t in (temperature, temperature + warmer))
    assert warm < cold


@given(st.floats(0, 99.9))
def test_mass_and_volume_turn_round(alcohol: float) -> None:
    """% vol by mass and back is the same, and the share by mass is the smaller one."""
    by_mass = mixture.alcohol_by_mass(alcohol)
    assert mixture.alcohol_by_volume(by_mass) == pytest.approx(alcohol, abs=1e-6)
    assert by_mass <= alcohol + 1e-6


@given(WINES)
def test_a_distillate_tells_its_alcohol(alcohol: float) -> None:
    """The gravity of a distillate leads back to its alcohol."""
    gravity = min(mixture.alcohol_gravity(alcohol), 1.0)
    assert mixture.alcohol_from_distillate_gravity(gravity) == pytest.approx(alcohol, abs=1e-6)


@given(WINES, st.floats(0, 200))
def test_wine_and_extract_turn_round(alcohol: float, dissolved: float) -> None:
    """The gravity of a wine leads back to its extract, and boiling a sample to its alcohol."""
    gravity = extract.wine_gravity(alcohol, dissolved)
    assert extract.true_extract(gravity, alcohol) == pytest.approx(dissolved, abs=1e-6)
    boiled = max(scales.gravity_from_extract(dissolved), gravity)
    assert mixture.alcohol_from_boiled_sample(gravity, boiled) == pytest.approx(alcohol, abs=1e-4)


@given(st.floats(0.5, 20), st.floats(0, 200))
def test_alcohol_fools_the_hydrometer(alcohol: float, dissolved: float) -> None:
    """With alcohol in it a wine seems to hold less than it does, by about 3.3 to 4.2 g/L for each % vol."""
    hidden = extract.extract_hidden_by_alcohol(extract.wine_gravity(alcohol, dissolved), alcohol)
    assert 2.7 * alcohol < hidden < 4.2 * alcohol


@given(STARTS, st.floats(0, 1))
def test_sugar_is_left_where_the_hydrometer_says_none(start: float, share: float) -> None:
    """There is sugar down to the gravity of dry wine, and more of it than the same gravity means in fresh juice."""
    dry = two_gravities.gravity_when_dry(start)
    now = dry + share * (start - dry)
    sugar = two_gravities.sugar_left_in_ferment(start, now)
    assert sugar > -1e-3
    rest = scales.extract_from_gravity(start) - potential.must_sugar(start)
    assert sugar >= scales.extract_from_gravity(now) - rest - 1e-3


@pytest.mark.parametrize(("start", "sugar"), [(1.08, 10), (1.09, 14.5), (1.1, 19), (1.11, 23)])
def test_gravity_1000_is_not_dry(start: float, sugar: float) -> None:
    """A ferment that reads 1.000 still hides 10 to 23 g/L of sugar (figures from memory, by Tabarie and R22)."""
    assert two_gravities.sugar_left_in_ferment(start, 1.0) == pytest.approx(sugar, abs=0.6)


@given(STARTS, st.floats(0.1, 1), st.floats(0.0005, 0.01))
def test_the_further_it_fell_the_more_alcohol(start: float, share: float, more: float) -> None:
    """Each way finds more alcohol for a larger fall, and none for no fall."""
    now = start - share * (start - 1.005)
    for way in (
        two_gravities.alcohol_by_gravity_drop,
        two_gravities.alcohol_by_balling,
        two_gravities.alcohol_by_sugar_balance,
    ):
        assert way(start, now - more) > way(start, now)
        assert way(start, start) == pytest.approx(0, abs=1e-6)


@given(st.floats(1.06, 1.11))
def test_the_ways_to_the_alcohol_lie_less_than_a_percent_apart(start: float) -> None:
    """In must of table wine that ferments dry, the three ways agree to 1 % vol, Balling's the highest."""
    dry = two_gravities.gravity_when_dry(start)
    found = [line.alcohol_percent for line in two_gravities.alcohol_from_two_gravities(start, dry)]
    assert max(found) - min(found) < 1
    assert max(found) == found[2]


@given(STARTS)
def test_dry_wine_has_the_potential_alcohol(start: float) -> None:
    """At the gravity without sugar the alcohol is all that the must could make."""
    dry = two_gravities.gravity_when_dry(start)
    alcohol = two_gravities.alcohol_by_sugar_balance(start, dry)
    assert alcohol == pytest.approx(potential.potential_alcohol_from_gravity(start), abs=1e-4)
    assert extract.sugar_in_wine(dry, alcohol, 0) == pytest.approx(
        scales.extract_from_gravity(start) - potential.must_sugar(start), abs=1e-3
    )


def test_gravities_that_cannot_be_say_what_to_do() -> None:
    """A ferment that grew heavier, a start that was no must, and proof for % vol are refused with the mend."""
    with pytest.raises(OutOfRange, match="cannot be above the start"):
        two_gravities.alcohol_by_sugar_balance(1.05, 1.06)
    with pytest.raises(OutOfRange, match="Fresh must only"):
        two_gravities.alcohol_by_gravity_drop(1.0, 0.99)
    with pytest.raises(OutOfRange, match="not proof"):
        extract.true_extract(0.99, 40)
    with pytest.raises(OutOfRange, match="volume of the sample"):
        mixture.alcohol_from_boiled_sample(1.01, 1.0)
    with pytest.raises(OutOfRange, match="White wines have about 20"):
        extract.sugar_in_wine(0.99, 12, 200)
    with pytest.raises(OutOfRange, match="not F"):
        mixture.alcohol_density(12, 68)


def test_pure_alcohol_is_all_alcohol() -> None:
    """At 100 % the printed coefficients of OIML R22 meet the 789.24 of the definition to 0.001 kg/m3, no nearer."""
    assert mixture.alcohol_by_mass(100) == pytest.approx(100, abs=0.0005)
    assert mixture.alcohol_by_volume(100) == pytest.approx(100, abs=0.0005)


@given(st.floats(0, 100))
def test_the_density_shown_on_the_way_is_that_of_the_mixture(mass: float) -> None:
    """Whoever checks % vol by hand is given the density of this very mixture."""
    working = calculators()["alcohol_by_volume"].working
    assert working is not None
    assert working(mass_percent=mass)["density"] == pytest.approx(
        mixture.alcohol_density(mixture.alcohol_by_volume(mass)), rel=1e-9
    )
