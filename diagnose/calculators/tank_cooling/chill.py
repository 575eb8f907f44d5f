"""Heat to take out of wine, and the ice that takes it."""

from __future__ import annotations

from ..amounts import Celsius, Kilograms, Kilojoules, KilojoulesPerLitreKelvin, Litres, wine, within
from ..registry import calculator
from .checked import WINE_KJ_PER_L_K, temperature, wine_heat

ICE_KJ_PER_KG = 334.0
WATER_KJ_PER_KG_K = 4.19
"""Heat that melts a kilogram of ice, and that warms its water by one degree; from memory."""


@calculator(
    "heat_to_chill",
    result="heat to take out",
    formula="heat = volume_l x wine_kj_per_l_k x (from_c - to_c)",
)
def heat_to_chill(
    volume_l: Litres,
    from_c: Celsius,
    to_c: Celsius,
    wine_kj_per_l_k: KilojoulesPerLitreKelvin = WINE_KJ_PER_L_K,
) -> Kilojoules:
    """Heat to take out of a volume to bring it down, none coming in meanwhile.

    Range: volume above 0 L, from -30 to 100 C and not below to, wine 3 to 5 kJ/(L K); raises `OutOfRange`.
    """
    temperature("end", to_c)
    within("start", from_c, "C", at_least=to_c, at_most=100, mend="Chilling only brings it down.")
    return wine(volume_l) * wine_heat(wine_kj_per_l_k) * (from_c - to_c)


@calculator(
    "ice_to_chill",
    result="ice that melts for it",
    formula="ice = heat_kj / (334 + 4.19 x to_c)",
    working=lambda volume_l, from_c, to_c, wine_kj_per_l_k=WINE_KJ_PER_L_K: {
        "heat_kj": heat_to_chill(volume_l, from_c, to_c, wine_kj_per_l_k)
    },
)
def ice_to_chill(
    volume_l: Litres,
    from_c: Celsius,
    to_c: Celsius,
    wine_kj_per_l_k: KilojoulesPerLitreKelvin = WINE_KJ_PER_L_K,
) -> Kilograms:
    """Ice, in closed bottles, whose melting brings a volume down; none goes into the wine.

    The ice is taken at 0 C, its own cold from the freezer left aside, and its water warms to the end. Range: as in
    `heat_to_chill`, the end above 0 C, for ice in water cannot go below it; raises `OutOfRange`. Source: heat that
    melts ice 334 kJ/kg, from memory.
    """
    heat = heat_to_chill(volume_l, from_c, to_c, wine_kj_per_l_k)
    within(
        "end",
        to_c,
        "C",
        more_than=0,
        mend="Melting ice cannot go to 0 C or below; use a freezer or a jacket.",
    )
    return heat / (ICE_KJ_PER_KG + WATER_KJ_PER_KG_K * to_c)
