"""Sugar added to must before or while it ferments."""

from __future__ import annotations

from ..amounts import (
    Grams,
    GramsPerLitrePerPercentAlcohol,
    Litres,
    LitresPerKilogram,
    PercentAlcohol,
    within,
)
from ..registry import calculator
from .potential import sugar_per_percent_in_range

ADDED_SUGAR_PER_PERCENT = 17.0
"""g/L of sugar that practice counts for 1 % vol: Bordeaux glossary. Yeasts need 16.5 to 18.5, from memory."""

SUGAR_LITRES_PER_KG = 0.62
"""Litres that a dissolved kilogram of sucrose takes up: worked from NBS Circular C440, 0.617 at 10 Brix and 0.619
at 24 Brix."""


def _sugared(volume_l: float, per_percent: float, litres_per_kg: float) -> None:
    within("volume", volume_l, "L", more_than=0, mend="Give the must in litres.")
    sugar_per_percent_in_range(per_percent)
    within("litres a kilogram takes", litres_per_kg, "L/kg", at_least=0, at_most=1, mend="0.62 is usual.")


def _potential(what: str, percent: float) -> float:
    return within(what, percent, "% vol", at_least=0, at_most=20, mend="Yeast stops near 15 to 18 % vol.")


@calculator(
    "sugar_to_add",
    result="sugar to add",
    formula="sugar = volume_l x (wanted_percent - present_percent)"
    " / (1 / sugar_per_percent_g_per_l - wanted_percent x sugar_volume_l_per_kg / 1000)",
)
def sugar_to_add(
    volume_l: Litres,
    present_percent: PercentAlcohol,
    wanted_percent: PercentAlcohol,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = ADDED_SUGAR_PER_PERCENT,
    sugar_volume_l_per_kg: LitresPerKilogram = SUGAR_LITRES_PER_KG,
) -> Grams:
    """Grams of sugar that lift the potential alcohol of must to what is wanted, the room the sugar takes counted.

    Range: volume above 0 L, potential 0 to 20 % vol and the wanted not below the present, 15 to 20 g/L for
    1 % vol, 0 to 1 L/kg; raises `OutOfRange`. Formula: (volume x present + sugar / per percent) over the volume
    after = wanted. Law limits or forbids it in many places. Source: 17 g/L, Bordeaux glossary; 0.62 L/kg from NBS
    Circular C440.
    """
    _sugared(volume_l, sugar_per_percent_g_per_l, sugar_volume_l_per_kg)
    present = _potential("present potential alcohol", present_percent)
    wanted = _potential("wanted potential alcohol", wanted_percent)
    within("wanted potential alcohol", wanted, "% vol", at_least=present, mend="Sugar only lifts it.")
    gain_per_g = 1 / sugar_per_percent_g_per_l - wanted * sugar_volume_l_per_kg / 1000
    return volume_l * (wanted - present) / gain_per_g


@calculator(
    "volume_after_sugar",
    result="volume with the sugar in it",
    formula="volume = volume_l + sugar_g / 1000 x sugar_volume_l_per_kg",
)
def volume_after_sugar(
    volume_l: Litres, sugar_g: Grams, sugar_volume_l_per_kg: LitresPerKilogram = SUGAR_LITRES_PER_KG
) -> Litres:
    """Litres of must after sugar has dissolved in it: room to leave in the vessel.

    Range: volume above 0 L, sugar 0 g or more, 0 to 1 L/kg; raises `OutOfRange`. Source: NBS Circular C440.
    """
    _sugared(volume_l, ADDED_SUGAR_PER_PERCENT, sugar_volume_l_per_kg)
    within("sugar", sugar_g, "g", at_least=0, mend="Give grams of dry sugar.")
    return volume_l + sugar_g / 1000 * sugar_volume_l_per_kg


def _room(
    volume_l: float,
    present_percent: float,
    sugar_g: float,
    sugar_per_percent_g_per_l: float = ADDED_SUGAR_PER_PERCENT,
    sugar_volume_l_per_kg: float = SUGAR_LITRES_PER_KG,
) -> dict[str, float]:
    return {"volume_after": volume_after_sugar(volume_l, sugar_g, sugar_volume_l_per_kg)}


@calculator(
    "potential_alcohol_after_sugar",
    result="potential alcohol with the sugar",
    formula="alcohol = (volume_l x present_percent + sugar_g / sugar_per_percent_g_per_l) / volume_after",
    working=_room,
)
def potential_alcohol_after_sugar(
    volume_l: Litres,
    present_percent: PercentAlcohol,
    sugar_g: Grams,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = ADDED_SUGAR_PER_PERCENT,
    sugar_volume_l_per_kg: LitresPerKilogram = SUGAR_LITRES_PER_KG,
) -> PercentAlcohol:
    """Potential alcohol of must after an addition of sugar: the inverse of `sugar_to_add`.

    Range: sugar 0 g or more, the rest as there; raises `OutOfRange`. Source: as there.
    """
    _sugared(volume_l, sugar_per_percent_g_per_l, sugar_volume_l_per_kg)
    made = volume_l * _potential("present potential alcohol", present_percent)
    after = volume_after_sugar(volume_l, sugar_g, sugar_volume_l_per_kg)
    return (made + sugar_g / sugar_per_percent_g_per_l) / after
