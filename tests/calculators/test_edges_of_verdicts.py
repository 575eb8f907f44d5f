"""What is said at the very edge of a class, and what a worksheet's lines owe one another."""

from __future__ import annotations

import math

import pytest
from diagnose.calculators import calculators, call
from diagnose.calculators.bottle_pressure.verdict import bottle_verdict
from diagnose.calculators.ferment_log.verdict import ferment_verdict
from diagnose.calculators.filterability import filterability_class
from diagnose.calculators.lysozyme import lysozyme_addition
from diagnose.calculators.restart.fitness import restart_fitness
from diagnose.calculators.restart.protocols import restart_by_doubling
from diagnose.calculators.so2.molecular import free_so2_for_molecular_plain, ph_fall_for_free_so2_plain
from diagnose.calculators.sorbate import sorbate_addition
from hypothesis import given
from hypothesis import strategies as st
from test_registry import cellar_inputs

STEADY = [(0.0, 1.090), (1.0, 1.080), (2.0, 1.070), (3.0, 1.060), (4.0, 1.050)]


@pytest.mark.parametrize(
    ("index", "verdict"),
    [
        (24.9, "easy"),
        (25.0, "fair"),
        (49.9, "fair"),
        (50.0, "poor"),
        (99.9, "poor"),
        (100.0, "not filterable"),
    ],
)
def test_classes_of_filtering_begin_where_they_are_published(index: float, verdict: str) -> None:
    """Below 25 easy, to 50 fair, to 100 poor: Romat 2014, as quoted on a French teaching site."""
    found = filterability_class(100.0, 200.0 + index)
    assert found.clogging_index == pytest.approx(index)
    assert found.verdict.startswith(verdict)


@pytest.mark.parametrize(
    ("must_c", "word"), [(9.9, "colder"), (10.0, "favourable"), (30.0, "favourable"), (30.1, "hotter")]
)
def test_a_must_at_the_line_is_still_favourable(must_c: float, word: str) -> None:
    """A must as warm as the coldest or the hottest that is allowed is neither too cold nor too hot."""
    found = ferment_verdict(STEADY, must_c, coldest_c=10.0, hottest_c=30.0)
    assert word in found.temperature


@pytest.mark.parametrize(("alcohol", "passes"), [(15.5, True), (15.6, False)])
def test_a_wine_at_the_line_can_still_be_restarted(alcohol: float, passes: bool) -> None:
    """The line is the most alcohol that yeast can be grown into, so a wine on that line can be (worked by hand)."""
    said = {line.what: line for line in restart_fitness(alcohol, 20, 0.5, 10)}
    assert said["alcohol"].fits is passes


@given(st.floats(10, 14), st.floats(3.0, 3.5), st.floats(0, 60))
def test_sorbate_given_and_room_left_make_up_the_limit(alcohol: float, ph: float, present: float) -> None:
    """What the wine will hold and what may still go in are together what the law allows, whatever was in it before."""
    sheet = sorbate_addition(alcohol, ph, 23, 0.8, 200, 0, 0, sorbic_acid_present_mg_per_l=present)
    assert sheet.sorbic_acid_after_mg_per_l + sheet.room_left_mg_per_l == pytest.approx(200)


@given(st.floats(0, 40), st.floats(10, 200), st.floats(1, 30))
def test_a_starter_is_fed_by_its_own_size(nutrient: float, wine_l: float, percent: float) -> None:
    """Nutrient is dosed for the starter, not for the wine: g/hL times the hectolitres of starter (worked by hand)."""
    lines = restart_by_doubling(
        wine_l, 12, 20, 18, 100, 9, starter_percent=percent, nutrient_g_per_hl=nutrient
    )
    first = next(line for line in lines if line.nutrient_g or line.stage == "starter")
    assert first.nutrient_g == pytest.approx(nutrient * wine_l * percent / 100 / 100)


def test_a_dose_that_just_fills_the_limit_is_given() -> None:
    """200 mg/L after 300 given fills a limit of 500 exactly (worked by hand); a milligram more is refused."""
    assert lysozyme_addition(200, 23, 500, given_before_mg_per_l=300).refused_because == ""
    assert "over the limit" in lysozyme_addition(201, 23, 500, given_before_mg_per_l=300).refused_because


@given(st.floats(3.0, 3.8), st.floats(0.3, 1.5))
def test_a_wine_with_just_enough_free_so2_needs_no_lower_ph(ph: float, wanted: float) -> None:
    """Where the free that is there is exactly the free that is wanted, the pH need not fall at all."""
    enough = free_so2_for_molecular_plain(wanted, ph)
    if enough <= 500:
        assert ph_fall_for_free_so2_plain(ph, enough, wanted) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("warmest_c", "known"), [(9.9, False), (10.0, True), (30.0, True), (30.1, False)])
def test_gas_in_wine_is_foretold_where_it_was_measured(warmest_c: float, known: bool) -> None:
    """The usual formula for CO2 is said to hold from 10 to 30 C (Vitis 18, 137): beyond, nothing is called safe."""
    found = bottle_verdict(9.0, 12.0, 1.0, warmest_c=warmest_c)
    assert found.range_known is known
    assert found.treat_as == (f"treat as {found.verdict}" if known else "treat as dangerous")


ACIDS = ("malic", "lactic", "citric", "acetic", "succinic")


def test_an_acid_that_is_left_out_is_none_of_it() -> None:
    """Who does not know the lactic acid and leaves it out is not given some: the sums of charges go without."""
    left_out = {
        (name, one.name): one.default
        for name, sum_ in calculators().items()
        if sum_.subject == "charge_balance"
        for one in sum_.parameters
        if one.name.split("_")[0] in ACIDS and one.unit == "g/L" and not one.required
    }
    assert len(left_out) > 30
    assert set(left_out.values()) == {0.0}


EQUATIONS = (
    "alcohol_by_balling",
    "alcohol_by_sugar_balance",
    "gravity_from_brix",
    "gravity_from_extract",
    "gravity_from_plato",
    "ph_from_acids",
)
"""Their line is an equation that the answer fulfils, or has two parts."""


FUNCTIONS = {"log10": math.log10, "ln": math.log, "sqrt": math.sqrt}


def in_figures(formula: str) -> str | None:
    """The line that is shown, as it can be worked; None where it is told in words."""
    line = formula.split(" = ")[-1].replace(" x ", " * ").replace("^", "**")
    try:
        compile(line, "formula", "eval")
    except SyntaxError:
        return None
    return line


LINES = {
    name: line
    for name, one in sorted(calculators().items())
    if name not in EQUATIONS and (line := in_figures(one.formula))
}


def test_most_sums_show_a_line_that_can_be_worked() -> None:
    """A person with a pocket calculator can follow four sums out of five."""
    assert len(LINES) > 0.8 * len(calculators())


@pytest.mark.parametrize("name", LINES)
def test_the_line_that_is_shown_gives_the_answer(name: str) -> None:
    """Whoever works the line that is shown, with the numbers shown in it, comes to the answer, to 2 in 10 000."""
    found = calculators()[name]
    inputs = {one.name: one.default for one in found.parameters} | (cellar_inputs(name) or {})
    numbers = {**inputs, **(found.working(**inputs) if found.working else {}), "e": math.e}
    by_line = eval(LINES[name], {"__builtins__": {}, **FUNCTIONS}, numbers)
    assert by_line == pytest.approx(call(name, **inputs), rel=2e-4, abs=1e-9)
