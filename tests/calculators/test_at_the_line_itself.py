"""What holds for a value that lies on a line itself, and what a small or a missing reading does to a sum."""

from __future__ import annotations

import pytest
from diagnose.calculators import OutOfRange, calculators, call, densities, refractometer
from diagnose.calculators.bottle_pressure.verdict import bottle_verdict
from diagnose.calculators.charge_balance.balance import Wine
from diagnose.calculators.charge_balance.buffering import buffering
from diagnose.calculators.ferment_log.rates import gravity_log
from diagnose.calculators.ferment_log.verdict import ferment_verdict, present_stretch
from diagnose.calculators.refractometer import hydrometer_with_refractometer
from diagnose.calculators.restart.cooling import yeast_cooling
from diagnose.calculators.restart.fitness import restart_fitness
from diagnose.calculators.restart.protocols import restart_at_once, restart_by_doubling, restart_in_steps
from diagnose.calculators.restart.stages import gravity_points_for_sugar
from diagnose.calculators.so2.binding import so2_measure_again
from diagnose.calculators.so2.plan import so2_addition
from diagnose.calculators.sorbate import sorbate_addition
from diagnose.calculators.tank_cooling.curve import hours_to_temperature, temperature_after
from diagnose.calculators.tasting import more_tastings_to_settle
from diagnose.calculators.trial.design import Pipette
from diagnose.calculators.trial.factors import Level, design_factors
from diagnose.calculators.trial.ladder import even_ladder, geometric_ladder
from diagnose.calculators.trial.reading import Measure
from diagnose.calculators.trial.scale import scale_up
from diagnose.calculators.trial.stock import Stock
from diagnose.calculators.trial.sureness import beside_the_spread, by_preference
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import ttest_ind


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


def test_the_tartaric_acid_that_a_salt_would_take_is_told() -> None:
    """10 g/L of bicarbonate falling whole needs 15 g/L (150.087 over 100.115 g/mol, worked by hand)."""
    with pytest.raises(OutOfRange, match=r"would take 15 g/L of tartaric acid"):
        call(
            "ph_after_deacidification",
            ph=3.4,
            tartaric_g_per_l=5,
            malic_g_per_l=2,
            potassium_bicarbonate_g_per_l=10,
            bitartrate_fall_percent=100,
        )


def test_no_more_bitartrate_drops_than_there_is_potassium_for() -> None:
    """A sour wine has acid to spare: what limits the crystals is the potassium, and the sentence tells how much."""
    wine = {"ph": 3.0, "tartaric_g_per_l": 8.0, "malic_g_per_l": 3.0}
    most = call("cation_excess", **wine) * 188.176 / 1000
    assert most < 8 * 188.176 / 150.086
    assert call("ph_after_bitartrate", bitartrate_g_per_l=0.99 * most, **wine) < 3.0
    with pytest.raises(OutOfRange, match=f"at most {most:.3g}"):
        call("ph_after_bitartrate", bitartrate_g_per_l=1.01 * most, **wine)


@pytest.mark.parametrize(("last", "line"), [(1.0051, 5.0), (1.005, 2.0), (1.0049, 2.0)])
def test_the_slow_end_begins_at_the_gravity_that_is_named(last: float, line: float) -> None:
    """5 points a day above 1.005 and 2 from there on (Pambianchi, Modern Home Winemaking)."""
    fell = [(0.0, last + 0.009), (1.0, last + 0.006), (2.0, last + 0.003), (3.0, last)]
    assert ferment_verdict(fell, 20.0).sluggish_under_points_per_day == line


@given(st.floats(1.01, 2.0))
def test_twice_as_cold_as_it_freezes_half_the_water_is_ice(times: float) -> None:
    """What stays liquid is stronger by as much as the water is less, so its freezing point is that much lower."""
    freezing = call("freezing_point", alcohol_percent=12)
    ice = call("water_turned_to_ice", wine_c=times * freezing, alcohol_percent=12)
    assert ice == pytest.approx(100 * (1 - 1 / times))
    assert call("water_turned_to_ice", wine_c=freezing, alcohol_percent=12) == 0


@pytest.mark.parametrize(("fall", "noise"), [(0.49, True), (0.52, False)])
def test_heating_may_clear_a_wine_by_the_noise_of_the_meter_only(fall: float, noise: bool) -> None:
    """Half an NTU is the noise, the strictest limit for a rise (AWRI): more is two samples that were swapped."""
    if noise:
        assert call("turbidity_rise", heated_ntu=2 - fall, unheated_ntu=2) == pytest.approx(-fall)
    else:
        with pytest.raises(OutOfRange, match="swapped"):
            call("turbidity_rise", heated_ntu=2 - fall, unheated_ntu=2)


def test_just_no_sugar_is_not_less_than_none() -> None:
    """Where all the extract is told to be other than sugar, nothing contradicts that; a hair more does."""
    extract = hydrometer_with_refractometer(1.0, 8.0, 0.0).extract_g_per_l
    assert "only a sugar test" in hydrometer_with_refractometer(1.0, 8.0, extract).says
    assert "less other extract" in hydrometer_with_refractometer(1.0, 8.0, extract + 0.1).says


