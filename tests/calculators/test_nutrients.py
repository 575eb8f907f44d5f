import pytest
from chempy import Substance
from diagnose.calculators import OutOfRange, calculators
from diagnose.calculators.nutrients import additions, demand, timing
from hypothesis import given
from hypothesis import strategies as st

SUGAR = st.floats(50, 400)
NITROGEN = st.floats(0, 500)
CONTENT = st.floats(0.5, 50)


@given(SUGAR)
def test_a_greedier_strain_needs_more(sugar: float) -> None:
    """For one must a strain of high demand needs more nitrogen than one of medium, and that more than one of low."""
    low = demand.nitrogen_needed_low_demand(sugar)
    medium = demand.nitrogen_needed_medium_demand(sugar)
    assert low < medium < demand.nitrogen_needed_high_demand(sugar)


@given(SUGAR, st.floats(0.4, 2), st.floats(1.01, 1.5))
def test_a_sweeter_must_needs_more(sugar: float, factor: float, more: float) -> None:
    """The need grows in step with the sugar."""
    if sugar * more <= 400:
        needed = demand.nitrogen_needed(sugar, factor)
        assert demand.nitrogen_needed(sugar * more, factor) == pytest.approx(more * needed)


@given(st.floats(21, 27), st.floats(21, 27))
def test_need_by_brix_never_falls(a: float, b: float) -> None:
    """A must of more Brix never needs less."""
    low, high = sorted((a, b))
    assert demand.nitrogen_needed_by_brix(low) <= demand.nitrogen_needed_by_brix(high) + 1e-9


@pytest.mark.parametrize(
    ("formula", "percent"),
    [
        ("(NH4)2HPO4", additions.DIAMMONIUM_PHOSPHATE_NITROGEN_PERCENT),
        ("(NH4)2SO4", additions.AMMONIUM_SULFATE_NITROGEN_PERCENT),
    ],
)
def test_the_nitrogen_of_a_salt_is_that_of_its_formula(formula: str, percent: float) -> None:
    """The nitrogen content is that of the molar masses of an independent library."""
    assert percent == pytest.approx(100 * 2 * 14.007 / Substance.from_formula(formula).mass, abs=0.02)


@given(NITROGEN, CONTENT)
def test_the_dose_worked_out_brings_the_nitrogen(nitrogen: float, content: float) -> None:
    """Dose and nitrogen are inverse to one another, where the dose is one that could be given."""
    dose = additions.dose_for_nitrogen(nitrogen, content)
    if dose <= 5:
        assert additions.nitrogen_from_dose(dose, content) == pytest.approx(nitrogen)


@given(NITROGEN, NITROGEN, st.floats(0.1, 2000), st.floats(0, 2), st.floats(0, 2), CONTENT)
def test_the_ceiling_is_never_passed(
    measured: float, needed: float, volume: float, ceiling: float, before: float, content: float
) -> None:
    """What is weighed out, with what went in before, never goes over the ceiling, nor over the need."""
    sheet = additions.nutrient_addition(measured, needed, volume, ceiling, content, before)
    assert sheet.dose_g_per_l <= max(0.0, ceiling - before) + 1e-12
    assert sheet.nitrogen_after_mg_per_l <= max(measured, needed) + 1e-6
    assert sheet.weigh_out_g == pytest.approx(sheet.dose_g_per_l * volume)
    assert sheet.held_by_ceiling == (sheet.dose_g_per_l < sheet.dose_wanted_g_per_l)
    lacking = max(0.0, needed - measured)
    assert sheet.still_lacking_mg_per_l + sheet.nitrogen_after_mg_per_l - measured == pytest.approx(
        lacking, abs=1e-6
    )


def test_a_dose_over_the_ceiling_is_cut_and_said_so() -> None:
    """Where the law stops the dose, the sheet says how much stays lacking and forbids going over."""
    sheet = additions.nutrient_addition(80, 300, 23, 0.5)
    assert sheet.held_by_ceiling and sheet.dose_g_per_l == 0.5
    assert "Do not go over it" in sheet.says and "114 mg/L" in sheet.says


def test_a_must_with_enough_gets_nothing() -> None:
    """Nitrogen that is not lacking is not added."""
    sheet = additions.nutrient_addition(250, 200, 23, 0.5)
    assert sheet.weigh_out_g == 0 and "Add nothing" in sheet.says


@given(st.floats(1.02, 1.2), st.floats(0.98, 1.01), st.floats(0, 100))
def test_gravity_and_share_are_two_ways_to_say_one_thing(start: float, dry: float, share: float) -> None:
    """The gravity at a share fermented gives that share back."""
    gravity = timing.gravity_at_share_fermented(start, share, dry)
    gravity = min(start, max(dry, gravity))
    assert timing.share_fermented_percent(start, gravity, dry) == pytest.approx(share, abs=1e-6)


@pytest.mark.parametrize(
    ("gravity", "ammonium", "organic", "words"),
    [(1.06, True, True, "In time"), (1.035, False, True, "ammonium"), (1.01, False, False, "any nitrogen")],
)
def test_nitrogen_comes_too_late_in_two_steps(
    gravity: float, ammonium: bool, organic: bool, words: str
) -> None:
    """First ammonium comes too late, then organic nitrogen too."""
    sheet = timing.nutrient_timing(1.09, gravity)
    assert (sheet.ammonium_in_time, sheet.organic_in_time) == (ammonium, organic)
    assert words in sheet.says
    assert sheet.first_addition_gravity > sheet.last_ammonium_gravity > sheet.last_organic_gravity


def test_impossible_numbers_say_what_to_do() -> None:
    """A slip of the unit is refused with the mend."""
    with pytest.raises(OutOfRange, match="22 Brix is near 210"):
        demand.nitrogen_needed(22)
    with pytest.raises(OutOfRange, match="published figures end there"):
        demand.nitrogen_needed_by_brix(30)
    with pytest.raises(OutOfRange, match=r"30 g/hL is 0\.3"):
        additions.nitrogen_from_diammonium_phosphate(30)
    with pytest.raises(OutOfRange, match="from the label"):
        additions.nitrogen_from_dose(0.3, 0)
    with pytest.raises(OutOfRange, match="between the gravity at the start"):
        timing.share_fermented_percent(1.09, 1.1)
    with pytest.raises(OutOfRange, match=r"22 Brix is 1\.092"):
        timing.gravity_at_share_fermented(1.0, 50)


def test_each_sum_is_listed_under_its_subject() -> None:
    """A cellar hand finds all sums about nitrogen in one place."""
    assert calculators()["nitrogen_needed"].subject == "nutrients"
