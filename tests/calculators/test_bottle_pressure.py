import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.bottle_pressure.overpressure import (
    bottle_overpressure,
    overpressure_when_warmed,
    sugar_for_overpressure,
)
from diagnose.calculators.bottle_pressure.solubility import (
    carbon_dioxide_solubility,
    most_dissolved_oxygen,
)
from diagnose.calculators.bottle_pressure.verdict import bottle_verdict
from hypothesis import given
from hypothesis import strategies as st

WARMTH, ALCOHOL, SUGAR = st.floats(-4, 44), st.floats(5, 18), st.floats(0, 30)


@given(WARMTH, ALCOHOL, SUGAR, st.floats(0, 5), st.floats(0, 1.2), st.floats(0, 40), st.floats(0, 3))
def test_the_sugar_worked_out_makes_the_pressure(
    warmth: float, alcohol: float, sugar: float, malic: float, start: float, headspace: float, air: float
) -> None:
    """Pressure from sugar and sugar from pressure lead back to where they began."""
    bottle = (malic, start, headspace, 750.0, air)
    pressure = bottle_overpressure(warmth, alcohol, sugar, *bottle)
    if 0 <= pressure <= 20:
        assert sugar_for_overpressure(pressure, warmth, alcohol, *bottle) == pytest.approx(sugar, abs=1e-8)


@given(WARMTH, WARMTH, ALCOHOL, SUGAR, st.floats(0, 60))
def test_warming_a_bottle_is_the_same_as_filling_it_warm(
    warmth: float, other: float, alcohol: float, sugar: float, headspace: float
) -> None:
    """A gauge read at one temperature tells the pressure at any other."""
    here = bottle_overpressure(warmth, alcohol, sugar, headspace_ml=headspace)
    there = bottle_overpressure(other, alcohol, sugar, headspace_ml=headspace)
    if here <= 20:
        warmed = overpressure_when_warmed(here, warmth, other, alcohol, headspace_ml=headspace)
        assert warmed == pytest.approx(there, rel=1e-9)


@given(WARMTH, ALCOHOL, SUGAR, st.floats(0.1, 5))
def test_more_sugar_more_malic_more_warmth_and_less_headspace_push_harder(
    warmth: float, alcohol: float, sugar: float, more: float
) -> None:
    """Each of them raises the pressure."""
    here = bottle_overpressure(warmth - 0.5, alcohol, sugar)
    assert bottle_overpressure(warmth, alcohol, sugar) > here
    assert bottle_overpressure(warmth - 0.5, alcohol, sugar + more) > here
    assert bottle_overpressure(warmth - 0.5, alcohol, sugar, more) > here
    assert bottle_overpressure(warmth - 0.5, alcohol, sugar, headspace_ml=5) > here


@given(st.floats(-4, 42), ALCOHOL, st.floats(0.1, 2))
def test_cold_wine_holds_more_gas_and_strong_wine_less(warmth: float, alcohol: float, more: float) -> None:
    """Solubility falls with warmth, and with alcohol in the usual formula."""
    here = carbon_dioxide_solubility(warmth, alcohol)
    assert carbon_dioxide_solubility(warmth + more, alcohol) < here
    assert carbon_dioxide_solubility(warmth, alcohol + more) < here


def test_water_holds_what_it_is_known_to_hold() -> None:
    """At 25 C water holds 0.034 mol of CO2 a litre at 1 atm (from memory, Henry's constant of water); the formula of
    the EU is made for wine and may be 6 % off there."""
    ours = carbon_dioxide_solubility(25, 0) * 1.01325 / 44.01
    assert ours == pytest.approx(0.034, rel=0.06)


def test_four_grams_of_sugar_are_an_atmosphere_only_in_the_cold() -> None:
    """4 g/L add about 0.9 bar at 10 C and about 1.35 at 20 C, so warm storage is the danger."""

    def added(warmth: float) -> float:
        return bottle_overpressure(warmth, 12, 4, headspace_ml=0) - bottle_overpressure(
            warmth, 12, 0, headspace_ml=0
        )

    assert added(10) == pytest.approx(0.94, abs=0.05)
    assert added(20) == pytest.approx(1.35, abs=0.02)


