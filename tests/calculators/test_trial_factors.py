import math

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import FactorTrial, Level, Pipette, Stock, design_factors
from hypothesis import given
from hypothesis import strategies as st

SYRINGE = Pipette(0.1, 0.01)
CLAY = Level("clay", (0.2, 0.4, 0.8), Stock.made_up(50, 1000), SYRINGE)
SILICA = Level("silica", (0.02, 0.04), Stock.made_up(10, 1000), SYRINGE)

doses = st.lists(st.floats(0.05, 2), min_size=1, max_size=6).map(tuple)
strengths = st.floats(10, 150)


def two(
    clay: tuple[float, ...], silica: tuple[float, ...], strength: float, equal: int, own: bool
) -> FactorTrial:
    """Two ladders, the stock of the first of some strength in g/L."""
    first = Level("clay", clay, Stock.made_up(strength, 1000), SYRINGE)
    second = Level("silica", silica, Stock.made_up(30, 1000), SYRINGE)
    return design_factors([first, second], 100, equal, 7, own_controls=own)


def test_two_agents_share_their_control() -> None:
    """Three doses of clay and two of silica, two jars of each, stand beside two jars of one control."""
    trial = design_factors([CLAY, SILICA], 100, 2, 7)
    assert len(trial.jars) == 12
    assert [(jar.level, jar.letter) for jar in trial.jars if jar.is_control] == [(None, "a"), (None, "b")]
    assert [jar.glass for jar in trial.jars if not jar.is_control] == [1, 1, 2, 2, 3, 3, 4, 4, 5, 5]
    assert trial.wine_needed_ml == 1200


def test_a_second_factor_that_changes_the_wine_has_a_control_at_each_level() -> None:
    """Clay in wine with and without enzyme: without a control of its own the enzyme would pass for clay."""
    with_enzyme = Level("with enzyme", CLAY.doses, CLAY.stock, SYRINGE)
    trial = design_factors([CLAY, with_enzyme], 100, 2, 7, own_controls=True)
    assert [jar.level for jar in trial.jars if jar.is_control] == [0, 0, 1, 1]
    assert trial.stock_needed(0) == trial.stock_needed(1)


def test_more_jars_than_a_kitchen_holds_are_named() -> None:
    """Six doses of two agents, three jars each, is no trial for a kitchen table."""
    wide = Level("clay", (0.1, 0.2, 0.3, 0.4, 0.5, 0.6), CLAY.stock, SYRINGE)
    assert design_factors([wide, SILICA], 100, 3).too_many
    assert not design_factors([CLAY, SILICA], 100, 2).too_many


@pytest.mark.parametrize("equal", [0, 7])
def test_equal_jars_are_one_to_six(equal: int) -> None:
    """None is no trial, and seven fill the house."""
    with pytest.raises(OutOfRange, match="number of equal jars"):
        design_factors([CLAY], 100, equal)


def test_the_same_level_twice_is_refused() -> None:
    """Nobody could tell their jars apart."""
    with pytest.raises(OutOfRange, match="stands twice"):
        design_factors([CLAY, CLAY], 100)


@given(doses, doses, strengths, st.integers(1, 3), st.booleans(), st.integers(0, 10**6))
def test_the_codes_are_a_permutation(
    clay: tuple[float, ...], silica: tuple[float, ...], strength: float, equal: int, own: bool, seed: int
) -> None:
    """Every jar has one code of its own and is tasted once; the same seed draws the same again."""
    first = Level("clay", clay, Stock.made_up(strength, 1000), SYRINGE)
    second = Level("silica", silica, Stock.made_up(30, 1000), SYRINGE)
    trial, again = (design_factors([first, second], 100, equal, seed, own_controls=own) for _ in range(2))
    assert trial.blind is not None
    assert sorted(trial.blind.codes) == sorted(trial.blind.order)
    assert len(set(trial.blind.codes)) == len(trial.jars)
    assert trial.blind == again.blind


@given(doses, doses, strengths, st.integers(1, 3), st.booleans())
def test_wine_stock_and_water_conserve_mass(
    clay: tuple[float, ...], silica: tuple[float, ...], strength: float, equal: int, own: bool
) -> None:
    """What all jars hold is what was poured: the wine, the stocks, the water; and the agent is that of the stocks."""
    trial = two(clay, silica, strength, equal, own)
    stock = [trial.stock_needed(level) for level in range(2)]
    water = math.fsum(jar.sample.water_ml for jar in trial.jars)
    held = math.fsum(jar.sample.final_ml for jar in trial.jars)
    assert held == pytest.approx(trial.wine_needed_ml + sum(stock) + water)
    assert trial.added_ml == pytest.approx(sum(stock) + water)
    for level, design in enumerate(trial.designs):
        agent = math.fsum(jar.sample.dose_given * 0.1 for jar in trial.jars if jar.level == level)
        assert agent == pytest.approx(stock[level] * design.stock.grams_per_unit, abs=1e-9)


@given(doses, doses, strengths, st.integers(1, 3), st.booleans())
def test_every_jar_is_thinned_alike(
    clay: tuple[float, ...], silica: tuple[float, ...], strength: float, equal: int, own: bool
) -> None:
    """The taster finds the agent, never the water: all jars of both agents hold as much liquid."""
    trial = two(clay, silica, strength, equal, own)
    assert len({jar.sample.final_ml for jar in trial.jars}) == 1
    assert all(jar.sample.water_ml >= 0 for jar in trial.jars)


def test_every_jar_gets_as_much_water_as_the_wettest() -> None:
    """The highest dose brings the most stock; plain water makes up the others, so that all are thinned alike."""
    trial = design_factors([CLAY, SILICA], 100, 2, 7)
    wettest = 0.8 * 100 / 50
    assert {round(jar.sample.added_ml, 9) for jar in trial.jars} == {round(wettest, 9)}
