"""The range that the help of a sum tells is the range that the sum keeps."""

from __future__ import annotations

import re
from functools import cache
from itertools import islice, product
from typing import Any

import pytest
from diagnose.calculators import OutOfRange, calculators, worksheets
from diagnose.calculators.registry import Parameter
from test_registry import CELLAR

FAR = 1e9
NUMBER = r"-?\d[\d.e+]*"
TOLD_OF_SOMETHING_ELSE = {
    "bitartrate_from_ta_drop": {15.9},
    "acetaldehyde_share_of_bound_so2": {110.0},
    "alcohol_from_boiled_sample": {0.0, 25.0},
    "alcohol_from_distillate_gravity": {0.0, 25.0},
    "alcohol_with_refractometer": {0.0, 20.0},
    "ph_for_free_so2": {2.5, 4.5},
    "ph_for_free_so2_plain": {2.5, 4.5},
    "ph_from_acids": {1.0, 9.0, 2.5, 7.0},
    "tartaric_for_ph": {20.0},
    "titrant_strength_from_phthalate": {2.0},
    "gravity_from_brix": {0.95, 1.2},
    "gravity_from_extract": {0.95, 1.2},
    "gravity_from_plato": {0.95, 1.2},
    "conductivity_drop_percent": {2.0},
    "settling_from_three_readings": {0.2},
    "largest_bitartrate_drop": {16.0},
    "overpressure_when_warmed": {400.0},
    "sugar_for_overpressure": {400.0},
    "tank_time_constant": {-30.0, 100.0, 200.0},
    "acid_constants": {20.0},
    "conductivity_verdict": {2.0},
    "even_ladder": {2.0, 50.0},
    "geometric_ladder": {2.0, 50.0},
    "refined_ladder": {2.0, 50.0},
    "trial_jars": {1000.0},
    "yeast_cooling": {35.0},
    "fall_rate": {0.97, 1.2},
    "gravity_log": {0.97, 1.2},
    "so2_addition": {0.1},
}
"""What the help tells of the answer, of a difference, on another scale, of an input of the sum it refers to, or of
whole steps; and what a narrower end stands before."""
KEPT_BUT_NOT_TOLD = {
    "acetaldehyde_share_of_bound_so2": {30, 2000},
    "alcohol_by_balling": {0.95, 1.2},
    "alcohol_by_gravity_drop": {0.95, 1.2},
    "alcohol_by_sugar_balance": {0.95, 1.2},
    "alcohol_from_distillate_gravity": {0.969843, 1},
    "alcohol_from_two_gravities": {0.95, 1.2},
    "barrel_volume_l": {50, 1000},
    "bitartrate_from_ta_drop": {20},
    "bitartrate_product": {25},
    "blend_share_percent": {12, 50, FAR},
    "blend_volume_l": {0, 12, 50, FAR},
    "bottle_overpressure": {750},
    "bottle_verdict": {1, 15, 750, FAR},
    "bound_so2": {30, 2000},
    "calcium_tartrate_verdict": {0},
    "clogging_index": {1, 100000},
    "conductivity_at": {20000},
    "conductivity_drop_percent": {2040, 10000},
    "conductivity_verdict": {5, 2040, 10000},
    "copper_in_jar": {20000},
    "copper_sulfate_g": {100},
    "dose_for_vessel": {1},
    "double_salt_plan": {2, 5, 100},
    "double_salt_share_percent": {0, 2, 5, 100},
    "even_ladder": {0, FAR},
    "filterability_class": {1, 100000},
    "filterability_index": {1, 50, 120, 100000},
    "fixed_acidity": {0.624817, 100},
    "fresh_air_per_hour": {420, 2000},
    "full_tank_heat_flow": {-30, 100},
    "full_tank_jacket_heat_flow": {-30, 15, 20, 100},
    "full_tank_wall_heat_flow": {-30, 15, 20, 100},
    "geometric_ladder": {0, FAR},
    "gravity_at_20_c": {0, 0.95, 1.2, 15, 25, 35},
    "gravity_from_brix": {-13.5382, 44.0818},
    "gravity_from_extract": {-128.389, 527.925},
    "gravity_from_plato": {-13.5382, 44.0818},
    "guessing_chance_percent": {0},
    "headspace_l": {23},
    "headspace_oxygen": {100000},
    "heat_to_chill": {15},
    "hours_to_limit": {420, 2000},
    "hours_to_temperature": {-30, 100},
    "ice_to_chill": {15},
    "jacket_wetted_share": {50, FAR},
    "lying_cylinder_volume_l": {50, 1000},
    "measured_buffer_capacity": {12.5},
    "must_scales": {15, 20},
    "nutrient_timing": {0.994},
    "overpressure_when_warmed": {750},
    "ph_after_tartaric_by_buffer": {0.5, 25},
    "potassium_bicarbonate_for_ph": {3.4, 5},
    "potential_alcohol_after_sugar": {0, 1, 15, 20},
    "potential_alcohol_from_gravity": {15, 20},
    "refined_ladder": {0, FAR},
    "restart_at_once": {15, 17.5, 30},
    "restart_by_doubling": {15, 95},
    "restart_in_steps": {15, 30, 95, 150},
    "room_air": {420, 2000, 1000000},
    "settles_with_part_of_jacket": {-30, 15, 20},
    "settling_from_three_readings": {-30, 100},
    "share_fermented_percent": {0.994},
    "stock_ml_for_concentration": {12, FAR},
    "sugar_for_alcohol": {15, 20},
    "sugar_for_overpressure": {750},
    "sugar_left_in_ferment": {0.95, 1.2},
    "ta_from_titration": {FAR},
    "tank_settles_at": {40, 50, 2000, FAR},
    "tank_time_constant": {40, 50, 2000, FAR},
    "tartaric_for_ph": {3.4},
    "tartaric_for_ph_by_rule": {0, 0.5, 3.4},
    "time_constant_from_cooldown": {-30, 100},
    "top_up_bottles": {20, 100000},
    "trial_jars": {2, 100, FAR},
    "turbidity_rise": {-0.5},
    "water_for_dilution_l": {12, FAR},
    "ways_to_reach_cold": {15, 40, 50, 2000, FAR},
}
"""What follows from the other inputs (a starter is not sweeter than its wine, a tank not fuller than its height), what
a sum within the sum keeps, and what the help leaves out because no wine comes near it."""