def test_cooling_the_yeast_begins_with_the_yeast_as_it_is() -> None:
    """Before the first step nothing was stirred in and nobody has waited."""
    first, second, *_ = yeast_cooling(1.0, 38.0, 20.0)
    assert (first.step, first.starter_added_l, first.minutes_so_far) == (0, 0, 0)
    assert (first.volume_l, first.gap_c) == (1.0, 18.0)
    assert (second.step, second.minutes_so_far) == (1, 15)


@pytest.mark.parametrize(("wine_c", "colder_by", "warmed"), [(20.75, 1.0, False), (20.6875, 1.05, True)])
def test_a_mix_a_degree_too_cold_is_left_alone(wine_c: float, colder_by: float, warmed: bool) -> None:
    """5 L of starter at 22 C and 20 L of wine: only what a thermometer tells apart asks for warming."""
    part = restart_in_steps(100, 12, 30, wine_c)[2]
    assert part.temperature_fall_c == pytest.approx(colder_by)
    assert part.says.startswith("Bring the mix slowly back to 22 C.") is warmed


def test_a_starter_may_be_dry_when_it_joins() -> None:
    """A starter whose last sugar has gone can still be named."""
    assert restart_by_doubling(100, 12, 30, 18, 0.0, 9)[1].sugar_g_per_l == 0


@pytest.mark.parametrize(("steps", "taken"), [(2, True), (50, True), (51, False), (1, False)])
def test_a_ladder_has_two_to_fifty_steps(steps: int, taken: bool) -> None:
    """The fewest and the most that are named are both taken."""
    for ladder in (even_ladder, geometric_ladder):
        if taken:
            assert len(ladder(0.1, 1.0, steps)) == steps
        else:
            with pytest.raises(OutOfRange, match="2 to 50"):
                ladder(0.1, 1.0, steps)


@pytest.mark.parametrize(
    ("mark", "passes"), [(3.2, True), (3.4, True), (3.3, True), (3.19, False), (3.41, False)]
)
def test_a_jar_at_the_end_of_what_passes_passes(mark: float, passes: bool) -> None:
    """A pH wanted from 3.2 to 3.4 may be either."""
    assert Measure("ph", (3.2, 3.4)).passed(mark) is passes


@given(st.lists(st.floats(0, 20), min_size=2, max_size=5), st.lists(st.floats(0, 20), min_size=2, max_size=5))
def test_the_chance_of_luck_is_students(first: list[float], second: list[float]) -> None:
    """Two sets of equal jars, of any two sizes, are told apart as by the t test of scipy for equal spreads."""
    assume(min(max(one) - min(one) for one in (first, second)) > 0.1)
    sure = beside_the_spread(first, second, [first, second])
    assert sure.luck_percent == pytest.approx(100 * ttest_ind(first, second).pvalue, abs=1e-6)


def test_a_very_little_hydroxide_is_taken_too() -> None:
    """Half a millilitre of 0.1 N in 100 mL for a tenth of a pH is 5 meq/L per pH (worked by hand)."""
    inputs = {"titrant_ml": 0.5, "titrant_mol_per_l": 0.1, "sample_ml": 100.0, "ph_rise": 0.1}
    assert call("measured_buffer_capacity", **inputs) == pytest.approx(5)
    assert call("measured_buffer_capacity", **{**inputs, "sample_ml": 50.0}) == pytest.approx(10)


@pytest.mark.parametrize(("percent", "index"), [(10, 1.34782), (20, 1.36384), (30, 1.38115)])
def test_sugar_bends_light_as_printed(percent: float, index: float) -> None:
    """Indices of sucrose in water at 20 C, ICUMSA, that of water 1.33299 (from memory), to 0.00003."""
    extract = densities.extract_from_sg(densities.sg_from_brix(percent))
    assert 1.33299 + refractometer._bent_by_sugar(extract) == pytest.approx(index, abs=3e-5)


@given(st.floats(1, 50), st.floats(0, 30))
def test_nutrient_goes_by_the_starter_in_every_way(percent: float, dose: float) -> None:
    """The wine is fed only after it has taken off: the dose is for the litres of starter (worked by hand)."""
    few = {"starter_percent": min(percent, 30.0), "nutrient_g_per_hl": dose}
    for lines in (restart_at_once(100, 12, 30, 18, **few), restart_in_steps(100, 12, 30, 18, **few)):
        starter = next(line for line in lines if line.stage == "starter")
        assert starter.nutrient_g == pytest.approx(dose * starter.volume_l / 100)
        assert starter.temperature_fall_c == 0


def test_the_air_over_the_wine_holds_the_oxygen_of_its_volume() -> None:
    """At 15 C a mole takes 23.645 L, of which 20.95 % is oxygen of 32.00 g/mol: 283.5 mg/L (worked by hand)."""
    assert call("headspace_oxygen", headspace_l=1, wine_l=1, temperature_c=15) == pytest.approx(
        283.5, abs=0.2
    )
    working = calculators()["headspace_oxygen"].working
    assert working is not None
    shown = working(headspace_l=1, wine_l=1, temperature_c=15)["oxygen_mg_per_l_of_air"]
    assert shown == pytest.approx(283.5, abs=0.2)