def test_a_vacuum_lets_still_wine_suck() -> None:
    """Without air in the headspace, a wine below saturation pulls its cork inwards."""
    assert bottle_overpressure(20, 12, 0, start_g_per_l=0.8, sealed_air_bar=0) < 0


@pytest.mark.parametrize(
    ("sugar", "verdict"), [(0.0, "safe"), (0.7, "doubtful"), (4.0, "dangerous"), (24.0, "dangerous")]
)
def test_a_still_bottle_stands_little_sugar(sugar: float, verdict: str) -> None:
    """A dry bottle is safe, under a gram that ferments is doubtful, four grams are dangerous."""
    found = bottle_verdict(20, 12, sugar)
    assert found.verdict == verdict
    assert found.treat_as == f"treat as {verdict}"


def test_malolactic_alone_takes_a_still_bottle_beyond_its_design() -> None:
    """3 g/L of malic acid make a gram of gas: too much on top of what young wine holds."""
    assert bottle_verdict(20, 12, 0, 3).verdict == "dangerous"
    assert bottle_verdict(20, 12, 0, 0).verdict == "safe"


def test_what_is_not_known_is_treated_as_dangerous() -> None:
    """Beyond the design in glass of unknown strength, or hotter than the formula goes, no kinder word is given."""
    glass = bottle_verdict(20, 12, 0.7, glass_bursts_bar=0)
    assert (glass.verdict, glass.range_known, glass.treat_as) == ("dangerous", False, "treat as dangerous")
    assert "not known" in glass.glass
    hot = bottle_verdict(20, 12, 0, start_g_per_l=0.3, warmest_c=40)
    assert (hot.verdict, hot.range_known, hot.treat_as) == ("safe", False, "treat as dangerous")


def test_a_bottle_made_for_gas_is_judged_by_its_own_strength() -> None:
    """The same 24 g/L are safe in a bottle designed for 9 bar and burst at 30, and burst a still one."""
    strong = {"design_bar": 9.0, "closure_moves_bar": 30.0, "glass_bursts_bar": 36.0}
    assert bottle_verdict(12, 12, 24, warmest_c=25, **strong).verdict == "safe"
    assert "expect it to burst" in bottle_verdict(12, 12, 24).glass


@given(st.floats(0, 20), st.floats(10, 30), st.floats(0, 5))
def test_more_sugar_never_gets_a_kinder_word(sugar: float, warmth: float, more: float) -> None:
    """The verdict only worsens with sugar."""
    order = ["safe", "doubtful", "dangerous"]
    first, second = (bottle_verdict(warmth, 12, amount).verdict for amount in (sugar, sugar + more))
    assert order.index(first) <= order.index(second)


def test_impossible_bottles_are_refused_with_the_mend() -> None:
    """Each refusal says what is wrong and what to give."""
    with pytest.raises(OutOfRange, match=r"Without any sugar .* Take gas out"):
        sugar_for_overpressure(0.2, 20, 12)
    with pytest.raises(OutOfRange, match="less sealed air"):
        overpressure_when_warmed(0.5, 10, 20, 12, sealed_air_bar=3)
    with pytest.raises(OutOfRange, match="warmest the bottle may get"):
        bottle_verdict(25, 12, 0, warmest_c=20)
    with pytest.raises(OutOfRange, match="lower the design"):
        bottle_verdict(20, 12, 0, glass_bursts_bar=2)
    with pytest.raises(OutOfRange, match="headspace"):
        bottle_overpressure(20, 12, 1, headspace_ml=800)
    with pytest.raises(OutOfRange, match="1 g/L is 1000 mg/L"):
        most_dissolved_oxygen(2000)
