import math

import pint
import pytest
from chempy import Substance, electrolytes
from diagnose.calculators import OutOfRange
from diagnose.calculators.so2 import additions, binding, constant, molecular, plan
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

PHS = st.floats(2.8, 4.2)
ALCOHOLS = st.floats(0, 20)
TEMPERATURES = st.floats(15, 40)
FREES = st.floats(1, 200)
TARGETS = st.floats(0.2, 2.0)
DOSES = st.floats(1, 300)
VOLUMES = st.floats(5, 2000)
STRENGTHS = st.floats(20, 100)
UNIT = pint.UnitRegistry()


@given(PHS, ALCOHOLS, TEMPERATURES, st.floats(0.01, 0.3))
def test_higher_ph_has_less_molecular(ph: float, alcohol: float, temperature: float, step: float) -> None:
    """The same free sulfur dioxide protects less at a higher pH, by either form."""
    assert molecular.molecular_so2_share(ph + step, alcohol, temperature) < molecular.molecular_so2_share(
        ph, alcohol, temperature
    )
    assert molecular.molecular_so2_share_plain(ph + step) < molecular.molecular_so2_share_plain(ph)


@given(PHS, st.floats(0, 19), st.floats(15, 39), st.floats(0.1, 1))
def test_alcohol_and_warmth_raise_the_molecular_share(
    ph: float, alcohol: float, temperature: float, step: float
) -> None:
    """By the OIV table stronger and warmer wine has more of its free sulfur dioxide in the molecular form."""
    here = molecular.molecular_so2_share(ph, alcohol, temperature)
    assert molecular.molecular_so2_share(ph, alcohol + step, temperature) > here
    assert molecular.molecular_so2_share(ph, alcohol, temperature + step) > here


@given(ALCOHOLS, TEMPERATURES, st.floats(0.001, 0.09), st.floats(0.001, 0.01))
def test_salts_lower_the_constant(alcohol: float, temperature: float, ionic: float, more: float) -> None:
    """Salts draw sulfur dioxide into its charged form, so the constant falls with the ionic strength."""
    assert constant.so2_constant(alcohol, temperature, ionic + more) < constant.so2_constant(
        alcohol, temperature, ionic
    )


@pytest.mark.parametrize(("temperature", "permittivity"), [(20, 80.37), (40, 73.12)])
def test_the_salt_correction_is_that_of_an_outside_library(temperature: float, permittivity: float) -> None:
    """In water the correction agrees with another program's Debye-Hueckel coefficients within 1 %."""
    kelvin = temperature + 273.15
    a = electrolytes.A(permittivity, kelvin, 998.0) / math.log(10)
    b = electrolytes.B(permittivity, kelvin, 998.0) * 4.9e-10
    root = math.sqrt(0.038)
    ours = constant.so2_constant(0, temperature, 0) - constant.so2_constant(0, temperature)
    assert ours == pytest.approx(a * root / (1 + b * root), rel=0.01)


@given(ALCOHOLS, st.floats(0, 5))
def test_below_the_table_its_first_step_is_carried_on(alcohol: float, colder: float) -> None:
    """Below 20 C the thermodynamic constant falls as it rises from 20 to 25, and no further than to 15 C."""
    rise = constant.so2_constant(alcohol, 20 + colder, 0) - constant.so2_constant(alcohol, 20, 0)
    fall = constant.so2_constant(alcohol, 20, 0) - constant.so2_constant(alcohol, 20 - colder, 0)
    assert fall == pytest.approx(rise, abs=1e-9)


@given(FREES, PHS, ALCOHOLS, TEMPERATURES)
def test_molecular_is_what_the_law_of_mass_action_leaves(
    free: float, ph: float, alcohol: float, temperature: float
) -> None:
    """The molecular part solves hydrogen ion x bisulfite / molecular = K, found by an outside root finder."""
    hydrogen, k = 10**-ph, 10 ** -constant.so2_constant(alcohol, temperature)
    solved = brentq(lambda part: hydrogen * (free - part) - k * part, 0, free, xtol=1e-12)
    assert molecular.molecular_so2(free, ph, alcohol, temperature) == pytest.approx(solved, rel=1e-6)


@given(TARGETS, PHS, st.floats(8, 16), TEMPERATURES)
def test_the_free_worked_out_gives_the_target(
    target: float, ph: float, alcohol: float, temperature: float
) -> None:
    """Free worked out for a molecular target gives that target back, and the pH it was worked out for."""
    free = molecular.free_so2_for_molecular(target, ph, alcohol, temperature)
    if free > 500:
        return
    assert molecular.molecular_so2(free, ph, alcohol, temperature) == pytest.approx(target)
    assert molecular.ph_for_free_so2(free, target, alcohol, temperature) == pytest.approx(ph)


