"""What a vessel holds, and what the air above the wine costs."""

from __future__ import annotations

import math

from .amounts import Celsius, Centimetres, Litres, MilligramsPerLitre, PlainNumber, wine, within
from .registry import calculator

_CM3_PER_L = 1000.0
SO2_PER_OXYGEN = 4.0
"""mg of free sulfur dioxide that 1 mg of oxygen can use up: 2 to 1 by molecules, Danilewicz & Standing 2018 (AJEV)."""
OXYGEN_SHARE_OF_AIR = 0.2095
_OXYGEN_G_PER_MOL = 31.998
_MOLAR_VOLUME_0_C_L = 22.414
"""Of a gas at 0 C and 1.01325 bar, from memory; so is the oxygen in air."""


def _length(what: str, value: float) -> float:
    return within(what, value, "cm", more_than=0, at_most=1000, mend="Measure it inside, in cm.")


@calculator("cylinder_volume_l", result="volume", formula="3.14159 x diameter_cm^2 / 4 x height_cm / 1000")
def cylinder_volume_l(diameter_cm: Centimetres, height_cm: Centimetres) -> Litres:
    """What an upright cylinder holds, measured inside. Range: above 0 and at most 1000 cm; raises `OutOfRange`.

    Source: geometry.
    """
    return math.pi * _length("diameter", diameter_cm) ** 2 / 4 * _length("height", height_cm) / _CM3_PER_L


@calculator(
    "barrel_volume_l",
    result="volume",
    formula="3.14159 x (2 x belly_cm^2 + end_cm^2) x length_cm / 12 / 1000",
)
def barrel_volume_l(belly_cm: Centimetres, end_cm: Centimetres, length_cm: Centimetres) -> Litres:
    """What a barrel holds, from its inside diameters at the belly and the ends, and its inside length.

    Range: above 0 cm, the belly no narrower than the ends; raises `OutOfRange`. Source: Kepler's rule for a
    barrel, from memory; good to some percent.
    """
    _length("length", length_cm)
    _length("diameter at the ends", end_cm)
    within(
        "diameter at the belly",
        belly_cm,
        "cm",
        at_least=end_cm,
        at_most=1000,
        mend="The belly is the wider one.",
    )
    return math.pi * (2 * belly_cm**2 + end_cm**2) * length_cm / 12 / _CM3_PER_L


@calculator("lying_cylinder_volume_l", result="wine in it")
def lying_cylinder_volume_l(
    diameter_cm: Centimetres, length_cm: Centimetres, depth_cm: Centimetres
) -> Litres:
    """Wine in a cylinder that lies on its side, from the depth of the wine.

    Range: above 0 cm, depth 0 to the diameter; raises `OutOfRange`. Source: geometry, the segment of a circle.
    """
    _length("length", length_cm)
    _length("diameter", diameter_cm)
    within(
        "depth", depth_cm, "cm", at_least=0, at_most=diameter_cm, mend="It cannot be deeper than the vessel."
    )
    radius = diameter_cm / 2
    rest = radius - depth_cm
    segment = radius**2 * math.acos(rest / radius) - rest * math.sqrt(max(0.0, radius**2 - rest**2))
    return segment * length_cm / _CM3_PER_L


@calculator("headspace_l", result="air above the wine", formula="vessel_l - wine_l")
def headspace_l(vessel_l: Litres, wine_l: Litres) -> Litres:
    """Room left above the wine. Range: vessel above 0 L, wine 0 to the vessel; raises `OutOfRange`."""
    within("wine", wine_l, "L", at_least=0, at_most=wine(vessel_l), mend="No vessel holds more than it is.")
    return vessel_l - wine_l


def _oxygen_working(headspace_l: float, wine_l: float, temperature_c: float = 15.0) -> dict[str, float]:
    molar = _MOLAR_VOLUME_0_C_L * (273.15 + temperature_c) / 273.15
    return {"oxygen_mg_per_l_of_air": 1000 * OXYGEN_SHARE_OF_AIR * _OXYGEN_G_PER_MOL / molar}


@calculator(
    "headspace_oxygen",
    result="oxygen for each litre of wine",
    formula="oxygen_mg_per_l_of_air x headspace_l / wine_l",
    working=_oxygen_working,
)
def headspace_oxygen(
    headspace_l: Litres, wine_l: Litres, temperature_c: Celsius = 15.0
) -> MilligramsPerLitre:
    """Oxygen in the air above a wine, shared out over the wine. All of it dissolves in time.

    Range: headspace at least 0 L, wine above 0 L, 0 to 40 C, at sea level; raises `OutOfRange`. Source: 20.95 %
    oxygen in air and the gas law, from memory.
    """
    within("headspace", headspace_l, "L", at_least=0, at_most=100000, mend="Give the air in L.")
    wine(wine_l)
    within("temperature", temperature_c, "C", at_least=0, at_most=40, mend="Give it in C.")
    return (
        _oxygen_working(headspace_l, wine_l, temperature_c)["oxygen_mg_per_l_of_air"] * headspace_l / wine_l
    )


@calculator(
    "so2_lost_to_oxygen",
    result="free sulfur dioxide used up at the most",
    formula="oxygen_mg_per_l x so2_per_oxygen",
)
def so2_lost_to_oxygen(
    oxygen_mg_per_l: MilligramsPerLitre, so2_per_oxygen: PlainNumber = SO2_PER_OXYGEN
) -> MilligramsPerLitre:
    """Free sulfur dioxide that so much oxygen can use up in time.

    Range: oxygen 0 to 500 mg/L, 2 to 4 mg for each mg; raises `OutOfRange`. Source: Danilewicz & Standing 2018
    (AJEV): 2 molecules for one of oxygen, never below 1; 4 and 2 by weight.
    """
    within(
        "oxygen", oxygen_mg_per_l, "mg/L", at_least=0, at_most=500, mend="Air-full wine holds 6 to 8 mg/L."
    )
    within("sulfur dioxide for oxygen", so2_per_oxygen, "", at_least=2, at_most=4, mend="4 is the most.")
    return oxygen_mg_per_l * so2_per_oxygen


@calculator("top_up_bottles", result="bottles to top up with", formula="headspace_l / bottle_l")
def top_up_bottles(headspace_l: Litres, bottle_l: Litres = 0.75) -> PlainNumber:
    """How many bottles of sound wine fill a headspace. Range: above 0 L; raises `OutOfRange`."""
    within("headspace", headspace_l, "L", at_least=0, at_most=100000, mend="Give the air in L.")
    within("bottle", bottle_l, "L", more_than=0, at_most=20, mend="0.75 L is usual.")
    return headspace_l / bottle_l
