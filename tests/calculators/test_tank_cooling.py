import math
import re
from dataclasses import replace
from typing import Any

import pytest
from diagnose.calculators import OutOfRange, calculators
from diagnose.calculators.ferment_heat.heat import fermentation_power
from diagnose.calculators.tank_cooling.chill import heat_to_chill, ice_to_chill
from diagnose.calculators.tank_cooling.curve import (
    hours_to_temperature,
    settling_from_three_readings,
    temperature_after,
    time_constant_from_cooldown,
)
from diagnose.calculators.tank_cooling.full_tank import (
    full_tank_heat_flow,
    full_tank_jacket_heat_flow,
    full_tank_wall_heat_flow,
    settles_with_part_of_jacket,
)
from diagnose.calculators.tank_cooling.tank import (
    height_of_wine,
    jacket_wetted_share,
    tank_settles_at,
    tank_time_constant,
)
from diagnose.calculators.tank_cooling.ways import Way, ways_to_reach_cold
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

SHAPE = {"full_height_cm": 150.0, "diameter_cm": 100.0, "jacket_from_cm": 30.0, "jacket_to_cm": 120.0}
FLOWS = {"jacket_w_per_k": 60.0, "wall_w_per_k": 12.0}
"""An invented tank of 1178 L."""


def ways(**changes: Any) -> dict[str, Way]:
    """The ways of the invented tank, by name."""
    inputs = {
        **SHAPE, **FLOWS, "fill_height_cm": 50.0, "coolant_c": -4.0, "room_c": 18.0, "target_c": 2.0, **changes,
    }  # fmt: skip
    return {way.way: way for way in ways_to_reach_cold(**inputs)}


def settles(**changes: Any) -> float:
    """Where the invented tank settles."""
    inputs = {**SHAPE, **FLOWS, "fill_height_cm": 50.0, "coolant_c": -4.0, "room_c": 18.0, **changes}
    return tank_settles_at(**inputs)


@given(st.floats(5, 30), st.floats(-10, 4), st.floats(2, 80), st.floats(0.1, 100))
def test_the_curve_is_the_cooling_equation(start: float, end: float, slow: float, hours: float) -> None:
    """The temperature after a time is that of the equation stepped through time (scipy)."""
    run = solve_ivp(lambda _, at: (end - at) / slow, (0, hours), [start], rtol=1e-9, atol=1e-9)
    assert temperature_after(start, end, slow, hours) == pytest.approx(run.y[0, -1], abs=1e-5)


@given(st.floats(10, 30), st.floats(-10, 4), st.floats(0.05, 0.95), st.floats(2, 80))
def test_hours_temperature_and_time_constant_lead_back_to_each_other(
    start: float, end: float, share: float, slow: float
) -> None:
    """The time worked out brings the tank to the target, and tells its time constant."""
    target = end + share * (start - end)
    hours = hours_to_temperature(start, target, end, slow)
    assert temperature_after(start, end, slow, hours) == pytest.approx(target)
    assert time_constant_from_cooldown(start, target, end, hours) == pytest.approx(slow)


@given(st.floats(15, 30), st.floats(-10, 4), st.floats(5, 40))
def test_three_readings_tell_the_end(start: float, end: float, slow: float) -> None:
    """Readings ten hours apart tell where the tank will settle."""
    later, last = (temperature_after(start, end, slow, hours) for hours in (10, 20))
    if abs(last - later) >= 0.2:
        assert settling_from_three_readings(start, later, last) == pytest.approx(end, abs=1e-6)


def test_half_a_jacket_cools_half() -> None:
    """Half filled, the band loses half of what wine touches, and the wine settles warmer."""
    assert jacket_wetted_share(75, 30, 120) == pytest.approx(50)
    assert jacket_wetted_share(20, 30, 120) == 0
    assert jacket_wetted_share(150, 30, 120) == 100
    assert settles_with_part_of_jacket(0, -4, 16, 100) == pytest.approx(0)
    assert settles_with_part_of_jacket(0, -4, 16, 50) == pytest.approx(2.6666667)


@given(st.floats(31, 118), st.floats(0.5, 2), st.floats(0, 40))
def test_each_centimetre_of_jacket_makes_it_colder_and_each_above_warmer(
    fill: float, more: float, sugar: float
) -> None:
    """The best height is the upper edge of the jacket, in a room warmer than the wine."""
    lower, higher = (
        settles(fill_height_cm=height, sugar_g_per_l_day=sugar) for height in (fill, fill + more)
    )
    assert lower >= higher
    above = settles(fill_height_cm=120 + more, sugar_g_per_l_day=sugar)
    assert above > settles(fill_height_cm=120, sugar_g_per_l_day=sugar)


