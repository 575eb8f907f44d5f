import pytest
from chempy import Substance
from diagnose.calculators import OutOfRange, sorbate
from hypothesis import given
from hypothesis import strategies as st

ALCOHOLS = st.floats(10, 16)
PHS = st.floats(2.8, 3.5)


def test_the_molar_masses_are_those_of_the_formulas() -> None:
    """Sorbic acid and its potassium salt weigh what an outside table of atomic weights gives."""
    assert Substance.from_formula("C6H8O2").mass == pytest.approx(sorbate.SORBIC_ACID_G_PER_MOL, abs=0.02)
    assert Substance.from_formula("C6H7O2K").mass == pytest.approx(
        sorbate.POTASSIUM_SORBATE_G_PER_MOL, abs=0.02
    )


@given(st.floats(0, 700))
def test_salt_and_acid_turn_into_one_another(acid: float) -> None:
    """Sorbic acid as salt and back is the same amount, and the salt weighs more."""
    salt = sorbate.potassium_sorbate_from_sorbic_acid(acid)
    assert salt >= acid
    assert sorbate.sorbic_acid_from_potassium_sorbate(salt) == pytest.approx(acid)


@given(ALCOHOLS, PHS, st.floats(0, 0.5), st.floats(0, 0.2))
def test_weaker_and_higher_ph_wine_needs_no_less(
    alcohol: float, ph: float, weaker: float, higher: float
) -> None:
    """A wine with less alcohol or a higher pH never needs less sorbate."""
    less_alcohol, more_ph = max(10.0, alcohol - weaker), min(3.5, ph + higher)
    assert sorbate.sorbic_acid_needed(less_alcohol, more_ph) >= sorbate.sorbic_acid_needed(alcohol, ph) - 1e-9


def test_beyond_the_easy_corner_the_table_stands() -> None:
    """At 15.5 % vol and pH 2.9 the dose is the lowest that is tabulated, not less."""
    assert sorbate.sorbic_acid_needed(15.5, 2.9) == pytest.approx(50)


@given(st.floats(2.8, 4.2), st.floats(0.01, 0.3))
def test_ph_costs_sorbate_less_than_it_costs_sulfur_dioxide(ph: float, step: float) -> None:
    """The undissociated share falls with pH, yet most of it stands at any pH of wine."""
    here = sorbate.sorbic_acid_undissociated_share(ph)
    assert sorbate.sorbic_acid_undissociated_share(ph + step) < here
    assert here > 75


@given(st.floats(1, 300), st.floats(1, 2000), st.floats(10, 400))
def test_the_solution_holds_the_powder(acid: float, volume: float, strength: float) -> None:
    """The solution measured out holds the salt that would be weighed."""
    ml = sorbate.potassium_sorbate_solution_ml(acid, volume, strength)
    assert ml * strength / 1000 == pytest.approx(sorbate.potassium_sorbate_g(acid, volume))


def test_a_clear_still_sulfited_wine_gets_its_dose() -> None:
    """12 % vol, pH 3.3, 100 L: 125 mg/L of acid, 16.7 g of salt, 75 mg/L left under a limit of 200."""
    sheet = sorbate.sorbate_addition(12, 3.3, 100, 0.8, 200, 0, 0)
    assert sheet.refused_because == ""
    assert sheet.potassium_sorbate_g == pytest.approx(16.75, abs=0.01)
    assert sheet.room_left_mg_per_l == pytest.approx(75)


def test_what_is_in_the_wine_already_counts() -> None:
    """Sorbate given before is taken off the dose and counted against the limit."""
    sheet = sorbate.sorbate_addition(12, 3.3, 100, 0.8, 200, 0, 0, sorbic_acid_present_mg_per_l=50)
    assert sheet.potassium_sorbate_g == pytest.approx(sorbate.potassium_sorbate_g(75, 100))
    assert sheet.sorbic_acid_after_mg_per_l == pytest.approx(125)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"yeast_working": 1}, "stops no fermentation"),
        ({"malolactic_possible": 1}, "geranium"),
        ({"molecular_so2_mg_per_l": 0.3}, "does not act on bacteria"),
        ({"limit_mg_per_l": 100}, "over the limit of 100"),
    ],
)
def test_sorbate_is_refused_where_it_fails_or_spoils(changed: dict[str, float], sentence: str) -> None:
    """Working yeast, living lactic bacteria, too little sulfur dioxide or too low a limit: nothing is weighed."""
    inputs = {
        "alcohol_percent": 12,
        "ph": 3.3,
        "volume_l": 100,
        "molecular_so2_mg_per_l": 0.8,
        "limit_mg_per_l": 200,
        "yeast_working": 0,
        "malolactic_possible": 0,
    }
    sheet = sorbate.sorbate_addition(**{**inputs, **changed})
    assert sentence in sheet.refused_because
    assert sheet.potassium_sorbate_g == 0


def test_every_reason_is_named() -> None:
    """A wine that is wrong in two ways hears both."""
    sheet = sorbate.sorbate_addition(12, 3.3, 100, 0.8, 200, 1, 1)
    assert "stops no fermentation" in sheet.refused_because
    assert "geranium" in sheet.refused_because


@pytest.mark.parametrize(
    ("attempt", "sentence"),
    [
        (lambda: sorbate.sorbic_acid_needed(9, 3.3), "sterile filtration"),
        (lambda: sorbate.sorbic_acid_needed(18, 3.3), "alcohol keeps the wine"),
        (lambda: sorbate.sorbic_acid_needed(12, 3.7), "above 3.5: lower the pH"),
        (lambda: sorbate.sorbate_addition(12, 3.3, 100, 0.8, 200, 0.5, 0), "When you do not know, give 1"),
        (lambda: sorbate.sorbate_addition(12, 3.3, 100, 30, 200, 0, 0), "molecular form, not the free"),
        (lambda: sorbate.potassium_sorbate_g(200, 100, 0.99), "percent of the pure salt"),
        (lambda: sorbate.potassium_sorbate_solution_ml(200, 100, 600), "100 g/L"),
        (lambda: sorbate.sorbic_acid_undissociated_share(7), "no wine lies outside"),
        (lambda: sorbate.room_under_sorbic_acid_limit(100, 0), "limit of your law"),
        (lambda: sorbate.potassium_sorbate_from_sorbic_acid(-1), "20 g/hL is 200"),
    ],
)
def test_what_cannot_be_right_is_refused(attempt, sentence) -> None:  # type: ignore[no-untyped-def]
    """Each number that cannot be right is refused with what to do."""
    with pytest.raises(OutOfRange, match=sentence):
        attempt()
