from itertools import pairwise

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.restart import cooling, fitness, protocols, stages
from hypothesis import assume, given
from hypothesis import strategies as st

WINE = st.floats(5, 2000)
ALCOHOL = st.floats(8, 16)
SUGAR = st.floats(3, 80)
COLD = st.floats(5, 28)
STEPS = (protocols.restart_in_steps, protocols.restart_at_once)


def doubling(wine: float, alcohol: float, sugar: float, c: float) -> tuple[stages.RestartStage, ...]:
    """A restart by doubling with a working starter of 25 g/L and 7 % vol."""
    return protocols.restart_by_doubling(wine, alcohol, sugar, c, 25, 7)


@given(WINE, ALCOHOL, SUGAR, COLD)
def test_all_the_wine_ends_up_in_the_restart(wine: float, alcohol: float, sugar: float, c: float) -> None:
    """Each way takes up all the stuck wine, no more, and the last volume is wine with starter."""
    for way in STEPS:
        lines = way(wine, alcohol, sugar, c)
        assert sum(line.wine_added_l for line in lines[1:]) == pytest.approx(wine)
        assert lines[-1].volume_l == pytest.approx(wine + sum(line.water_added_l for line in lines))
    lines = doubling(wine, alcohol, sugar, c)
    assert sum(line.wine_added_l for line in lines[1:]) == pytest.approx(wine)
    assert lines[-1].volume_l == pytest.approx(1.1 * wine)


@given(WINE, ALCOHOL, SUGAR, COLD)
def test_no_sugar_is_lost_or_made(wine: float, alcohol: float, sugar: float, c: float) -> None:
    """Sugar and the alcohol made of it, put together, are those of the wine and of what was weighed in."""
    for way in STEPS:
        lines = way(wine, alcohol, sugar, c)
        before = wine * (alcohol + sugar / 16.83) + sum(line.sugar_added_g for line in lines) / 16.83
        last = lines[-1]
        assert last.volume_l * last.alcohol_when_dry_percent == pytest.approx(before)
    last = doubling(wine, alcohol, sugar, c)[-1]
    before = wine * (alcohol + sugar / 16.83) + 0.1 * wine * (7 + 25 / 16.83)
    assert last.volume_l * last.alcohol_when_dry_percent == pytest.approx(before)


@given(WINE, ALCOHOL, SUGAR, COLD)
def test_the_starter_never_goes_dry_on_the_way(wine: float, alcohol: float, sugar: float, c: float) -> None:
    """In steps and by doubling there is sugar left whenever the next wine goes in."""
    for lines in (protocols.restart_in_steps(wine, alcohol, sugar, c), doubling(wine, alcohol, sugar, c)):
        assert all(line.go_on_at_sugar_g_per_l > 0 for line in lines[:-1])
        assert lines[-1].go_on_at_sugar_g_per_l == 0


@given(WINE, st.floats(10, 16), SUGAR, COLD)
def test_alcohol_rises_step_by_step(wine: float, alcohol: float, sugar: float, c: float) -> None:
    """The yeast meets more alcohol at each step, never the full wine at once."""
    lines = protocols.restart_in_steps(wine, alcohol, sugar, c)
    strengths = [line.alcohol_percent for line in lines[1:]]
    assert strengths == sorted(strengths)
    assert strengths[0] == pytest.approx(alcohol / 2)


@given(st.floats(0.5, 4))
def test_a_larger_vessel_is_the_same_recipe(times: float) -> None:
    """Twice the wine takes twice of everything and gives the same concentrations."""
    one = protocols.restart_in_steps(100, 13, 20, 18)
    more = protocols.restart_in_steps(100 * times, 13, 20, 18)
    for a, b in zip(one, more, strict=True):
        assert b.volume_l == pytest.approx(times * a.volume_l)
        assert b.yeast_g == pytest.approx(times * a.yeast_g)
        assert b.sugar_g_per_l == pytest.approx(a.sugar_g_per_l)


@given(st.floats(0, 40), st.floats(1, 15))
def test_too_cold_a_wine_is_named_and_the_mend_is_enough(wine_c: float, limit: float) -> None:
    """A fall over the limit is said to be too cold, and wine as warm as told keeps within the limit."""
    for line in protocols.restart_in_steps(100, 13, 20, wine_c, largest_fall_c=limit)[2:]:
        assert ("TOO COLD" in line.says) == (line.temperature_fall_c > limit)
    starter = stages.Broth(25, temperature_c=22)
    told = stages.coldest_wine_c(starter, 20, limit)
    mix = stages.mixed(starter, stages.Broth(20, temperature_c=told))
    assert starter.temperature_c - mix.temperature_c == pytest.approx(limit)