@given(TARGETS, PHS)
def test_the_plain_forms_agree_with_one_another(target: float, ph: float) -> None:
    """The plain forms for free, molecular and pH are one equation solved three ways."""
    free = molecular.free_so2_for_molecular_plain(target, ph)
    if free > 500:
        return
    assert molecular.molecular_so2_plain(free, ph) == pytest.approx(target)
    assert molecular.ph_for_free_so2_plain(free, target) == pytest.approx(ph)


@given(FREES, TARGETS, PHS)
def test_a_wine_whose_ph_has_fallen_far_enough_is_protected(free: float, target: float, ph: float) -> None:
    """After the fall of pH that was worked out the free gives the target; with enough free there is no fall."""
    try:
        fall = molecular.ph_fall_for_free_so2(ph, free, target, 12)
    except OutOfRange:
        return
    assert fall >= 0
    after = molecular.molecular_so2(free, ph - fall, 12)
    assert after == pytest.approx(target) if fall > 0 else after >= target * (1 - 1e-9)


def test_the_two_forms_differ_as_published() -> None:
    """At 12 % vol and 20 C the plain form asks for about 1.4 times the free of the OIV form (their constants)."""
    ratio = molecular.free_so2_for_molecular_plain(0.8, 3.5) / molecular.free_so2_for_molecular(0.8, 3.5, 12)
    assert ratio == pytest.approx(10**0.145, rel=0.03)


@pytest.mark.parametrize(
    ("salt", "fraction"),
    [
        ("K2S2O5", additions.SO2_IN_POTASSIUM_METABISULFITE),
        ("Na2S2O5", additions.SO2_IN_SODIUM_METABISULFITE),
    ],
)
def test_the_salts_hold_the_sulfur_dioxide_of_their_formula(salt: str, fraction: float) -> None:
    """The share of sulfur dioxide in each salt is that of an outside table of atomic weights."""
    outside = 2 * Substance.from_formula("SO2").mass / Substance.from_formula(salt).mass
    assert fraction == pytest.approx(outside, rel=2e-4)


@given(DOSES, VOLUMES, STRENGTHS)
def test_powder_weighed_out_brings_its_addition(so2: float, volume: float, strength: float) -> None:
    """Powder worked out for an addition brings that addition, for both salts; the sodium salt weighs less."""
    potassium = additions.potassium_metabisulfite_g(so2, volume, strength)
    sodium = additions.sodium_metabisulfite_g(so2, volume, strength)
    assert additions.so2_from_potassium_metabisulfite(potassium, volume, strength) == pytest.approx(so2)
    assert additions.so2_from_sodium_metabisulfite(sodium, volume, strength) == pytest.approx(so2)
    assert sodium < potassium


@given(DOSES, VOLUMES, STRENGTHS, st.floats(0, 200))
def test_the_strength_of_a_powder_is_found_again(
    so2: float, volume: float, strength: float, before: float
) -> None:
    """A trial addition with a weak powder shows its strength in the rise of the total."""
    grams = additions.potassium_metabisulfite_g(so2, volume, strength)
    found = additions.powder_strength(before, before + so2, grams, volume)
    assert found == pytest.approx(strength)


@given(DOSES, VOLUMES, st.floats(1, 20))
def test_solution_holds_the_powder(so2: float, volume: float, percent: float) -> None:
    """The solution measured out holds the powder that would be weighed, units worked by an outside library."""
    ml = additions.potassium_metabisulfite_solution_ml(so2, volume, percent)
    held = (ml * UNIT.mL) * (percent * 10 * UNIT.g / UNIT.L)
    assert held.to("g").magnitude == pytest.approx(additions.potassium_metabisulfite_g(so2, volume))
    water = (additions.so2_water_ml(so2, volume, 60) * UNIT.mL) * (60 * UNIT.g / UNIT.L)
    assert water.to("mg").magnitude == pytest.approx(
        (so2 * UNIT.mg / UNIT.L * volume * UNIT.L).to("mg").magnitude
    )


@given(st.floats(0, 100), DOSES, st.floats(10, 100))
def test_what_stayed_free_last_time_gives_the_next_addition(free: float, so2: float, share: float) -> None:
    """The share found from one addition, used for the next, raises the free by what was asked."""
    after = binding.free_so2_after_addition(free, so2, share)
    found = binding.share_staying_free(so2, free, after)
    assert found == pytest.approx(share)
    assert binding.addition_to_raise_free_so2(after - free, min(100.0, max(10.0, found))) == pytest.approx(
        so2
    )


def test_a_share_a_little_over_all_of_it_is_all_of_it() -> None:
    """A reading a trifle too high means that all stayed free, no more."""
    assert binding.share_staying_free(30, 10, 41) == 100


def test_measurements_follow_the_addition() -> None:
    """The days to measure on count from the day of the addition and come in order."""
    days = [line.day for line in binding.so2_measure_again(12)]
    assert days == sorted(days)
    assert days[0] == 14
    assert all(line.source for line in binding.so2_measure_again())


