import itertools
import math

import pytest
from diagnose.calculators import OutOfRange, bentonite
from diagnose.calculators.trial import Balance, Pipette, Stock, TrialDesign, design_trial
from hypothesis import given
from hypothesis import strategies as st

FIVE_PERCENT = Stock.made_up(grams=50, ml=1000)
FINE = Pipette(smallest_ml=0.1, step_ml=0.01)
IFV_LADDER = tuple(bentonite.dose_from_g_per_hl(dose) for dose in (10, 20, 40, 60, 80, 100))

LADDERS = st.lists(st.floats(0.05, 3), min_size=1, max_size=8)
SAMPLES = st.floats(20, 1000)
STOCKS = st.floats(5, 100).map(lambda grams: Stock.made_up(grams, 1000))


def codes(design: TrialDesign) -> list[tuple[str, int | None]]:
    """The warnings of a design, in short."""
    return [(warning.code, warning.sample) for warning in design.warnings]


def test_the_published_ladder_in_hundred_millilitre_glasses() -> None:
    """The ladder of the IFV sheet on bentonite takes 0.2 to 2 mL of a 5 % slurry in 100 mL (arithmetic)."""
    design = design_trial(IFV_LADDER, 100, FIVE_PERCENT, FINE)
    assert [s.stock_amount for s in design.samples] == pytest.approx([0, 0.2, 0.4, 0.8, 1.2, 1.6, 2.0])
    assert [s.water_ml for s in design.samples] == pytest.approx([2.0, 1.8, 1.6, 1.2, 0.8, 0.4, 0.0])
    assert design.stock_needed == pytest.approx(6.2)
    assert design.wine_needed_ml == pytest.approx(700)
    assert design.warnings == ()


def test_dilution_is_told_with_and_without_the_matching_water() -> None:
    """With water matched every glass is 1.96 % water; without, only the strongest is (2 in 102 mL)."""
    design = design_trial(IFV_LADDER, 100, FIVE_PERCENT, FINE)
    assert {round(s.dilution_percent, 2) for s in design.samples} == {1.96}
    assert design.samples[0].dilution_without_water_percent == 0
    assert design.samples[-1].dilution_without_water_percent == pytest.approx(100 * 2 / 102)
    assert design.samples[-1].in_the_mix == pytest.approx(1 * 100 / 102)
    plain = design_trial(IFV_LADDER, 100, FIVE_PERCENT, FINE, match_water=False)
    assert all(s.water_ml == 0 for s in plain.samples)
    assert plain.samples[1].dilution_percent == pytest.approx(100 * 0.2 / 100.2)


def test_rounding_to_the_marks_is_told_and_warned_of() -> None:
    """0.3 g/L in 50 mL needs 0.3 mL; a pipette marked in 0.2 mL gives 0.4, a third too much."""
    design = design_trial([0.3], 50, FIVE_PERCENT, Pipette(smallest_ml=0.1, step_ml=0.2))
    sample = design.samples[1]
    assert sample.stock_amount == pytest.approx(0.4)
    assert sample.dose_given == pytest.approx(0.4)
    assert sample.rounding_percent == pytest.approx(33.3, abs=0.1)
    assert codes(design) == [("rounding", 1)]


def test_too_little_for_the_pipette_asks_for_a_larger_sample() -> None:
    """0.1 g/L in 50 mL is 0.1 mL; a pipette good from 0.5 mL needs a 250 mL sample."""
    design = design_trial([0.1], 50, FIVE_PERCENT, Pipette(smallest_ml=0.5, step_ml=0.1))
    (warning,) = design.warnings
    assert (warning.code, warning.mend) == ("below_smallest", "larger_sample")
    assert warning.values["sample_ml"] == pytest.approx(250)
    better = design_trial([0.1], warning.values["sample_ml"], FIVE_PERCENT, Pipette(0.5, 0.1))
    assert better.warnings == ()


def test_too_little_even_for_a_large_sample_asks_for_a_weaker_stock() -> None:
    """Where the sample would grow beyond a bottle, the stock is thinned instead."""
    design = design_trial([0.01], 100, FIVE_PERCENT, Pipette(smallest_ml=1, step_ml=0.01))
    (warning,) = design.warnings
    assert (warning.code, warning.mend) == ("below_smallest", "weaker_stock")
    assert warning.values["stock_g_per_l"] == pytest.approx(1.0)
    better = design_trial([0.01], 100, Stock.made_up(1.0, 1000), Pipette(1, 0.01))
    assert "below_smallest" not in dict(codes(better))