@given(st.floats(20, 120), st.floats(3, 30), st.floats(-8, 2), st.floats(12, 30))
def test_a_full_tank_tells_its_own_heat_flow(jacket: float, wall: float, coolant: float, room: float) -> None:
    """From the cooldown of a tank whose flows are known, the same flows are found."""
    shape = {**SHAPE, "fill_height_cm": 150.0, "jacket_w_per_k": jacket, "wall_w_per_k": wall}
    end = tank_settles_at(**shape, coolant_c=coolant, room_c=room)
    slow = tank_time_constant(**shape)
    start = end + 15
    later = temperature_after(start, end, slow, 9)
    found = full_tank_heat_flow(150, 100, start, later, 9, end, coolant, room)
    assert found.jacket_w_per_k == pytest.approx(jacket)
    assert found.wall_w_per_k == pytest.approx(wall)
    assert found.time_constant_hours == pytest.approx(slow)
    args = (found.volume_l, slow, end, coolant, room)
    assert full_tank_jacket_heat_flow(*args) == pytest.approx(jacket)
    assert full_tank_wall_heat_flow(*args) == pytest.approx(wall)


@given(st.floats(1, 2000), st.floats(20, 200))
def test_height_and_volume_lead_back(volume: float, width: float) -> None:
    """The height of a volume is that of a cylinder."""
    assert height_of_wine(volume, width) * 3.14159265 * width**2 / 4000 == pytest.approx(volume)


def test_each_way_that_reaches_does_reach() -> None:
    """Put back into the tank, every setting settles at the target; scipy finds the same fill."""
    found = ways(sugar_g_per_l_day=2.0, coldest_coolant_c=-30.0, coldest_room_c=-30.0, target_c=3.0)
    for name, key in (
        ("fill to", "fill_height_cm"),
        ("colder coolant", "coolant_c"),
        ("cooler room", "room_c"),
        ("slower ferment", "sugar_g_per_l_day"),
    ):
        way = found[name]
        assert way.answer == "reaches"
        assert way.settles_at_c == pytest.approx(3.0)
        assert settles(**{"sugar_g_per_l_day": 2.0, key: way.setting}) == pytest.approx(3.0)
    height = brentq(lambda fill: settles(fill_height_cm=fill, sugar_g_per_l_day=2.0) - 3, 50, 120)
    assert found["fill to"].setting == pytest.approx(height)


def test_a_coolant_warmer_than_the_target_cannot() -> None:
    """No fill gets a tank below its coolant; only colder coolant, and what does without it, can."""
    found = ways(target_c=-3.0, coolant_c=2.0)
    assert found["as it stands"].answer == found["fill to"].answer == "cannot"
    assert "no jacket cools below" in found["fill to"].why
    assert found["fill to"].settles_at_c > 2
    assert found["frozen bottles in the wine"].answer == "cannot"
    assert found["no jacket, in a fridge"].answer == "cannot"
    assert "It would take" in found["colder coolant"].why


def test_wine_below_the_jacket_is_not_cooled_by_any_coolant() -> None:
    """With wine below the band the answer is to fill, not to turn the chiller down."""
    found = ways(fill_height_cm=20.0)
    assert found["colder coolant"].answer == "cannot"
    assert "Fill the tank first" in found["colder coolant"].why
    assert found["fill to"].answer == "reaches"
    assert 30 < found["fill to"].setting < 120


def test_too_much_wine_above_the_jacket_is_drawn_off() -> None:
    """Wine above the band only warms; the answer is to draw some off."""
    edge = settles(fill_height_cm=120.0, sugar_g_per_l_day=5.0)
    brim = settles(fill_height_cm=150.0, sugar_g_per_l_day=5.0)
    found = ways(fill_height_cm=150.0, sugar_g_per_l_day=5.0, target_c=(edge + brim) / 2)
    assert found["draw off to"].answer == "reaches"
    assert 120 < found["draw off to"].setting < 150


def test_a_tank_that_reaches_needs_no_ways() -> None:
    """When it gets there as it stands, that is the only line."""
    (way,) = ways(target_c=10.0).values()
    assert way.answer == "reaches" and way.why.startswith("It gets there as it stands")
    assert ways()["as it stands"].why.endswith("more would come in than the jacket carries off.")


def test_the_ferment_heat_that_may_stay_is_what_the_balance_leaves() -> None:
    """A ferment too fast for the jacket: the pace that may stay carries just the heat that goes out at the target."""
    found = ways(target_c=6.0, sugar_g_per_l_day=40.0)["slower ferment"]
    assert found.answer == "reaches"
    volume = 50 * 3.14159265 * 100**2 / 4000
    jacket, wall = 60 * 20 / 90, 12 * (50 + 50) / (150 + 50)
    leaves = jacket * (6 + 4) - wall * (18 - 6)
    assert fermentation_power(volume, found.setting) == pytest.approx(leaves)


