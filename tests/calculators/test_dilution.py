import pytest
from diagnose.calculators import OutOfRange, dilution
from hypothesis import given
from hypothesis import strategies as st

AMOUNTS = st.floats(0.01, 1000)


def test_the_added_volume_counts() -> None:
    """1 mL of a 50 g/L stock in 100 mL is 0.495 g/L of the mix, not 0.5 (arithmetic: divide by 101)."""
    assert dilution.concentration_after_addition(50, 1, 100) == pytest.approx(50 / 101)


def test_water_lowers_alcohol() -> None:
    """230 mL of water in 23 L takes a 12.5 % wine to 12.38 % (arithmetic)."""
    assert dilution.diluted(12.5, 23, 0.23) == pytest.approx(12.376, abs=0.001)


def test_the_pearson_square() -> None:
    """10 % and 14 % wine in equal parts give 12 %; three parts to one give 11 % (arithmetic)."""
    assert dilution.blend_share_percent(10, 14, 12) == pytest.approx(50)
    assert dilution.blend_share_percent(10, 14, 11) == pytest.approx(75)
    assert dilution.blend_volume_l(10, 30, 14, 11) == pytest.approx(10)


def test_c1_v1_is_c2_v2() -> None:
    """10 L at 15 % become 12.5 L at 12 % with 2.5 L of water (arithmetic)."""
    assert dilution.water_for_dilution_l(15, 10, 12) == pytest.approx(2.5)


@given(st.floats(0, 5), st.floats(0, 5), st.floats(0.1, 100), AMOUNTS)
def test_the_stock_worked_out_reaches_the_target(
    start: float, rise: float, spare: float, sample: float
) -> None:
    """Adding the stock that was worked out gives the concentration that was asked for."""
    target, stock = start + rise, start + rise + spare
    added = dilution.stock_ml_for_concentration(target, stock, sample, start)
    assert dilution.concentration_after_addition(stock, added, sample, start) == pytest.approx(target)


@given(AMOUNTS, AMOUNTS, st.floats(0.1, 1))
def test_the_water_worked_out_reaches_the_target(start: float, volume: float, share: float) -> None:
    """Adding the water that was worked out gives the concentration that was asked for."""
    water = dilution.water_for_dilution_l(start, volume, start * share)
    assert dilution.diluted(start, volume, water) == pytest.approx(start * share)


@given(st.floats(0, 20), st.floats(0, 20), st.floats(0.01, 0.99), AMOUNTS)
def test_a_blend_made_by_the_square_reaches_the_target(
    a: float, b: float, share: float, volume: float
) -> None:
    """Blending by the square gives the target, which lies between the two wines."""
    target = b + (a - b) * share
    if abs(a - b) < 1e-3:
        return
    other = dilution.blend_volume_l(a, volume, b, target)
    assert dilution.blend(a, volume, b, other) == pytest.approx(target, abs=1e-9)


@given(st.floats(0, 500), AMOUNTS)
def test_dilution_is_a_share(added: float, sample: float) -> None:
    """The added share lies between nothing and all, and its rest is the wine."""
    share = dilution.dilution_percent(added, sample)
    assert 0 <= share < 100
    assert dilution.diluted(100, sample, added) == pytest.approx(100 - share)


@given(st.floats(0.01, 99), AMOUNTS)
def test_the_other_wine_worked_out_is_the_share_that_was_chosen(share: float, volume: float) -> None:
    """What goes to all of this wine is that share of the blend, and both together are what the vessel must hold."""
    other = dilution.blend_volume_for_share_l(volume, share)
    assert dilution.dilution_percent(other, volume) == pytest.approx(share)
    assert dilution.blend_total_for_share_l(volume, share) == pytest.approx(volume + other)


@given(st.floats(0.01, 99), AMOUNTS, st.floats(0, 20), st.floats(0, 20))
def test_a_full_vessel_gives_the_same_blend(share: float, volume: float, a: float, b: float) -> None:
    """Taking the share of the vessel out and putting as much of the other wine in makes the blend of the jars."""
    out = dilution.share_of_volume_l(volume, share)
    other = dilution.blend_volume_for_share_l(volume, share)
    swapped = dilution.blend(a, volume - out, b, out)
    assert swapped == pytest.approx(dilution.blend(a, volume, b, other), abs=1e-9)


@pytest.mark.parametrize("share", [-1, 99.5, 100, 120])
def test_no_blend_is_all_of_the_other_wine(share: float) -> None:
    """A share outside 0 to 99 % is refused with the range and what a share is."""
    with pytest.raises(
        OutOfRange, match=r"share of the other wine is .*at most 99.*part of the finished blend"
    ):
        dilution.blend_volume_for_share_l(80, share)


@pytest.mark.parametrize("target", [9.9, 14.1])
def test_no_blend_reaches_beyond_its_wines(target: float) -> None:
    """A target outside both wines is refused with the range."""
    with pytest.raises(OutOfRange, match="at least 10 and at most 14"):
        dilution.blend_share_percent(10, 14, target)


def test_impossible_dilutions_say_what_to_do() -> None:
    """Equal wines, weak stocks and water that should strengthen are each refused with the mend."""
    with pytest.raises(OutOfRange, match="Choose another wine"):
        dilution.blend_share_percent(12, 12, 12)
    with pytest.raises(OutOfRange, match="stronger stock"):
        dilution.stock_ml_for_concentration(5, 5, 100)
    with pytest.raises(OutOfRange, match="Water only lowers"):
        dilution.water_for_dilution_l(10, 5, 12)
    with pytest.raises(OutOfRange, match="second wine itself"):
        dilution.blend_volume_l(10, 5, 14, 14)
