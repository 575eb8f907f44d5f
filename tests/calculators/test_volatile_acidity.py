import pint
import pytest
from diagnose.calculators import OutOfRange, volatile_acidity
from diagnose.calculators.acid import units
from hypothesis import given
from hypothesis import strategies as st

UREG = pint.UnitRegistry()

VA = st.floats(0, 3)


@given(VA)
def test_conversions_and_their_inverses_lose_nothing(va: float) -> None:
    """A volatile acidity taken to sulfuric acid or meq/L and back is the same."""
    assert volatile_acidity.va_from_sulfuric(volatile_acidity.va_to_sulfuric(va)) == pytest.approx(va)
    assert volatile_acidity.va_from_meq(volatile_acidity.va_to_meq(va)) == pytest.approx(va)


@given(VA)
def test_milliequivalents_are_millimoles_of_acetic_acid(va: float) -> None:
    """Acetic acid gives one hydrogen, so meq/L are its mmol/L (pint does the units)."""
    moles = va * UREG.gram / UREG.litre / (60.052 * UREG.gram / UREG.mole)
    assert volatile_acidity.va_to_meq(va) == pytest.approx(moles.to("mmol/L").magnitude)


@given(st.floats(4, 12), VA)
def test_fixed_and_volatile_acid_make_up_the_whole(ta: float, va: float) -> None:
    """In milliequivalents the fixed and the volatile acidity add up to the titratable."""
    fixed = volatile_acidity.fixed_acidity(ta, va)
    assert units.ta_to_meq(fixed) + volatile_acidity.va_to_meq(va) == pytest.approx(units.ta_to_meq(ta))


@given(VA, st.floats(0.5, 2))
def test_the_room_below_a_limit(va: float, limit: float) -> None:
    """Room is what is left; a wine is within the limit as long as the room is not below nothing."""
    sheet = volatile_acidity.va_against_limit(va, limit)
    assert sheet.room_g_per_l == pytest.approx(limit - va)
    assert sheet.within_limit == (sheet.room_g_per_l >= 0)
    assert sheet.percent_of_limit / 100 * limit == pytest.approx(va)


def test_a_wine_on_the_limit_is_within_it() -> None:
    """A limit is the most that is allowed, so a wine that has just that much is within it."""
    assert volatile_acidity.va_against_limit(1.2, 1.2).within_limit
    assert not volatile_acidity.va_against_limit(1.21, 1.2).within_limit


def test_slips_of_the_unit_are_refused() -> None:
    """mg/L given as g/L, and a volatile acidity above the whole acidity, are refused with the mend."""
    with pytest.raises(OutOfRange, match=r"0\.06 g/100 mL is 0\.6 g/L"):
        volatile_acidity.va_to_sulfuric(600)
    with pytest.raises(OutOfRange, match="Volatile acid is a part of it"):
        volatile_acidity.fixed_acidity(0.6, 6)
    with pytest.raises(OutOfRange, match="as acetic acid in g/L"):
        volatile_acidity.va_against_limit(0.6, 0)
    with pytest.raises(OutOfRange, match="about 5 to 20"):
        volatile_acidity.va_from_meq(1000)