def test_ice_holds_a_tank_only_above_nought() -> None:
    """The ice of a day melts with just the heat that is too much (hand sum: W x 86.4 kJ / (334 + 4.19 x 2))."""
    way = ways()["frozen bottles in the wine"]
    too_much = 6 * (18 - 2) - 60 * 20 / 90 * (2 + 4)
    assert way.answer == "reaches"
    assert way.setting == pytest.approx(too_much * 86.4 / (334 + 4.19 * 2))
    assert ways(target_c=-1.0)["frozen bottles in the wine"].answer == "cannot"
    shut = ways(coolant_c=5.0)["frozen bottles in the wine"]
    assert shut.setting == pytest.approx(6 * 16 * 86.4 / (334 + 4.19 * 2))
    assert "Shut the jacket" in shut.why


def test_a_fridge_does_when_it_is_cold_enough_for_the_ferment() -> None:
    """A fridge at 4 C holds wine without a ferment at 6 C, and not at 2 C."""
    assert ways(coolant_c=8.0, target_c=6.0)["no jacket, in a fridge"].answer == "reaches"
    assert ways(coolant_c=8.0, target_c=2.0)["no jacket, in a fridge"].answer == "cannot"


def test_ice_takes_the_heat_of_the_wine() -> None:
    """Chilling 100 L from 20 to 10 C takes 4150 kJ, the melting and warming of 11 kg of ice (hand sum)."""
    assert heat_to_chill(100, 20, 10) == pytest.approx(4150)
    assert ice_to_chill(100, 20, 10) == pytest.approx(4150 / 375.9)


def test_what_cannot_be_is_refused_with_the_mend() -> None:
    """Targets never reached, readings of no cooldown, jackets above the brim and ice below 0 C say what to do."""
    with pytest.raises(OutOfRange, match="never comes to 1 C"):
        hours_to_temperature(20, 1, 2, 15)
    with pytest.raises(OutOfRange, match="moved by a degree"):
        time_constant_from_cooldown(20, 20, 2, 5)
    with pytest.raises(OutOfRange, match="Read again"):
        settling_from_three_readings(20, 15, 5)
    with pytest.raises(OutOfRange, match="wait for the ferment to end"):
        settles_with_part_of_jacket(25, -4, 20, 50)
    with pytest.raises(OutOfRange, match="below the full height"):
        settles(jacket_to_cm=200.0)
    with pytest.raises(OutOfRange, match="Swap the edges"):
        jacket_wetted_share(50, 60, 30)
    with pytest.raises(OutOfRange, match="use a freezer or a jacket"):
        ice_to_chill(100, 10, -1)
    with pytest.raises(OutOfRange, match="colder already"):
        ways(coldest_coolant_c=0.0)


def test_a_way_is_a_line_that_does_not_change() -> None:
    """Lines of a worksheet are frozen; a changed copy is another line."""
    line = ways()["as it stands"]
    assert replace(line, setting=1.0) != line


@given(st.floats(60, 120), st.floats(2, 8))
def test_ice_for_the_way_down_is_for_where_the_tank_would_settle(fill: float, target: float) -> None:
    """The ice that is needed once takes the wine from where the tank settles without it down to the target."""
    settled = settles(fill_height_cm=fill, coolant_c=1.0)
    assume(settled > target + 0.01)
    way = ways(fill_height_cm=fill, target_c=target, coolant_c=1.0)["frozen bottles in the wine"]
    litres = math.pi * (SHAPE["diameter_cm"] / 2) ** 2 * fill / 1000
    assert f"takes {ice_to_chill(litres, settled, target):.0f} kg more, once" in way.why


def test_each_way_says_why_and_how_far() -> None:
    """Litres to fill, the room that would do, and what a wall's insulation is worth are told in words."""
    found = ways(sugar_g_per_l_day=2.0, coldest_coolant_c=-30.0, coldest_room_c=-30.0, target_c=3.0)
    litres = (found["fill to"].setting - 50) * math.pi * SHAPE["diameter_cm"] ** 2 / 4000
    assert found["fill to"].why.startswith(f"{litres:.0f} L more, of the same wine.")
    assert found["cooler room"].setting > 3
    assert found["cooler room"].why == "Insulating the walls does the same as a cooler room."
    warm_jacket = ways(target_c=3.0, coolant_c=4.0, coldest_room_c=-30.0)["cooler room"]
    assert warm_jacket.answer == "reaches" and warm_jacket.setting < 3
    assert warm_jacket.why.startswith("Insulating the walls does not help then")
    cold_room = ways(target_c=-2.0, coolant_c=2.0, coldest_room_c=0.0)["cooler room"]
    assert cold_room.answer == "cannot" and cold_room.setting == 0
    assert re.match(r"It would take -[\d.]+ C; the coldest you gave is 0 C\.", cold_room.why)