@given(st.floats(0.1, 100), st.floats(0.1, 100), st.floats(0, 40), st.floats(0, 40))
def test_a_mix_lies_between_its_parts(a_l: float, b_l: float, a_c: float, b_c: float) -> None:
    """The temperature of a mix lies between those of its parts, whichever is poured into which."""
    one, other = stages.Broth(a_l, temperature_c=a_c), stages.Broth(b_l, temperature_c=b_c)
    mix = stages.mixed(one, other)
    assert min(a_c, b_c) - 1e-9 <= mix.temperature_c <= max(a_c, b_c) + 1e-9
    assert stages.mixed(other, one).temperature_c == pytest.approx(mix.temperature_c)


@given(st.floats(0.1, 10), st.floats(30, 43), st.floats(10, 30), st.floats(1, 10))
def test_cooling_goes_by_no_more_than_a_step(
    litres: float, yeast: float, starter: float, step: float
) -> None:
    """Every stir cools by no more than the step, ends within the gap, and heat is neither lost nor made."""
    assume(starter <= yeast)
    lines = cooling.yeast_cooling(litres, yeast, starter, 10, step)
    for before, after in pairwise(lines):
        assert before.temperature_c - after.temperature_c <= step + 1e-9
        heat = before.volume_l * before.temperature_c + after.starter_added_l * starter
        assert after.volume_l * after.temperature_c == pytest.approx(heat)
    assert lines[-1].gap_c <= 10 + 1e-6
    assert "Near enough" in lines[-1].says


def test_yeast_near_enough_needs_no_cooling() -> None:
    """Yeast within the gap goes in at once."""
    assert len(cooling.yeast_cooling(0.5, 30, 25)) == 1


def test_a_wine_unfit_for_a_restart_is_told_why() -> None:
    """Too much alcohol, volatile acidity and SO2, and too little sugar, are each named with the mend."""
    lines = {line.what: line for line in fitness.restart_fitness(16, 3, 1.4, 45)}
    assert [lines[what].fits for what in ("alcohol", "sugar left", "volatile acidity", "free SO2")] == [
        False
    ] * 4
    assert "deal with them before any restart" in lines["volatile acidity"].says
    assert all(line.fits for line in fitness.restart_fitness(13, 20, 0.5, 10))


def test_a_fall_too_small_for_the_hydrometer_is_not_watched_by_it() -> None:
    """Where little sugar is left between two parts, a sugar test takes the place of the hydrometer."""
    assert "fallen by 12 points" in stages.go_on_words(25)
    assert "sugar test" in stages.go_on_words(2)


def test_the_last_step_is_not_sealed() -> None:
    """Nobody is told to close a working ferment tight."""
    for lines in (protocols.restart_in_steps(100, 13, 20, 18), doubling(100, 13, 20, 18)):
        assert "airlock" in lines[-1].says


def test_a_very_sweet_wine_needs_no_sugar() -> None:
    """Where the wine brings more sugar than the starter should have, none is weighed in."""
    starter = protocols.restart_in_steps(100, 10, 150, 18)[1]
    assert starter.sugar_added_g == 0 and starter.sugar_g_per_l == pytest.approx(75)


def test_impossible_restarts_say_what_to_do() -> None:
    """Steps that leave nothing, half steps, a dry wine and hot yeast are refused with the mend."""
    with pytest.raises(OutOfRange, match="fewer or smaller steps"):
        protocols.restart_in_steps(100, 13, 20, 18, step_percent=50)
    with pytest.raises(OutOfRange, match="whole number"):
        protocols.restart_in_steps(100, 13, 20, 18, steps=1.5)
    with pytest.raises(OutOfRange, match="not stuck"):
        protocols.restart_in_steps(100, 13, 0, 18)
    with pytest.raises(OutOfRange, match=r"0\.4 g/L is 40 g/hL"):
        protocols.restart_in_steps(100, 13, 20, 18, yeast_g_per_hl=450)
    with pytest.raises(OutOfRange, match="5 to 15 %"):
        protocols.restart_by_doubling(100, 13, 20, 18, 20, 8, 0.5)
    with pytest.raises(OutOfRange, match="it dies"):
        cooling.yeast_cooling(1, 50, 20)
