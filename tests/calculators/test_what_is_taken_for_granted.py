"""What a sum takes for granted where a person leaves an input out, and that all sums take the same."""

from __future__ import annotations

import inspect

import pytest
from diagnose.calculators import calculators, worksheets
from test_ranges_as_told import usual

SUMS = {**calculators(), **worksheets()}

TAKEN: dict[str, tuple[float, ...]] = {
    "add_at_sugar_g_per_l": (2,),
    "air_temperature_c": (20,),
    "alcohol_per_brix": (0.6,),
    "alcohol_percent": (0, 12),
    "bottle_l": (0.75,),
    "bottle_ml": (750,),
    "buffer_meq_per_l_per_ph": (40,),
    "calcium_tartrate_fall_percent": (100,),
    "calibration_c": (20,),
    "clay_density_g_per_ml": (2.5,),
    "clay_per_protein": (6,),
    "closed_hours": (24,),
    "closure_moves_bar": (1.5,),
    "coldest_c": (17,),
    "coldest_coolant_c": (-8,),
    "copper_percent": (25.4,),
    "demand_mg_per_g": (0.9,),
    "design_bar": (1,),
    "dry_gravity": (0.994, 0.996),
    "end_point_ph": (8.2,),
    "first_share_percent": (33,),
    "fridge_c": (4,),
    "glass_bursts_bar": (6,),
    "glasses": (3,),
    "go_on_at_percent_of_sugar": (50,),
    "headspace_ml": (10,),
    "heat_kj_per_mol": (100.4,),
    "hold_temperature_c": (20, 22),
    "hottest_c": (30,),
    "hulls_g_per_hl": (30,),
    "ionic_strength_mol_per_l": (0.038, 0.075),
    "largest_fall_c": (10,),
    "largest_gap_c": (10,),
    "last_ammonium_share_percent": (50,),
    "last_organic_share_percent": (67,),
    "least_molecular_so2_mg_per_l": (0.8,),
    "least_sugar_g_per_l": (5,),
    "lees_high_percent": (10,),
    "lees_low_percent": (5,),
    "lees_percent": (10,),
    "level_percent": (5,),
    "limit_c": (26,),
    "lines_change_at": (1.005,),
    "malic_turned_percent": (100,),
    "margin_c": (1,),
    "mark_ml": (0.1,),
    "most_alcohol_percent": (15.5,),
    "most_free_so2_mg_per_l": (30,),
    "most_volatile_acidity_g_per_l": (1,),
    "must_g_per_ml": (1.08,),
    "must_kj_per_kg_k": (3.7,),
    "noise_ntu": (0.5,),
    "nutrient_g_per_hl": (0, 25),
    "offset_c": (12,),
    "outdoor_ppm": (420,),
    "percent_per_c": (2.1,),
    "ph_drop_per_g_per_l": (0.1,),
    "pk": (1.81, 4.76),
    "powder_strength_percent": (100,),
    "purity_percent": (100,),
    "reading_spread": (0.001,),
    "rescue_above_percent": (12,),
    "sample_ml": (100,),
    "sealed_air_bar": (1.01325,),
    "seed_g_per_l": (4,),
    "sluggish_above_points_per_day": (5,),
    "sluggish_below_points_per_day": (2,),
    "smallest_ml": (0.5,),
    "so2_per_oxygen": (4,),
    "solution_percent": (5, 10),
    "stable_percent": (5,),
    "start_g_per_l": (1.2,),
    "starter_alcohol_percent": (8.5,),
    "starter_percent": (5, 7.5, 10),
    "starter_sugar_g_per_l": (17.5, 50),
    "starter_temperature_c": (26,),
    "step_c": (5,),
    "step_percent": (20,),
    "steps": (2, 4, 5),
    "stock_g_per_l": (50,),
    "stock_sulfate_mg_per_l": (40,),
    "strict_percent": (3,),
    "stuck_after_days": (1,),
    "sugar_per_percent_g_per_l": (16.83, 17),
    "sugar_volume_l_per_kg": (0.62,),
    "ta_left_g_per_l": (2,),
    "temperature_c": (15, 20),
    "wait_minutes": (15,),
    "wall_share_percent": (100,),
    "wanted_c": (20,),
    "warmest_c": (30,),
    "water_limit_percent": (1,),
    "water_ml_per_g": (16.7,),
    "wine_in_starter_percent": (50,),
    "wine_kj_per_l_k": (4.15,),
    "yeast_g_per_hl": (20, 45),
}
"""Each input that may be left out, with what is put in its place; two where the sums speak of unlike things, such as
the pK of sulfurous and of sorbic acid, or a density meter and a hydrometer."""

WORKED_OUT = {
    "nitrogen_percent": 100 * 2 * 14.007 / (2 * 14.007 + 9 * 1.008 + 30.974 + 4 * 15.999),
    "stays_free_percent": 200 / 3,
}
"""Nitrogen in diammonium phosphate, (NH4)2HPO4; two thirds of the SO2 given stay free (common practice)."""


SUMS_BY_INPUT: dict[str, list[str]] = {}
for _name, _one in sorted(SUMS.items()):
    for _parameter in _one.parameters:
        if not _parameter.required:
            SUMS_BY_INPUT.setdefault(_parameter.name, []).append(_name)


@pytest.mark.parametrize("name", sorted(SUMS_BY_INPUT))
def test_what_is_left_out_is_taken_alike_by_every_sum(name: str) -> None:
    """A wine of unknown strength has 12 % in every sum that asks, a bottle 750 mL; what is not in the table is none."""
    found = {sums: default_of(sums, name) for sums in SUMS_BY_INPUT[name]}
    table = (WORKED_OUT[name],) if name in WORKED_OUT else TAKEN.get(name, (0,))
    assert sorted(set(found.values())) == pytest.approx(sorted(table), rel=1e-4)
    for sums, default in found.items():
        function, inputs = SUMS[sums].function, usual(sums)
        assert function(**{**inputs, name: default}) == function(**inputs)


def default_of(sums: str, name: str) -> float:
    """What a sum takes where this input is left out."""
    return next(float(one.default) for one in SUMS[sums].parameters if one.name == name)


WORKED = sorted(name for name, one in calculators().items() if one.working)


@pytest.mark.parametrize("name", WORKED)
def test_the_numbers_on_the_way_take_the_same_for_granted(name: str) -> None:
    """Who leaves an input out sees the numbers that its usual value gives, in the line as in the answer."""
    one = calculators()[name]
    assert one.working is not None
    left_out = {given.name: given.default for given in one.parameters if not given.required}
    wanted = {
        given.name: left_out[given.name]
        for given in inspect.signature(one.working).parameters.values()
        if given.name in left_out and given.default is given.empty
    }
    assert one.working(**usual(name), **wanted) == one.working(**usual(name), **left_out)


def test_the_table_names_no_input_that_is_gone() -> None:
    """Each line of the table is about an input that a sum still has."""
    assert not (set(TAKEN) | set(WORKED_OUT)) - set(SUMS_BY_INPUT)