def test_an_addition_worked_through() -> None:
    """0.8 at pH 3.5 from 20 free: 20 more by the plain form, 30 to add with a third bound, 5.2 g in 100 L."""
    by_oiv, plain = plan.so2_addition(0.8, 20, 80, 3.5, 12, 100, 200)
    assert plain.free_needed_mg_per_l == pytest.approx(39.98, abs=0.01)
    assert plain.addition_mg_per_l == pytest.approx(29.97, abs=0.02)
    assert plain.potassium_metabisulfite_g == pytest.approx(5.20, abs=0.01)
    assert plain.total_after_mg_per_l == pytest.approx(109.97, abs=0.02)
    assert plain.room_left_mg_per_l == pytest.approx(90.03, abs=0.02)
    assert plain.refused_because == ""
    assert by_oiv.addition_mg_per_l < plain.addition_mg_per_l


def test_an_addition_over_the_limit_is_refused() -> None:
    """At pH 3.9 with 120 total an addition for 0.8 passes 150, and nothing is weighed."""
    for line in plan.so2_addition(0.8, 20, 120, 3.9, 12, 100, 150):
        assert "over the limit of 150" in line.refused_because
        assert "Lower the pH" in line.refused_because
        assert line.potassium_metabisulfite_g == 0
        assert line.room_left_mg_per_l < 0


def test_a_wine_with_little_free_is_warned_of() -> None:
    """With 4 mg/L free the rule of thirds is not to be trusted, and the worksheet says so."""
    assert all("stepwise" in line.mind for line in plan.so2_addition(0.5, 4, 60, 3.5, 12, 100, 200))
    assert all("add nothing" in line.mind for line in plan.so2_addition(0.5, 40, 60, 3.3, 12, 100, 200))


def test_a_wine_already_over_the_limit_shows_it() -> None:
    """The room under a limit falls below 0 when the wine is over it."""
    assert additions.room_under_so2_limit(180, 150) == -30


@pytest.mark.parametrize(
    ("attempt", "sentence"),
    [
        (lambda: molecular.molecular_so2(30, 34, 12), "pH is 34; .*fresh buffers"),
        (lambda: molecular.molecular_so2(30, 3.4, 12, 10), "temperature is 10 C; .*at least 15 .*plain form"),
        (lambda: molecular.molecular_so2(30, 3.4, 22), "alcohol is 22 % vol; .*plain form"),
        (lambda: molecular.molecular_so2(30, 3.4, 12, 20, 0.5), "Leave it out"),
        (lambda: molecular.molecular_so2(-1, 3.4, 12), "at least 0 and at most 500"),
        (lambda: molecular.free_so2_for_molecular(30, 3.4, 12), "a free sulfur dioxide does not belong here"),
        (lambda: molecular.molecular_so2_plain(30, 3.4, 3.1), "1.81 is usual"),
        (lambda: molecular.ph_for_free_so2(1, 0.9, 12), "where no wine is"),
        (lambda: molecular.ph_for_free_so2_plain(400, 0.5), "enough .* at every pH"),
        (lambda: additions.potassium_metabisulfite_g(30, 100, 0.95), "percent of the pure salt"),
        (lambda: additions.potassium_metabisulfite_g(3000, 100), "at most 500"),
        (lambda: additions.potassium_metabisulfite_solution_ml(30, 100, 30), "no stronger"),
        (lambda: additions.so2_water_ml(30, 100, 0.06), "6 % is about 60"),
        (lambda: additions.powder_strength(40, 30, 1, 10), "must rise after an addition"),
        (lambda: additions.powder_strength(0, 67.4, 1, 10), "is it the sodium salt"),
        (lambda: additions.room_under_so2_limit(100, 0), "limit that your law sets"),
        (lambda: binding.bound_so2(20, 30), "holds the free as well"),
        (lambda: binding.acetaldehyde_share_of_bound_so2(100, 60, 20), "cannot hold more than is bound"),
        (lambda: binding.acetaldehyde_share_of_bound_so2(0, 20, 20), "there is no share"),
        (lambda: binding.share_staying_free(30, 20, 15), "measure free and total again"),
        (lambda: binding.share_staying_free(30, 20, 60), "No more than was added"),
        (lambda: binding.addition_to_raise_free_so2(20, 5), "find what binds"),
        (lambda: binding.addition_to_raise_free_so2(20, 0.67), "at least 10"),
        (lambda: binding.so2_measure_again(-1), "first day of your log"),
    ],
)
def test_what_cannot_be_right_is_refused(attempt, sentence) -> None:  # type: ignore[no-untyped-def]
    """Each number that cannot be right is refused with the range and what to do."""
    with pytest.raises(OutOfRange, match=sentence):
        attempt()
