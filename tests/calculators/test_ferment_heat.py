import math

import pytest
from chempy import Substance
from diagnose.calculators import OutOfRange
from diagnose.calculators.ferment_heat import gas, heat
from hypothesis import given
from hypothesis import strategies as st
from pint import UnitRegistry
from scipy.integrate import solve_ivp

SUGAR = st.floats(0, 400)
UNITS = UnitRegistry()


def test_the_molar_masses_are_those_of_the_formulas() -> None:
    """Sugar and carbon dioxide weigh what an independent library says."""
    assert pytest.approx(Substance.from_formula("C6H12O6").mass, abs=0.01) == heat.HEXOSE_G_PER_MOL
    assert pytest.approx(Substance.from_formula("CO2").mass, abs=0.01) == gas.CARBON_DIOXIDE_G_PER_MOL


@given(st.floats(1, 2000), st.floats(0, 200))
def test_power_is_heat_in_a_second(volume: float, sugar: float) -> None:
    """The watts are the kilojoules of a day, by an independent library of units."""
    a_day = heat.fermentation_heat(sugar) * volume * UNITS.kilojoule / UNITS.day
    assert heat.fermentation_power(volume, sugar) == pytest.approx(a_day.to("watt").magnitude)


@given(SUGAR)
def test_a_tank_never_warms_more_than_without_loss(sugar: float) -> None:
    """The rule with its losses gives less warming than no loss at all."""
    assert heat.warming_in_a_tank(sugar) <= heat.warming_without_loss(sugar)


@given(SUGAR, st.floats(-10, 45))
def test_the_gas_weighs_what_the_mass_says(sugar: float, air_c: float) -> None:
    """Volume times the density of the gas at that temperature is the mass, by an independent gas constant."""
    molar = (
        UNITS.molar_gas_constant * UNITS.Quantity(air_c + 273.15, "kelvin") / UNITS.standard_atmosphere
    ).to("L/mol")
    mass = gas.carbon_dioxide_volume(sugar, air_c) / molar.magnitude * gas.CARBON_DIOXIDE_G_PER_MOL
    assert mass == pytest.approx(gas.carbon_dioxide_mass(sugar), rel=1e-5, abs=1e-9)


@given(st.floats(1, 500), st.floats(10, 500), st.floats(1000, 100000))
def test_a_closed_room_reaches_the_limit_when_told(flow: float, room: float, limit: float) -> None:
    """After the hours that were worked out the closed room is at the limit."""
    hours = gas.hours_to_limit(flow, room, limit)
    assert gas.gas_in_closed_room(flow * hours, room) == pytest.approx(limit)


def test_the_sum_for_a_closed_room_is_never_too_kind() -> None:
    """A room that lets air out as gas comes in holds less gas than the sum says, by a balance solved step by step."""
    flow, room, start = 0.5, 20.0, 420e-6
    solved = solve_ivp(lambda t, c: flow / room * (1 - c), (0, 24), [start], rtol=1e-9)
    truth = 1e6 * solved.y[0][-1]
    ours = gas.gas_in_closed_room(1000 * flow * 24, room)
    assert truth <= ours
    assert 1e6 * (1 - (1 - start) * math.exp(-flow * 24 / room)) == pytest.approx(truth, rel=1e-5)


@given(st.floats(1, 2000), st.floats(1000, 50000))
def test_the_fresh_air_holds_the_limit(flow: float, limit: float) -> None:
    """With the fresh air worked out the steady air is at the limit or better, by the balance of the room."""
    air = gas.fresh_air_per_hour(flow, limit)
    steady = (air * 420 + flow / 1000 * 1e6) / (air + flow / 1000)
    assert limit * 0.94 <= steady <= limit * (1 + 1e-9)


def test_a_room_that_passes_the_limit_says_so_in_plain_words() -> None:
    """Danger is named, and what not to do, when the limit that was given is passed."""
    sheet = gas.room_air(225, 42, 20, 40000)
    assert sheet.passes_limit and sheet.warning.startswith("DANGER OF DEATH")
    for words in ("Do not go in", "near the floor", "40,000 ppm", "carbon dioxide meter", "does not follow"):
        assert words in sheet.warning


def test_a_careless_limit_does_not_hide_air_that_kills() -> None:
    """A limit set above what is dangerous to life does not silence the warning."""
    sheet = gas.room_air(225, 42, 40, 200000)
    assert not sheet.passes_limit and sheet.dangerous_to_life
    assert "deadly" in sheet.warning and "Do not go in" in sheet.warning


def test_a_room_under_the_limit_is_never_called_safe() -> None:
    """Under the limit the words still say that this is no proof of safety."""
    sheet = gas.room_air(20, 21, 60, 40000)
    assert not sheet.passes_limit and "DANGER" not in sheet.warning
    assert "Do not take that for safe" in sheet.warning and "near the floor" in sheet.warning


@given(
    st.floats(1, 2000), st.floats(0.1, 200), st.floats(5, 1000), st.floats(1000, 100000), st.floats(0, 720)
)
def test_the_warning_goes_with_the_limit(
    must: float, sugar: float, room: float, limit: float, hours: float
) -> None:
    """The sheet warns exactly when the closed room is at the limit or over it, or where the air can kill."""
    sheet = gas.room_air(must, sugar, room, limit, hours)
    assert sheet.passes_limit == (sheet.closed_room_ppm >= limit)
    assert (sheet.passes_limit or sheet.dangerous_to_life) == ("DANGER" in sheet.warning)
    assert sheet.dangerous_to_life == ("DANGER OF DEATH" in sheet.warning)
    if abs(hours - sheet.limit_passed_after_hours) > 1e-6 * hours:
        assert sheet.passes_limit == (hours > sheet.limit_passed_after_hours)


def test_impossible_numbers_say_what_to_do() -> None:
    """A slip of the unit is refused with the mend."""
    with pytest.raises(OutOfRange, match=r"a Brix is about 10\.5"):
        heat.fermentation_heat(900)
    with pytest.raises(OutOfRange, match="Near 100"):
        heat.fermentation_heat(200, 24)
    with pytest.raises(OutOfRange, match="Length x width x height"):
        gas.room_air(225, 42, 0, 40000)
    with pytest.raises(OutOfRange, match="1 % is 10 000"):
        gas.room_air(225, 42, 20, 0.5)
    with pytest.raises(OutOfRange, match="stays as it is"):
        gas.hours_to_limit(0, 20, 5000)