OWN_LINES = (
    "rescue_above_percent",
    "most_alcohol_percent",
    "least_sugar_g_per_l",
    "most_volatile_acidity_g_per_l",
    "most_free_so2_mg_per_l",
    "sluggish_below_points_per_day",
    "coldest_c",
    "hottest_c",
)
"""Lines that a person draws: any number goes."""
ANY_AMOUNT = {
    "L",
    "mL",
    "g",
    "m3",
    "hours",
    "W/K",
    "L/h",
    "m2",
    "g/hL",
    "lb/1000 US gal",
    "NTU",
    "g/L",
    "cm",
    "days",
}
"""Vessels, powders, rooms and times come as large as one likes; so do doses that are only put into another unit."""


SUMS = {**calculators(), **worksheets()}
A_DOSE_OF_SO2 = {
    "molecular_so2_mg_per_l": 0.6,
    "free_so2_mg_per_l": 10.0,
    "total_so2_mg_per_l": 40.0,
    "ph": 3.4,
    "alcohol_percent": 12.0,
    "volume_l": 23.0,
    "limit_mg_per_l": 200.0,
}
A_LOG = ((0.0, 1.090), (1.0, 1.080), (2.0, 1.062), (3.0, 1.045), (4.0, 1.030))


@cache
def usual(name: str) -> dict[str, Any]:
    """Values of the cellar that a sum takes together, one for each input; what may be left out is left out."""
    if name == "so2_addition":
        return A_DOSE_OF_SO2
    wanted = {one.name: one.unit for one in SUMS[name].parameters if one.required}
    choices = [
        (A_LOG,) if unit == "days and SG" else CELLAR.get(unit, (1.0, 10.0, 100.0))
        for unit in wanted.values()
    ]
    for values in islice(product(*choices), 20_000):
        inputs = dict(zip(wanted, values, strict=True))
        if refusal(name, inputs) is None:
            return inputs
    raise AssertionError(f"{name} takes no values of the cellar")


def refusal(name: str, inputs: dict[str, Any]) -> str | None:
    """What a sum says against these inputs; None where it takes them."""
    try:
        SUMS[name].function(**inputs)
    except OutOfRange as refused:
        return str(refused)
    return None


def numbers(name: str) -> list[Parameter]:
    """The inputs of a sum that are plain numbers with a range."""
    return [one for one in SUMS[name].parameters if one.unit != "days and SG" and one.name not in OWN_LINES]


def told(name: str, seen: tuple[str, ...] = ()) -> set[float]:
    """The ends of the ranges in the help of a sum, those of the sums it refers to among them."""
    text = " ".join((SUMS[name].function.__doc__ or "").split())
    range_told = re.split(r"[Rr]aises|Formula|Source|Default", text.partition("Range:")[2])[0]
    spoken = re.sub(r"(\d) (?=\d{3}\b)", r"\1", re.sub(r"\(.*?\)", "", range_told.split(". ")[0]))
    ends = re.findall(rf"({NUMBER}) to ({NUMBER})|(?:above|at least|at most) ({NUMBER})", spoken)
    found = {float(end.rstrip(".")) for pair in ends for end in pair if end}
    for other in re.findall(r"`(\w+)`", spoken):
        if other in SUMS and other not in (name, *seen):
            found |= told(other, (name, *seen))
    return found


