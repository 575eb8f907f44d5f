"""What holds for a value that lies on a line itself, and what a small or a missing reading does to a sum."""

from __future__ import annotations

import pytest
from diagnose.calculators import OutOfRange, call
from diagnose.calculators.bottle_pressure.verdict import bottle_verdict
from diagnose.calculators.charge_balance.balance import Wine
from diagnose.calculators.restart.fitness import restart_fitness
from diagnose.calculators.restart.protocols import restart_by_doubling, restart_in_steps
from diagnose.calculators.restart.stages import gravity_points_for_sugar
from diagnose.calculators.so2.plan import so2_addition
from diagnose.calculators.sorbate import sorbate_addition
from diagnose.calculators.tank_cooling.curve import hours_to_temperature, temperature_after
from diagnose.calculators.tasting import more_tastings_to_settle
from diagnose.calculators.trial.scale import scale_up
from diagnose.calculators.trial.stock import Stock
from hypothesis import given
from hypothesis import strategies as st


def test_a_hydroxide_of_twice_normal_is_the_strongest_that_is_taken() -> None:
    """4.0844 g of the salt taken by 10 mL is 2 mol/L (204.22 g/mol, worked by hand); a hair more is a slip."""
    assert call("titrant_strength_from_phthalate", phthalate_g=4.0844, titrant_ml=10) == pytest.approx(2)
    with pytest.raises(OutOfRange, match="Check the grams"):
        call("titrant_strength_from_phthalate", phthalate_g=4.085, titrant_ml=10)


def test_a_closure_moves_from_the_very_pressure_that_moves_it() -> None:
    """A bottle that will stand at just the pressure that moves its closure is not called within its design."""
    warm = bottle_verdict(9.0, 12.0, 1.0).overpressure_when_warm_bar
    at_line = bottle_verdict(9.0, 12.0, 1.0, closure_moves_bar=warm)
    assert at_line.closure.startswith("It may move or come out")
    assert not bottle_verdict(9.0, 12.0, 1.0, closure_moves_bar=warm + 0.01).closure.startswith("It may move")


@pytest.mark.parametrize("above", [9.2, 9.8])
def test_no_wine_has_a_ph_above_nine(above: float) -> None:
    """So many cations are refused: a wine lies between pH 1 and 9."""
    wine = Wine({"acetic": 10.0}, {"acetic": (4.76,)})
    assert wine.ph(wine.cation_excess(8.9)) == pytest.approx(8.9)
    with pytest.raises(OutOfRange, match="between pH 1"):
        wine.ph(wine.cation_excess(above))


@pytest.mark.parametrize(("free", "fits"), [(30.0, True), (30.1, False)])
def test_a_wine_with_just_the_most_sulfite_can_be_restarted(free: float, fits: bool) -> None:
    """The line is the most free SO2 that a starter is still put into, so a wine on the line passes."""
    said = {line.what: line for line in restart_fitness(12, 20, 0.5, free)}
    assert said["free SO2"].fits is fits


@given(st.floats(5, 2000), st.floats(20, 50))
def test_yeast_of_a_restart_is_weighed_for_all_the_wine(wine_l: float, dose: float) -> None:
    """Grams for a hectolitre times the hectolitres of stuck wine, however large the starter (worked by hand)."""
    for lines in (
        restart_in_steps(wine_l, 12, 30, 18, yeast_g_per_hl=dose),
        restart_by_doubling(wine_l, 12, 30, 18, 25, 7, yeast_g_per_hl=dose),
    ):
        assert sum(line.yeast_g for line in lines) == pytest.approx(dose * wine_l / 100)


@pytest.mark.parametrize("percent", [25.0, 50.0, 75.0])
def test_a_starter_goes_on_after_the_fall_that_uses_its_share_of_the_sugar(percent: float) -> None:
    """Words and column tell the same fall: that of the sugar to be used up by then. Nothing has cooled it yet."""
    lines = restart_in_steps(100, 12, 30, 18, go_on_at_percent_of_sugar=percent)
    starter = next(line for line in lines if line.stage == "starter")
    points = gravity_points_for_sugar(starter.sugar_g_per_l * (1 - percent / 100))
    assert starter.gravity_to_fall_points == pytest.approx(points)
    assert f"has fallen by {points:.0f} points" in starter.says
    assert starter.temperature_fall_c == 0


def test_a_wine_over_the_limit_that_needs_no_sulfite_is_refused_nothing() -> None:
    """Where the free is enough nothing is added, so nothing can be refused; the room left tells of the limit."""
    for line in so2_addition(0.5, 40, 250, 3.2, 12, 100, 200):
        assert line.addition_mg_per_l == 0 and line.refused_because == ""
        assert "add nothing" in line.mind and line.room_left_mg_per_l == -50


def test_sorbate_that_just_fills_the_limit_is_given() -> None:
    """200 mg/L under a limit of 200 is within the law; under one of 199 it is over."""
    within = sorbate_addition(12, 3.4, 23, 0.8, 500, 0, 0)
    most = within.sorbic_acid_after_mg_per_l
    assert most > 0
    for limit, over in ((most, False), (most - 1, True)):
        refused = sorbate_addition(12, 3.4, 23, 0.8, limit, 0, 0).refused_because
        assert ("over the limit" in refused) is over


@given(st.floats(0.3, 1.2), st.floats(0.1, 0.9))
def test_the_last_degree_takes_its_time_too(gap: float, share: float) -> None:
    """A tank less than a degree from where it settles still cools, and the curve tells for how long."""
    hours = hours_to_temperature(2 + gap, 2 + share * gap, 2, 15)
    assert hours > 0
    assert temperature_after(2 + gap, 2, 15, hours) == pytest.approx(2 + share * gap)


@pytest.mark.parametrize(("right", "tastings", "more"), [(209, 440, 60), (208, 440, None)])
def test_what_five_hundred_tastings_would_not_settle_is_no_difference(
    right: int, tastings: int, more: int | None
) -> None:
    """Of 440 pairs 209 right, 60 more settle it at the 500th (binomial distribution of scipy); with 208 none do."""
    if more is None:
        with pytest.raises(OutOfRange, match="500 tastings"):
            more_tastings_to_settle(right, tastings, 2)
    else:
        assert more_tastings_to_settle(right, tastings, 2) == more


@pytest.mark.parametrize("lees", [(0.0, 0.5), (0.5, 1.0)])
def test_half_a_percent_may_be_lost_to_the_lees(lees: tuple[float, float]) -> None:
    """A fining that settles tight loses next to nothing."""
    found = scale_up(0.5, 100, Stock.made_up(50, 1000), lees_percent=lees)
    assert (found.lees_low_l, found.lees_high_l) == pytest.approx(lees)