@given(st.floats(0, 300))
def test_sugar_leaves_less_room_for_the_gas(sugar: float) -> None:
    """1.44 per mille less for each g/L: the formula of Reg. (EEC) 2676/90 for carbon dioxide."""
    dry, sweet = (
        call("carbon_dioxide_solubility", wine_c=15, alcohol_percent=12, sugar_left_g_per_l=left)
        for left in (0, sugar)
    )
    assert sweet == pytest.approx(dry * (1 - 0.00144 * sugar))


def test_no_more_than_twenty_grams_of_tartaric_acid_are_reckoned_with() -> None:
    """Whatever pH is wanted: what would take more is refused, and 20 g/L is still told."""
    told = []
    for step in range(100):
        target = 3.4 - 0.01 * step
        try:
            found = call(
                "tartaric_for_ph",
                ph=3.9,
                target_ph=target,
                tartaric_g_per_l=2,
                malic_g_per_l=3,
                volume_l=1,
            )
        except OutOfRange:
            break
        told.append(found)
    assert 19 < max(told) <= 20


@pytest.mark.parametrize("ph", [3.0, 7.0, 10.5])
def test_water_alone_buffers_by_its_own_ions(ph: float) -> None:
    """Far from neutral the ions of water hold the pH too; the slope is that of the charges (worked numerically)."""
    water, hair = Wine({}, {}), 1e-4
    slope = (water.cation_excess(ph + hair) - water.cation_excess(ph - hair)) / (2 * hair)
    assert buffering(water, ph) == pytest.approx(slope, rel=1e-4)


def test_both_wines_of_a_blend_are_looked_at() -> None:
    """Less than nothing of anything is refused, in whichever wine it is told."""
    for first, second, which in ((-1, 10, "first"), (10, -1, "second")):
        with pytest.raises(OutOfRange, match=f"{which} wine"):
            call("blend", value_a=first, volume_a_l=10, value_b=second, volume_b_l=10)


def test_a_log_begins_with_its_first_reading() -> None:
    """Nothing has fallen before it; day and gravity are those that were read."""
    first = gravity_log([(3.0, 1.08), (5.0, 1.06)])[0]
    assert (first.day, first.gravity) == (3.0, 1.08)
    assert (first.fall_points, first.fall_points_per_day, first.falls) == (0, 0, False)
    assert gravity_log([(3.0, 1.08), (5.0, 1.06)])[0].spread_points_per_day == 0


@pytest.mark.parametrize(
    ("noise", "gravities", "level"),
    [
        (0.00141, (1.010, 1.0085, 1.0075, 1.0075), 3),
        (0.00282, (1.010, 1.009, 1.008, 1.007, 1.006), 3),
        (0.00141, (1.010, 1.009, 1.0085, 1.007, 1.0065, 1.006), 6),
    ],
)
def test_a_level_as_long_as_half_of_the_line_counts(
    noise: float, gravities: tuple[float, ...], level: int
) -> None:
    """The later half stands still: that is how the wine is now. A shorter standstill may be the noise of a fall."""
    log = tuple((float(day), gravity) for day, gravity in enumerate(gravities))
    assert present_stretch(log, noise) == log[-level:]


def test_a_chance_of_luck_that_just_meets_the_level_settles_it() -> None:
    """Three pairs right of three are luck one time in eight: at a level of 12.5 % one more than two settles it."""
    assert more_tastings_to_settle(2, 2, 2, 12.5) == 1
    assert more_tastings_to_settle(2, 2, 2, 12.4) == 2


@pytest.mark.parametrize(
    ("right", "of", "word", "more"),
    [(3, 3, "likely", 3), (9, 13, "a coin toss", 4)],
)
def test_luck_up_to_one_in_four_is_called_likely(right: int, of: int, word: str, more: int) -> None:
    """3 of 3 is luck in 25 %, 9 of 13 in 27 % (binomial, worked by hand)."""
    sure = by_preference([1] * right + [2] * (of - right), [2] * right + [1] * (of - right))
    assert (sure.word, sure.more, sure.counted) == (word, more, True)


def test_twenty_four_jars_are_what_a_kitchen_holds() -> None:
    """Five doses and a control, four jars of each, still stand on a table; five of each do not."""
    syringe = Pipette(0.1, 0.01)
    clay = Level("clay", (0.2, 0.4, 0.6, 0.8, 1.0), Stock.made_up(50, 1000), syringe)
    assert len(design_factors([clay], 100, 4).jars) == 24
    assert not design_factors([clay], 100, 4).too_many
    assert design_factors([clay], 100, 5).too_many


def test_a_stock_needs_its_water() -> None:
    """Dry clay is no slurry."""
    with pytest.raises(OutOfRange, match="water in the stock"):
        Stock.weighed(5, 0, 2.5)


def test_sulfite_is_measured_again_on_the_second_the_seventh_and_the_thirtieth_day() -> None:
    """Two days of rest (Regulation (EEC) 2676/90); a week and a month are common practice."""
    assert [line.day for line in so2_measure_again()] == [2, 7, 30]