def kept(name: str) -> set[float]:
    """The ends that a sum names when one input after the other is far too small or far too large."""
    good = usual(name)
    found = set()
    for one in numbers(name):
        for far in (-FAR, FAR):
            said = re.search(r"it must be (.*?)\.(?: |$)", refusal(name, {**good, one.name: far}) or "")
            found |= {float(end.rstrip(".")) for end in re.findall(NUMBER, said[1])} if said else set()
    return found


@pytest.mark.parametrize("name", sorted(SUMS))
def test_the_range_in_the_help_is_the_range_that_is_kept(name: str) -> None:
    """Whoever reads `pH 2.5 to 4.5` in the help of a sum is refused at a pH of 2.4 and 4.6, with these ends named."""
    assert told(name) - TOLD_OF_SOMETHING_ELSE.get(name, set()) <= kept(name)


@pytest.mark.parametrize("name", sorted(SUMS))
def test_no_end_is_kept_that_the_help_does_not_tell(name: str) -> None:
    """Nobody is refused at an end that the help did not tell, but for those that stand in the list above."""
    assert kept(name) - told(name) == KEPT_BUT_NOT_TOLD.get(name, set())


@pytest.mark.parametrize("name", sorted(SUMS))
def test_no_input_is_taken_that_no_cellar_has(name: str) -> None:
    """A slip of many zeros is refused, and so is less than nothing; only amounts may be as large as one likes."""
    good = usual(name)
    for one in numbers(name):
        if one.unit != "same unit throughout":
            assert refusal(name, {**good, one.name: -FAR}), f"{one.name} far too small"
        if one.unit not in (*ANY_AMOUNT, "same unit throughout"):
            assert refusal(name, {**good, one.name: FAR}), f"{one.name} far too large"


SHOWN_OTHERWISE = {
    ("dose_for_vessel", "stock_g_per_l"),
    ("powder_strength", "volume_l"),
    ("titrant_strength_from_phthalate", "phthalate_g"),
    ("trial_jars", "high_g_per_l"),
    ("trial_jars", "stock_g_per_l"),
}
"""Inputs that are taken, and only what is made of them is refused, in g/mL or percent."""


@pytest.mark.parametrize("name", sorted(SUMS))
def test_whoever_is_refused_finds_the_number_as_it_was_given(name: str) -> None:
    """A sentence that speaks of a number nobody typed sends people looking in the wrong place."""
    good = usual(name)
    for one in numbers(name):
        for far in (-FAR, FAR):
            said = refusal(name, {**good, one.name: far})
            shown = said is None or f"{FAR:g}" in said or f"{FAR:.0f}" in said
            assert shown or (name, one.name) in SHOWN_OTHERWISE, said


def ends(name: str, one: Parameter) -> set[tuple[str, str, float]]:
    """The range as the refusal of this input words it, and each end of it: `at least`, `more than` or `at most`."""
    found = set()
    for far in (-FAR, FAR):
        said = refusal(name, {**usual(name), one.name: far}) or ""
        if told_of := re.match(rf"The .*? is {re.escape(f'{far:g}')}.*?; it must be (.*?)\.(?: |$)", said):
            in_words = f"it must be {told_of[1]}."
            pairs = re.findall(rf"(at least|more than|at most) ({NUMBER})", told_of[1])
            found |= {(in_words, word, float(end.rstrip("."))) for word, end in pairs}
    return found


@pytest.mark.parametrize("name", sorted(SUMS))
def test_the_end_itself_is_taken_and_a_hair_beyond_it_is_not(name: str) -> None:
    """`At most 25` takes 25 and refuses 25.0025; `more than 0` refuses nothing at all."""
    for one in numbers(name):
        for in_words, word, end in ends(name, one):
            hair = 1e-4 * max(1.0, abs(end))
            outward = hair if word == "at most" else -hair
            assert refusal(name, {**usual(name), one.name: end + outward}), f"{one.name} = {end + outward}"
            # A figure of six digits was rounded for the sentence, so the end itself lies a little to its side.
            rounded = len(f"{abs(end):g}".replace(".", "")) >= 6
            at_end = end - outward if rounded else end
            said = refusal(name, {**usual(name), one.name: at_end}) or ""
            assert (f" is {at_end:g}" in said and in_words in said) is (word == "more than"), said
