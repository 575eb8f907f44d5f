import pytest
from diagnose.calculators import OutOfRange, bentonite
from hypothesis import given
from hypothesis import strategies as st

DOSES = st.floats(0.01, 5)
VOLUMES = st.floats(0.05, 2000)
STRENGTHS = st.floats(5, 150)


@pytest.mark.parametrize(("pounds", "g_per_l"), [(25, 3.0), (2, 0.24), (8, 0.96), (3, 0.36), (60, 7.19)])
def test_doses_as_the_us_law_prints_them(pounds: float, g_per_l: float) -> None:
    """lb/1000 gal and g/L stand side by side in 27 CFR 24.246 (2015); ours agree to the digits printed."""
    places = len(str(g_per_l).partition(".")[2])
    assert round(bentonite.dose_from_lb_per_1000_gal(pounds), places) == g_per_l


@pytest.mark.parametrize(
    ("slurry_ml", "g_per_l", "g_per_hl", "pounds"),
    [(0.5, 0.25, 25, 2.09), (1.0, 0.5, 50, 4.17), (2.0, 1.0, 100, 8.35), (3.0, 1.5, 150, 12.5)],
)
def test_a_bench_table_in_three_units(
    slurry_ml: float, g_per_l: float, g_per_hl: float, pounds: float
) -> None:
    """mL of a 5 % slurry in a 100 mL glass give these doses (arithmetic)."""
    dose = bentonite.dose_from_slurry_ml(slurry_ml, 0.1, 50)
    assert dose == pytest.approx(g_per_l)
    assert bentonite.dose_to_g_per_hl(dose) == pytest.approx(g_per_hl)
    assert bentonite.dose_to_lb_per_1000_gal(dose) == pytest.approx(pounds, abs=0.03)


def test_a_batch_of_23_litres() -> None:
    """0.5 g/L in 23 L from a 5 % slurry: 11.5 g of clay, 230 mL, 1 % water (arithmetic)."""
    assert bentonite.bentonite_grams(0.5, 23) == pytest.approx(11.5)
    assert bentonite.slurry_ml_for_dose(0.5, 23, 50) == pytest.approx(230)
    assert bentonite.water_share_percent(230, 23) == pytest.approx(1.0)


def test_fifty_millilitres_to_the_litre() -> None:
    """50 mL/L of a 5 % slurry is 2.5 g/L, and 3 L at that rate take 150 mL (common practice)."""
    assert bentonite.dose_from_slurry_ml(50, 1, 50) == pytest.approx(2.5)
    assert bentonite.slurry_ml_for_dose(2.5, 3, 50) == pytest.approx(150)


def test_the_published_range_follows_from_the_protein() -> None:
    """10 to 300 mg/L of protein at 6 to 1 gives 60 to 1800 mg/L of clay (Butzke, Purdue FS-53-W)."""
    assert bentonite.clay_for_protein(10) == pytest.approx(60)
    assert bentonite.clay_for_protein(300) == pytest.approx(1800)


def test_the_published_swelling_water_makes_a_six_percent_slurry() -> None:
    """16.7 L/kg is the water of a 60 g/L slurry; 0.6 g/L of clay then brings 1 % (Butzke, FS-53-W)."""
    assert bentonite.swelling_water_ml(60) == pytest.approx(1000, rel=0.005)
    assert bentonite.water_share_percent(bentonite.swelling_water_ml(0.6), 1) == pytest.approx(1, rel=0.005)


@pytest.mark.parametrize(("strength", "cap"), [(50, 0.5), (60, 0.6), (100, 1.0)])
def test_the_water_limit_caps_the_dose(strength: float, cap: float) -> None:
    """1 % water (27 CFR 24.246) allows 0.5, 0.6 and 1.0 g/L from 5, 6 and 10 % slurries (arithmetic)."""
    assert bentonite.largest_dose_under_water_limit(strength) == pytest.approx(cap)
    assert bentonite.weakest_slurry_under_water_limit(cap) == pytest.approx(strength)


def test_wine_held_in_the_lees() -> None:
    """Bentonite lees hold 5 to 10 % of the wine (Tattersall 2001, quoted by Waters & Colby 2009, p. 223)."""
    assert bentonite.LEES_PERCENT == (5, 10)
    assert bentonite.lees_loss_l(100, 5) == pytest.approx(5)
    assert bentonite.lees_loss_l(100) == pytest.approx(10)


def test_the_heat_test_points_at_a_starting_dose() -> None:
    """A rise of 100 NTU calls for 150 g/hL (Winemakers Research Exchange, Pinot gris trial 2015)."""
    assert bentonite.starting_dose_from_heat_test(100) == pytest.approx(1.5)


def test_weighed_and_made_up_slurries_differ_by_three_percent() -> None:
    """5 g of clay with 95 g of water is 51.5 g/L, not 50 (arithmetic; clay of 2.5 g/mL, from memory)."""
    assert bentonite.slurry_g_per_l_made_up(5) == pytest.approx(50)
    assert bentonite.slurry_g_per_l_weighed(5) == pytest.approx(50 / 0.97)
    assert bentonite.slurry_g_for_dose(0.5, 23, 5) == pytest.approx(230)


@given(DOSES, VOLUMES, STRENGTHS)
def test_dose_and_slurry_are_two_ways_to_say_one_thing(dose: float, volume: float, strength: float) -> None:
    """The slurry worked out for a dose gives that dose back."""
    slurry = bentonite.slurry_ml_for_dose(dose, volume, strength)
    assert bentonite.dose_from_slurry_ml(slurry, volume, strength) == pytest.approx(dose)


@given(DOSES)
def test_units_of_dose_return(dose: float) -> None:
    """A dose turned into g/hL or lb/1000 gal and back is the dose."""
    assert bentonite.dose_from_g_per_hl(bentonite.dose_to_g_per_hl(dose)) == pytest.approx(dose)
    back = bentonite.dose_from_lb_per_1000_gal(bentonite.dose_to_lb_per_1000_gal(dose))
    assert back == pytest.approx(dose)


@given(STRENGTHS, VOLUMES, st.floats(0.1, 10))
def test_the_capped_dose_sits_at_the_limit(strength: float, volume: float, limit: float) -> None:
    """The largest dose allowed brings exactly the water allowed."""
    dose = bentonite.largest_dose_under_water_limit(strength, limit)
    slurry = bentonite.slurry_ml_for_dose(dose, volume, strength)
    assert bentonite.water_share_percent(slurry, volume) == pytest.approx(limit)


@given(DOSES, VOLUMES, st.floats(1, 15), st.floats(1.6, 3.4))
def test_weighing_and_measuring_a_slurry_agree(
    dose: float, volume: float, percent: float, density: float
) -> None:
    """The same slurry by weight and by volume carries the same clay."""
    grams = bentonite.slurry_g_for_dose(dose, volume, percent)
    by_volume = bentonite.slurry_ml_for_dose(dose, volume, bentonite.slurry_g_per_l_weighed(percent, density))
    slurry_density = 100 / (percent / density + 100 - percent)
    assert by_volume * slurry_density == pytest.approx(grams)


def test_a_slip_of_the_unit_is_caught() -> None:
    """50 typed as g/L where g/hL was meant never becomes a dose."""
    with pytest.raises(OutOfRange, match=r"dose is 50 g/L; it must be .*at most 20\. .*50 g/hL is 0\.5 g/L"):
        bentonite.bentonite_grams(50, 23)
    with pytest.raises(OutOfRange, match="volume of wine is 0 L; it must be more than 0"):
        bentonite.bentonite_grams(0.5, 0)
