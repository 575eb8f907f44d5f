"""Heat that a ferment gives off, and how much it warms the must."""

from __future__ import annotations

from collections.abc import Mapping

from ..amounts import (
    CelsiusDifference,
    GramsPerLitre,
    GramsPerLitrePerDay,
    GramsPerMillilitre,
    KilojoulesPerKilogramKelvin,
    KilojoulesPerLitre,
    KilojoulesPerMole,
    Litres,
    Watts,
    wine,
    within,
)
from ..registry import calculator

HEAT_KJ_PER_MOL = 100.4
"""Heat of alcoholic fermentation of a mole of glucose or fructose, 24 kcal: Goelzer et al. 2009, as summarised by
a citing article. 98.3 (23.5 kcal) is used too, from memory."""

HEXOSE_G_PER_MOL = 180.16
"""C6H12O6, glucose or fructose; atomic masses."""

MUST_G_PER_ML = 1.08
MUST_KJ_PER_KG_K = 3.7
"""Density and specific heat of a must, from memory; 3.5 to 3.7 for 22 to 25 Brix."""

RISE_C_PER_17_G_PER_L = 1.3
"""Rise in a tank with its losses, for each 17 g/L of sugar: Cuenat, Revue suisse Vitic. Arboric. Hortic. 29(4),
1997."""

_SECONDS_PER_DAY = 86400.0


@calculator(
    "fermentation_heat",
    result="heat released in a litre",
    formula="heat = sugar_fermented_g_per_l / 180.16 x heat_kj_per_mol",
)
def fermentation_heat(
    sugar_fermented_g_per_l: GramsPerLitre, heat_kj_per_mol: KilojoulesPerMole = HEAT_KJ_PER_MOL
) -> KilojoulesPerLitre:
    """Heat that a litre of must gives off while an amount of sugar ferments.

    Range: sugar 0 to 400 g/L, heat 80 to 140 kJ/mol; raises `OutOfRange`. Formula: moles of sugar x heat of a mole.
    Source: 24 kcal (100.4 kJ) a mole of hexose, Goelzer et al. 2009, as summarised by a citing article.
    """
    within("heat of fermentation", heat_kj_per_mol, "kJ/mol", at_least=80, at_most=140, mend="Near 100.")
    return sugar(sugar_fermented_g_per_l) / HEXOSE_G_PER_MOL * heat_kj_per_mol


def _rise_working(
    sugar_fermented_g_per_l: float,
    must_g_per_ml: float = MUST_G_PER_ML,
    must_kj_per_kg_k: float = MUST_KJ_PER_KG_K,
) -> Mapping[str, float]:
    return {"heat_kj_per_l": fermentation_heat(sugar_fermented_g_per_l)}


@calculator(
    "warming_without_loss",
    result="rise when no heat is lost",
    formula="rise = heat_kj_per_l / (must_g_per_ml x must_kj_per_kg_k)",
    working=_rise_working,
)
def warming_without_loss(
    sugar_fermented_g_per_l: GramsPerLitre,
    must_g_per_ml: GramsPerMillilitre = MUST_G_PER_ML,
    must_kj_per_kg_k: KilojoulesPerKilogramKelvin = MUST_KJ_PER_KG_K,
) -> CelsiusDifference:
    """How much a ferment warms the must when no heat leaves it: the most there can be.

    Range: sugar 0 to 400 g/L, density 0.98 to 1.2 g/mL, specific heat 3 to 4.5 kJ/(kg K); raises `OutOfRange`.
    Formula: heat of a litre over the heat that warms it by one degree. Source: heat as in `fermentation_heat`;
    density and specific heat from memory.
    """
    within("density of the must", must_g_per_ml, "g/mL", at_least=0.98, at_most=1.2, mend="1.08 is usual.")
    within(
        "specific heat", must_kj_per_kg_k, "kJ/(kg K)", at_least=3, at_most=4.5, mend="3.7 must, 4.2 wine."
    )
    return fermentation_heat(sugar_fermented_g_per_l) / (must_g_per_ml * must_kj_per_kg_k)


@calculator(
    "warming_in_a_tank",
    result="rise in a tank with its losses",
    formula="rise = 1.3 x sugar_fermented_g_per_l / 17",
)
def warming_in_a_tank(sugar_fermented_g_per_l: GramsPerLitre) -> CelsiusDifference:
    """How much a ferment warms a tank as a rule, losses counted; a small vessel loses more, a large one less.

    Range: 0 to 400 g/L; raises `OutOfRange`. Formula: 1.3 C for each 17 g/L. Source: Cuenat, Revue suisse Vitic.
    Arboric. Hortic. 29(4), 1997.
    """
    return RISE_C_PER_17_G_PER_L * sugar(sugar_fermented_g_per_l) / 17


@calculator(
    "fermentation_power",
    result="heat to carry off all the time",
    formula="power = volume_l x heat_kj_per_l_day x 1000 / 86400",
    working=lambda volume_l, sugar_g_per_l_day: {"heat_kj_per_l_day": fermentation_heat(sugar_g_per_l_day)},
)
def fermentation_power(volume_l: Litres, sugar_g_per_l_day: GramsPerLitrePerDay) -> Watts:
    """Heat that a working ferment gives off all the time, in watts: what cooling must carry off to hold it.

    Range: volume above 0 L, sugar 0 to 200 g/L in a day; raises `OutOfRange`. One Brix is about 10.5 g/L.
    Source: heat as in `fermentation_heat`.
    """
    return 1000 * wine(volume_l) * fermentation_heat(sugar_a_day(sugar_g_per_l_day)) / _SECONDS_PER_DAY


def sugar(value: float) -> float:
    """Sugar that ferments, 0 to 400 g/L. Raises `OutOfRange`."""
    return within(
        "sugar fermented", value, "g/L", at_least=0, at_most=400, mend="Give it in g/L; a Brix is about 10.5."
    )


def sugar_a_day(value: float) -> float:
    """Sugar that ferments in a day, 0 to 200 g/L. Raises `OutOfRange`."""
    return within(
        "sugar in a day", value, "g/L", at_least=0, at_most=200, mend="A fast red ferment uses 40 to 70 g/L."
    )