def test_a_slower_ferment_cannot_do_what_no_ferment_cannot() -> None:
    """Where the room alone keeps the wine too warm, nobody is told to slow a ferment down for it."""
    slower = ways(sugar_g_per_l_day=2.0, target_c=3.0, room_c=60.0)["slower ferment"]
    still = ways(sugar_g_per_l_day=0.0, target_c=3.0, room_c=60.0)["as it stands"]
    assert slower.answer == "cannot" and slower.settles_at_c == still.settles_at_c > 3.0
    assert slower.why == f"Even with no ferment at all the tank settles at {still.settles_at_c:.1f} C."


@given(
    st.floats(-5, 30),
    st.floats(-10, 29),
    st.floats(-5, 40),
    st.floats(0, 10),
    st.floats(1, 300),
    st.floats(1, 300),
    st.floats(1, 149),
)
def test_where_any_height_cools_enough_the_height_told_does(
    target: float, coolant: float, room: float, sugar: float, jacket: float, wall: float, fill: float
) -> None:
    """The height that is told settles just at the target, also where wine above the jacket would cool by itself."""
    found = ways(
        target_c=target,
        coolant_c=coolant,
        room_c=room,
        sugar_g_per_l_day=sugar,
        jacket_w_per_k=jacket,
        wall_w_per_k=wall,
        fill_height_cm=fill,
        coldest_coolant_c=-30.0,
        coldest_room_c=-30.0,
    )
    for name in ("fill to", "draw off to"):
        if name in found and found[name].answer == "reaches":
            assert found[name].settles_at_c == pytest.approx(target, abs=1e-6)


def test_the_coldest_that_is_given_does_where_just_that_is_needed() -> None:
    """A chiller that manages just the coolant that is wanted is enough."""
    needed = ways(coldest_coolant_c=-30.0)["colder coolant"].setting
    assert ways(coldest_coolant_c=needed)["colder coolant"].answer == "reaches"
    assert ways(coldest_coolant_c=needed + 0.01)["colder coolant"].answer == "cannot"
    needed = ways(coldest_room_c=-30.0)["cooler room"].setting
    assert ways(coldest_room_c=needed)["cooler room"].answer == "reaches"
    assert ways(coldest_room_c=needed + 0.01)["cooler room"].answer == "cannot"


def test_a_chiller_is_taken_to_manage_eight_below_nought() -> None:
    """Common practice for brine or glycol; a person gives their own."""
    way = ways(target_c=-3.9, coolant_c=-3.0)["colder coolant"]
    assert (way.answer, way.setting) == ("cannot", -8.0) and "the coldest you gave is -8 C" in way.why


def test_ice_is_no_way_to_nought_itself() -> None:
    """Ice melts at 0 C, so nothing can be said of how much would hold wine there."""
    way = ways(target_c=0.0)["frozen bottles in the wine"]
    assert (way.answer, way.setting) == ("cannot", 0.0)
    assert ways(target_c=0.1)["frozen bottles in the wine"].answer == "reaches"


def test_no_fill_does_where_the_best_does_not() -> None:
    """The best height of all is told as the farthest this way goes, and that it is not enough."""
    way = ways(target_c=-3.9)["fill to"]
    assert (way.answer, way.setting) == ("cannot", 120.0)
    assert way.why.startswith("Even at 120 cm, the best height")


def test_a_fridge_must_be_colder_by_what_the_ferment_gives() -> None:
    """It must hold the target less what the heat of the ferment makes of the walls, whether it does or not."""
    for fridge, answer in ((-20.0, "reaches"), (4.0, "cannot")):
        way = ways(target_c=2.0, sugar_g_per_l_day=1.0, fridge_c=fridge)["no jacket, in a fridge"]
        litres = math.pi * SHAPE["diameter_cm"] ** 2 / 4000 * 50
        needed = 2 - fermentation_power(litres, 1.0) / (12 * (50 + 50) / (150 + 50))
        assert way.answer == answer
        assert way.setting == pytest.approx(needed if answer == "reaches" else fridge)


def test_the_whole_wall_counts_where_no_share_of_it_is_told() -> None:
    """In the line that is shown, half a jacket at 2 C in a room at 18 has (18 - 2) x 0.5 beside 2 + 4 (by hand)."""
    working = calculators()["settles_with_part_of_jacket"].working
    assert working is not None
    shown = working(full_settles_c=2, coolant_c=-4, room_c=18, wetted_share_percent=50)
    assert shown == {"jacket": 8, "wall": 6}
