"""What a full tank does tells how much heat its jacket and its walls pass."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import (
    Celsius,
    Centimetres,
    Hours,
    KilojoulesPerLitreKelvin,
    Litres,
    OutOfRange,
    Percent,
    SquareMetres,
    WattsPerKelvin,
    WattsPerSquareMetreKelvin,
    wine,
    within,
)
from ..registry import calculator, worksheet
from .checked import WINE_KJ_PER_L_K, temperature, time_constant, wine_heat
from .curve import time_constant_from_cooldown
from .tank import cylinder_l


@dataclass(frozen=True)
class FullTank:
    """The heat that a full tank passes for each degree, through its jacket and through its walls."""

    volume_l: Litres
    time_constant_hours: Hours
    jacket_w_per_k: WattsPerKelvin
    wall_w_per_k: WattsPerKelvin
    jacket_share_percent: Percent
    """Share of the jacket in the two: 100 is a perfectly insulated tank."""


@worksheet("full_tank_heat_flow", result="heat flow through jacket and walls, from a full tank")
def full_tank_heat_flow(
    full_height_cm: Centimetres,
    diameter_cm: Centimetres,
    start_c: Celsius,
    later_c: Celsius,
    hours: Hours,
    settles_c: Celsius,
    coolant_c: Celsius,
    room_c: Celsius,
    wine_kj_per_l_k: KilojoulesPerLitreKelvin = WINE_KJ_PER_L_K,
) -> FullTank:
    """Heat flow for each degree through jacket and walls, from one cooldown of the full tank without a ferment.

    Where it settles between coolant and room tells how the two share; how fast it goes there tells how much they are.
    Range: settles between coolant and room, the coolant the colder; the later reading between start and end; diameter
    5 to 1000 cm, height above 0 and at most 2000 cm, wine 3 to 5 kJ/(L K); raises `OutOfRange`. Formula: Newton's law
    of cooling and the balance of heat at the end.
    """
    volume = cylinder_l(full_height_cm, diameter_cm)
    time_constant = time_constant_from_cooldown(start_c, later_c, settles_c, hours)
    share = share_of_jacket(settles_c, coolant_c, room_c)
    both = volume * wine_heat(wine_kj_per_l_k) / (3.6 * time_constant)
    return FullTank(
        volume_l=volume,
        time_constant_hours=time_constant,
        jacket_w_per_k=share * both,
        wall_w_per_k=(1 - share) * both,
        jacket_share_percent=100 * share,
    )


@calculator(
    "full_tank_jacket_heat_flow",
    result="heat through the full jacket for each degree",
    formula="jacket = (room_c - settles_c) / (room_c - coolant_c) x volume_l x wine_kj_per_l_k "
    "/ (3.6 x time_constant_hours)",
)
def full_tank_jacket_heat_flow(
    volume_l: Litres,
    time_constant_hours: Hours,
    settles_c: Celsius,
    coolant_c: Celsius,
    room_c: Celsius,
    wine_kj_per_l_k: KilojoulesPerLitreKelvin = WINE_KJ_PER_L_K,
) -> WattsPerKelvin:
    """Heat that the jacket of a full tank carries off for each degree between wine and coolant.

    Range: volume above 0 L, time constant above 0 h, settles between coolant and room, wine 3 to 5 kJ/(L K); raises
    `OutOfRange`. Formula and source: as in `full_tank_heat_flow`.
    """
    both = wine(volume_l) * wine_heat(wine_kj_per_l_k) / (3.6 * time_constant(time_constant_hours))
    return share_of_jacket(settles_c, coolant_c, room_c) * both


@calculator(
    "full_tank_wall_heat_flow",
    result="heat through the walls of the full tank for each degree",
    formula="wall = (settles_c - coolant_c) / (room_c - coolant_c) x volume_l x wine_kj_per_l_k "
    "/ (3.6 x time_constant_hours)",
)
def full_tank_wall_heat_flow(
    volume_l: Litres,
    time_constant_hours: Hours,
    settles_c: Celsius,
    coolant_c: Celsius,
    room_c: Celsius,
    wine_kj_per_l_k: KilojoulesPerLitreKelvin = WINE_KJ_PER_L_K,
) -> WattsPerKelvin:
    """Heat that comes into a full tank for each degree between room and wine.

    Range: as in `full_tank_jacket_heat_flow`; raises `OutOfRange`. Formula and source: as in `full_tank_heat_flow`.
    """
    both = wine(volume_l) * wine_heat(wine_kj_per_l_k) / (3.6 * time_constant(time_constant_hours))
    return (1 - share_of_jacket(settles_c, coolant_c, room_c)) * both


@calculator(
    "heat_flow_per_area",
    result="heat through each square metre for each degree",
    formula="per_area = heat_flow_w_per_k / area_m2",
)
def heat_flow_per_area(heat_flow_w_per_k: WattsPerKelvin, area_m2: SquareMetres) -> WattsPerSquareMetreKelvin:
    """Heat flow of a square metre, to compare a jacket with others of its kind.

    Far below them it is fouled, airlocked or short of coolant. From memory: a glycol jacket on still white wine 100 to
    200, bare steel in still air 5 to 10 W/(m2 K). Range: flow at least 0 W/K, area above 0 m2; raises `OutOfRange`.
    """
    within("heat flow", heat_flow_w_per_k, "W/K", at_least=0, mend="Give watts for each degree.")
    return heat_flow_w_per_k / within("area", area_m2, "m2", more_than=0, mend="Give the wetted area.")


@calculator(
    "settles_with_part_of_jacket",
    result="where the tank settles then",
    formula="settles = (jacket x coolant_c + wall x room_c) / (jacket + wall)",
    working=lambda full_settles_c, coolant_c, room_c, wetted_share_percent, wall_share_percent=100.0: {
        "jacket": (room_c - full_settles_c) * wetted_share_percent / 100,
        "wall": (full_settles_c - coolant_c) * wall_share_percent / 100,
    },
)
def settles_with_part_of_jacket(
    full_settles_c: Celsius,
    coolant_c: Celsius,
    room_c: Celsius,
    wetted_share_percent: Percent,
    wall_share_percent: Percent = 100.0,
) -> Celsius:
    """Where a tank without a ferment settles with only part of its jacket wetted, from where it settles when full.

    Coolant and room are taken the same as they were when full. `wall_share_percent` is the share of the outside still
    in touch with wine. Range: full tank settles between coolant and room, the coolant the colder; jacket share 0 to
    100 %, wall share above 0 and at most 100 %; raises `OutOfRange`. Formula: balance of heat at the end.
    """
    share = share_of_jacket(full_settles_c, coolant_c, room_c)
    within("wetted share", wetted_share_percent, "%", at_least=0, at_most=100, mend="Half a jacket is 50.")
    within(
        "share of the wall", wall_share_percent, "%", more_than=0, at_most=100, mend="Half full is about 50."
    )
    jacket, wall = share * wetted_share_percent, (1 - share) * wall_share_percent
    if jacket + wall == 0:
        raise OutOfRange(
            "No jacket is wetted and no heat comes in, so the wine settles nowhere. Check the shares."
        )
    return (jacket * coolant_c + wall * room_c) / (jacket + wall)


def share_of_jacket(settles_c: float, coolant_c: float, room_c: float) -> float:
    """Share of the jacket in all the heat that the tank passes for a degree, 0 to 1."""
    temperature("coolant", coolant_c)
    temperature("room", room_c)
    within(
        "room", room_c, "C", more_than=coolant_c, mend="A jacket is judged while its coolant is the colder."
    )
    within(
        "temperature the full tank settles at",
        settles_c,
        "C",
        at_least=coolant_c,
        at_most=room_c,
        mend="Without a ferment it lies between coolant and room; wait for the ferment to end, and read it again.",
    )
    return (room_c - settles_c) / (room_c - coolant_c)