def test_the_water_limit_marks_the_doses_it_forbids() -> None:
    """Above 0.5 g/L a 5 % slurry brings more than 1 % water (27 CFR 24.246); 0.5 itself does not."""
    design = design_trial([0.4, 0.5, 0.6], 100, FIVE_PERCENT, FINE, water_limit_percent=1)
    assert codes(design) == [("over_water_limit", 3)]
    assert design.warnings[0].values["stock_g_per_l"] == pytest.approx(60)
    assert codes(design_trial([0.4, 0.5, 0.6], 100, FIVE_PERCENT, FINE)) == []


def test_a_watery_trial_is_marked_once() -> None:
    """2.5 g/L from a 2 % slurry is 11 % water: the whole trial tastes of it."""
    design = design_trial([0.5, 2.5], 100, Stock.made_up(20, 1000), FINE)
    assert codes(design) == [("diluted", None)]


def test_doubled_and_indistinct_doses_are_marked() -> None:
    """The same dose twice, and two doses that a coarse pipette cannot tell apart."""
    assert codes(design_trial([0.5, 0.5], 100, FIVE_PERCENT, FINE)) == [("duplicate_dose", 2)]
    near = design_trial([0.5, 0.51], 100, FIVE_PERCENT, Pipette(0.1, 0.1))
    assert codes(near) == [("same_amount", 2)]


def test_a_ladder_that_starts_above_the_usual_range_is_marked() -> None:
    """A search that begins where others end may miss the least dose."""
    assert codes(design_trial([0.6, 0.8], 100, FIVE_PERCENT, FINE, usual_high=0.5)) == [("above_usual", 1)]
    assert codes(design_trial([0.4, 0.8], 100, FIVE_PERCENT, FINE, usual_high=0.5)) == []


def test_a_weighed_stock_is_weighed_out() -> None:
    """5 g of clay with 95 g of water: 1 g of it in 100 mL is 0.5 g/L and takes 0.97 mL of room."""
    stock = Stock.weighed(agent_g=5, water_g=95, agent_density_g_per_ml=2.5)
    design = design_trial([0.5], 100, stock, Balance(smallest_g=0.1, step_g=0.01))
    assert design.unit == "g"
    assert design.samples[1].stock_amount == pytest.approx(1.0)
    assert design.samples[1].stock_ml == pytest.approx(0.97)
    assert 1000 * stock.grams_per_ml == pytest.approx(bentonite.slurry_g_per_l_weighed(5))


def test_a_pipette_does_not_weigh() -> None:
    """A stock by weight with a pipette is refused with the mend."""
    stock = Stock.weighed(5, 95, 2.5)
    with pytest.raises(OutOfRange, match=r"measured in g.* in mL.*balance"):
        design_trial([0.5], 100, stock, FINE)


@pytest.mark.parametrize("doses", [[], [0], [0.0, 0.0], [-0.1], [math.nan], [500]])
def test_a_trial_without_doses_is_none(doses: list[float]) -> None:
    """A trial needs a real dose, and none that is a slip."""
    with pytest.raises(OutOfRange):
        design_trial(doses, 100, FIVE_PERCENT, FINE)


@given(LADDERS, SAMPLES, STOCKS)
def test_the_control_comes_first_and_doses_rise(doses: list[float], sample_ml: float, stock: Stock) -> None:
    """Whatever ladder is asked for, a control without agent stands first and stock rises with dose."""
    design = design_trial([*doses, 0.0], sample_ml, stock, FINE)
    assert design.samples[0].stock_amount == 0 and design.samples[0].dose_given == 0
    assert len(design.samples) == len(doses) + 1
    assert [s.number for s in design.samples] == list(range(len(doses) + 1))
    for less, more in itertools.pairwise(design.samples):
        assert less.dose_wanted <= more.dose_wanted
        assert less.stock_amount <= more.stock_amount
        assert less.dose_given <= more.dose_given


@given(LADDERS, SAMPLES, STOCKS)
def test_matched_glasses_hold_the_same_water(doses: list[float], sample_ml: float, stock: Stock) -> None:
    """With water matched no glass can be told by its dilution, and none gets less than no water."""
    design = design_trial(doses, sample_ml, stock, FINE)
    assert len({s.dilution_percent for s in design.samples}) == 1
    for sample in design.samples:
        assert sample.water_ml >= 0
        assert sample.stock_ml + sample.water_ml == pytest.approx(sample.added_ml)


@given(LADDERS, SAMPLES, STOCKS)
def test_the_dose_told_is_the_dose_given(doses: list[float], sample_ml: float, stock: Stock) -> None:
    """The dose noted for a glass is the agent in it over the wine in it, within half a mark of the wish."""
    for sample in design_trial(doses, sample_ml, stock, FINE).samples:
        agent_g = sample.stock_amount * stock.grams_per_ml
        assert sample.dose_given == pytest.approx(agent_g / (sample_ml / 1000))
        half_mark = 0.5 * FINE.step_ml * stock.grams_per_ml / (sample_ml / 1000)
        assert abs(sample.dose_given - sample.dose_wanted) <= half_mark * 1.001
