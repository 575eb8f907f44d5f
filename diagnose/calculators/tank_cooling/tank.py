"""A tank as it stands: its shape, its jacket, where it settles and how slow it is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from ..amounts import (
    Celsius,
    Centimetres,
    GramsPerLitrePerDay,
    Hours,
    KilojoulesPerLitreKelvin,
    Litres,
    Percent,
    WattsPerKelvin,
    wine,
    within,
)
from ..ferment_heat.heat import fermentation_power
from ..registry import calculator
from .checked import WINE_KJ_PER_L_K, diameter, temperature, wine_heat


@calculator(
    "height_of_wine",
    result="height of the wine",
    formula="height = 4000 x volume_l / (3.14159 x diameter_cm^2)",
)
def height_of_wine(volume_l: Litres, diameter_cm: Centimetres) -> Centimetres:
    """How high a volume stands in an upright cylinder.

    Range: volume above 0 L, diameter 5 to 1000 cm; raises `OutOfRange`. Formula: volume of a cylinder.
    """
    return 4000 * wine(volume_l) / (math.pi * diameter(diameter_cm) ** 2)


@calculator(
    "jacket_wetted_share",
    result="share of the jacket that wine touches",
    formula="share = 100 x (fill_height_cm - jacket_from_cm) / (jacket_to_cm - jacket_from_cm), from 0 to 100",
)
def jacket_wetted_share(
    fill_height_cm: Centimetres, jacket_from_cm: Centimetres, jacket_to_cm: Centimetres
) -> Percent:
    """Share of a jacket band that wine touches. Only this part cools; the rest cools air.

    Heights are measured from the floor of the tank. Range: fill 0 to 2000 cm, the lower edge at least 0 and below the
    upper; raises `OutOfRange`. Formula: height of wine within the band over the height of the band.
    """
    within("fill height", fill_height_cm, "cm", at_least=0, at_most=2000, mend="Give the height of the wine.")
    within("lower edge of the jacket", jacket_from_cm, "cm", at_least=0, mend="Measure from the tank floor.")
    within("upper edge of the jacket", jacket_to_cm, "cm", more_than=jacket_from_cm, mend="Swap the edges.")
    touched = min(max(fill_height_cm, jacket_from_cm), jacket_to_cm) - jacket_from_cm
    return 100 * touched / (jacket_to_cm - jacket_from_cm)


def cylinder_l(height_cm: float, diameter_cm: float) -> float:
    """Litres that a height of wine is, in an upright cylinder."""
    within("height", height_cm, "cm", more_than=0, at_most=2000, mend="Give the height of the wine in cm.")
    return height_cm * math.pi * diameter(diameter_cm) ** 2 / 4000


@dataclass(frozen=True)
class Tank:
    """A tank and all that warms or cools it. Conductances are of the full tank, heights in cm, heat in W."""

    jacket_w_per_k: float
    wall_w_per_k: float
    fill_cm: float
    full_cm: float
    diameter_cm: float
    jacket_from_cm: float
    jacket_to_cm: float
    coolant_c: float
    room_c: float
    sugar_g_per_l_day: float

    @property
    def volume_l(self) -> float:
        return cylinder_l(self.fill_cm, self.diameter_cm)

    @property
    def jacket(self) -> float:
        wetted = jacket_wetted_share(self.fill_cm, self.jacket_from_cm, self.jacket_to_cm)
        return self.jacket_w_per_k * wetted / 100

    @property
    def wall(self) -> float:
        """Side, floor and surface: a ring as high as half the radius more than floor and surface are worth."""
        ends = self.diameter_cm / 2
        return self.wall_w_per_k * (self.fill_cm + ends) / (self.full_cm + ends)

    @property
    def ferment_w(self) -> float:
        return fermentation_power(self.volume_l, self.sugar_g_per_l_day)

    def gain_w(self, at_c: float) -> float:
        """Heat that still comes in, on balance, when the wine is at a temperature."""
        from_jacket = self.jacket * (self.coolant_c - at_c)
        return from_jacket + self.wall * (self.room_c - at_c) + self.ferment_w

    @property
    def settles_c(self) -> float:
        both = self.jacket + self.wall
        return (self.jacket * self.coolant_c + self.wall * self.room_c + self.ferment_w) / both


def tank_of(
    jacket_w_per_k: float,
    wall_w_per_k: float,
    fill_height_cm: float,
    full_height_cm: float,
    diameter_cm: float,
    jacket_from_cm: float,
    jacket_to_cm: float,
    coolant_c: float,
    room_c: float,
    sugar_g_per_l_day: float,
) -> Tank:
    """A tank whose numbers have been checked; raises `OutOfRange`."""
    within("heat flow of the jacket", jacket_w_per_k, "W/K", at_least=0, mend="Take it from the full tank.")
    within("heat flow of the walls", wall_w_per_k, "W/K", more_than=0, mend="No tank is perfectly insulated.")
    within("full height", full_height_cm, "cm", more_than=0, at_most=2000, mend="Measure to the brim.")
    within(
        "fill height",
        fill_height_cm,
        "cm",
        more_than=0,
        at_most=full_height_cm,
        mend="Wine stands between the floor and the full height.",
    )
    within(
        "upper edge of the jacket",
        jacket_to_cm,
        "cm",
        at_most=full_height_cm,
        mend="Give the part of the jacket below the full height.",
    )
    temperature("coolant", coolant_c)
    temperature("room", room_c)
    return Tank(
        jacket_w_per_k,
        wall_w_per_k,
        fill_height_cm,
        full_height_cm,
        diameter_cm,
        jacket_from_cm,
        jacket_to_cm,
        coolant_c,
        room_c,
        sugar_g_per_l_day,
    )


def _tank_working(
    jacket_w_per_k: float,
    wall_w_per_k: float,
    fill_height_cm: float,
    full_height_cm: float,
    diameter_cm: float,
    jacket_from_cm: float,
    jacket_to_cm: float,
    coolant_c: float,
    room_c: float,
    sugar_g_per_l_day: float = 0.0,
) -> Mapping[str, float]:
    tank = tank_of(
        jacket_w_per_k, wall_w_per_k, fill_height_cm, full_height_cm, diameter_cm,
        jacket_from_cm, jacket_to_cm, coolant_c, room_c, sugar_g_per_l_day,
    )  # fmt: skip
    return {"jacket": tank.jacket, "wall": tank.wall, "ferment_w": tank.ferment_w}


@calculator(
    "tank_settles_at",
    result="where the tank settles",
    formula="settles = (jacket x coolant_c + wall x room_c + ferment_w) / (jacket + wall)",
    working=_tank_working,
)
def tank_settles_at(
    jacket_w_per_k: WattsPerKelvin,
    wall_w_per_k: WattsPerKelvin,
    fill_height_cm: Centimetres,
    full_height_cm: Centimetres,
    diameter_cm: Centimetres,
    jacket_from_cm: Centimetres,
    jacket_to_cm: Centimetres,
    coolant_c: Celsius,
    room_c: Celsius,
    sugar_g_per_l_day: GramsPerLitrePerDay = 0.0,
) -> Celsius:
    """Where a jacketed tank settles at a fill height: the coldest that it will ever be as it stands.

    The two heat flows are those of the full tank, from `full_tank_heat_flow`. A ferment is taken to go on at the given
    pace, though cold slows it. Range: flows at least 0 W/K, walls above 0; fill above 0 cm and at most full; jacket
    below the full height; diameter 5 to 1000 cm; temperatures -30 to 100 C; sugar 0 to 200 g/L in a day; raises
    `OutOfRange`. Formula: balance of heat at the end.
    """
    return tank_of(
        jacket_w_per_k,
        wall_w_per_k,
        fill_height_cm,
        full_height_cm,
        diameter_cm,
        jacket_from_cm,
        jacket_to_cm,
        coolant_c,
        room_c,
        sugar_g_per_l_day,
    ).settles_c  # fmt: skip


def _slowness_working(
    jacket_w_per_k: float,
    wall_w_per_k: float,
    fill_height_cm: float,
    full_height_cm: float,
    diameter_cm: float,
    jacket_from_cm: float,
    jacket_to_cm: float,
    wine_kj_per_l_k: float = WINE_KJ_PER_L_K,
) -> Mapping[str, float]:
    tank = tank_of(
        jacket_w_per_k, wall_w_per_k, fill_height_cm, full_height_cm, diameter_cm,
        jacket_from_cm, jacket_to_cm, 0.0, 0.0, 0.0,
    )  # fmt: skip
    return {"volume_l": tank.volume_l, "jacket": tank.jacket, "wall": tank.wall}


@calculator(
    "tank_time_constant",
    result="time constant at this fill",
    formula="time_constant = volume_l x wine_kj_per_l_k / (3.6 x (jacket + wall))",
    working=_slowness_working,
)
def tank_time_constant(
    jacket_w_per_k: WattsPerKelvin,
    wall_w_per_k: WattsPerKelvin,
    fill_height_cm: Centimetres,
    full_height_cm: Centimetres,
    diameter_cm: Centimetres,
    jacket_from_cm: Centimetres,
    jacket_to_cm: Centimetres,
    wine_kj_per_l_k: KilojoulesPerLitreKelvin = WINE_KJ_PER_L_K,
) -> Hours:
    """Time constant of a jacketed tank at a fill height, for `hours_to_temperature`.

    Range: as in `tank_settles_at`; wine 3 to 5 kJ/(L K); raises `OutOfRange`. Formula: heat that the wine holds for a
    degree over the heat that jacket and walls pass for a degree.
    """
    tank = tank_of(
        jacket_w_per_k, wall_w_per_k, fill_height_cm, full_height_cm, diameter_cm,
        jacket_from_cm, jacket_to_cm, 0.0, 0.0, 0.0,
    )  # fmt: skip
    return tank.volume_l * wine_heat(wine_kj_per_l_k) / (3.6 * (tank.jacket + tank.wall))
