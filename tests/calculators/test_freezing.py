import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.freezing import (
    cellar_rule_for_chilling,
    chill_plan,
    freezing_point,
    lowest_chill_temperature,
    water_turned_to_ice,
)
from hypothesis import given
from hypothesis import strategies as st

ALCOHOL, SUGAR, EXTRACT = st.floats(1, 24), st.floats(0, 290), st.floats(0, 50)


@given(ALCOHOL, SUGAR, EXTRACT, st.floats(0.1, 1))
def test_alcohol_sugar_and_extract_each_lower_the_freezing_point(
    alcohol: float, sugar: float, extract: float, more: float
) -> None:
    """Whatever dissolves lowers it; left out, the answer is on the warm side."""
    here = freezing_point(alcohol, sugar, extract)
    assert freezing_point(alcohol + more, sugar, extract) < here
    assert freezing_point(alcohol, sugar + more, extract) < here
    assert freezing_point(alcohol, sugar, extract + more) < here
    assert here <= freezing_point(alcohol)


def test_water_freezes_at_nought() -> None:
    """With nothing dissolved it is water."""
    assert freezing_point(0) == pytest.approx(0)


def test_a_thin_dry_wine_can_ice_at_the_cellar_rule() -> None:
    """At 12 % the rule says -5.5 C, where ethanol and water alone have begun to freeze."""
    plan = chill_plan(cellar_rule_for_chilling(12), 12)
    assert plan.verdict == "freezes"
    assert plan.ice_percent > 15
    assert "bursts" in plan.why


@pytest.mark.parametrize(("planned", "verdict"), [(-3.0, "safe"), (-4.0, "close"), (-4.5, "freezes")])
def test_a_planned_chill_is_judged_by_the_freezing_point_and_the_margin(planned: float, verdict: str) -> None:
    """At 12 % ice forms from -4.3 C, and a degree above that is the coldest to hold."""
    assert chill_plan(planned, 12).verdict == verdict


@given(ALCOHOL, st.floats(-9.9, -0.01))
def test_ice_leaves_the_rest_just_strong_enough(alcohol: float, wine_c: float) -> None:
    """There is no ice above the freezing point, and below it always less than all of the water."""
    ice = water_turned_to_ice(wine_c, alcohol)
    assert 0 <= ice < 100
    assert (ice > 0) == (wine_c < freezing_point(alcohol))


@given(ALCOHOL, st.floats(0, 5))
def test_the_margin_is_added(alcohol: float, margin: float) -> None:
    """The coldest to hold lies the margin above freezing."""
    lowest = lowest_chill_temperature(alcohol, margin_c=margin)
    assert lowest - freezing_point(alcohol) == pytest.approx(margin)


def test_numbers_that_no_wine_has_are_refused() -> None:
    """Each refusal says what to do."""
    with pytest.raises(OutOfRange, match="need a table"):
        freezing_point(40)
    with pytest.raises(OutOfRange, match="a Brix is about"):
        freezing_point(12, 500)
    with pytest.raises(OutOfRange, match="not for must"):
        cellar_rule_for_chilling(0.5)
    with pytest.raises(OutOfRange, match="down to about -10"):
        water_turned_to_ice(-18, 12)
