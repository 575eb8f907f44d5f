"""How much nitrogen a must needs, by its sugar and the strain of yeast."""

from __future__ import annotations

from itertools import pairwise

from ..amounts import (
    Brix,
    GramsPerLitre,
    MilligramsPerGram,
    MilligramsPerLitre,
    PercentAlcohol,
    within,
)
from ..registry import calculator

LOW_DEMAND_MG_PER_G = 0.75
MEDIUM_DEMAND_MG_PER_G = 0.9
HIGH_DEMAND_MG_PER_G = 1.25
"""Nitrogen that a strain of low, medium and high demand needs, mg per g of sugar, from memory. Taillandier,
Ramon-Portugal, Fuster, Strehaiano 2007 measured 0.62 to 0.91 on four strains, which bears out the first two."""

_BY_BRIX = ((21.0, 200.0), (23.0, 250.0), (25.0, 300.0), (27.0, 350.0))
_BY_ALCOHOL = ((12.0, 150.0), (14.0, 210.0))
_BASE_WINE = ((8.5, 60.0), (9.5, 80.0), (11.0, 100.0))


@calculator(
    "nitrogen_needed",
    result="nitrogen the must needs",
    formula="nitrogen_needed = sugar_g_per_l x demand_mg_per_g",
)
def nitrogen_needed(
    sugar_g_per_l: GramsPerLitre, demand_mg_per_g: MilligramsPerGram = MEDIUM_DEMAND_MG_PER_G
) -> MilligramsPerLitre:
    """Nitrogen that a must needs for its sugar, by the demand of the strain.

    Range: sugar 50 to 400 g/L, demand 0.4 to 2 mg of nitrogen per g of sugar; raises `OutOfRange`.
    Formula: sugar x demand. Source: 0.62 to 0.91 mg/g on four strains, Taillandier, Ramon-Portugal, Fuster,
    Strehaiano 2007; the default 0.9 for a strain of medium demand is from memory.
    """
    within(
        "demand of the strain",
        demand_mg_per_g,
        "mg/g",
        at_least=0.4,
        at_most=2,
        mend="0.62 to 0.91 mg of nitrogen for each g of sugar is published; take the figure of the strain.",
    )
    return _sugar(sugar_g_per_l) * demand_mg_per_g


@calculator(
    "nitrogen_needed_low_demand",
    result="nitrogen the must needs",
    formula="nitrogen_needed = sugar_g_per_l x 0.75",
)
def nitrogen_needed_low_demand(sugar_g_per_l: GramsPerLitre) -> MilligramsPerLitre:
    """Nitrogen that a must needs with a strain of low demand: 0.75 mg for each g of sugar.

    Range: sugar 50 to 400 g/L; raises `OutOfRange`. The factor is from memory; it lies inside the 0.62 to 0.91
    measured by Taillandier, Ramon-Portugal, Fuster, Strehaiano 2007.
    """
    return nitrogen_needed(sugar_g_per_l, LOW_DEMAND_MG_PER_G)


@calculator(
    "nitrogen_needed_medium_demand",
    result="nitrogen the must needs",
    formula="nitrogen_needed = sugar_g_per_l x 0.9",
)
def nitrogen_needed_medium_demand(sugar_g_per_l: GramsPerLitre) -> MilligramsPerLitre:
    """Nitrogen that a must needs with a strain of medium demand: 0.9 mg for each g of sugar.

    Range: sugar 50 to 400 g/L; raises `OutOfRange`. The factor is from memory; it lies at the upper end of the
    0.62 to 0.91 measured by Taillandier, Ramon-Portugal, Fuster, Strehaiano 2007.
    """
    return nitrogen_needed(sugar_g_per_l, MEDIUM_DEMAND_MG_PER_G)


@calculator(
    "nitrogen_needed_high_demand",
    result="nitrogen the must needs",
    formula="nitrogen_needed = sugar_g_per_l x 1.25",
)
def nitrogen_needed_high_demand(sugar_g_per_l: GramsPerLitre) -> MilligramsPerLitre:
    """Nitrogen that a must needs with a strain of high demand: 1.25 mg for each g of sugar.

    Range: sugar 50 to 400 g/L; raises `OutOfRange`. The factor is from memory.
    """
    return nitrogen_needed(sugar_g_per_l, HIGH_DEMAND_MG_PER_G)


@calculator(
    "nitrogen_needed_by_brix",
    result="nitrogen the must needs",
    formula="nitrogen_needed = 200 + 25 x (brix - 21)",
)
def nitrogen_needed_by_brix(brix: Brix) -> MilligramsPerLitre:
    """Nitrogen that a must needs by its Brix, for an ordinary strain: 200 mg/L at 21, 25 more for each Brix.

    Range: 21 to 27 Brix, the ends of the table; raises `OutOfRange`. Formula: straight lines between 200, 250,
    300 and 350 mg/L at 21, 23, 25 and 27 Brix. Source: from memory, usually credited to Bisson & Butzke 2000.
    """
    return _between(_BY_BRIX, "Brix of the must", brix, "Brix")


@calculator(
    "nitrogen_needed_by_alcohol",
    result="nitrogen the must needs",
    formula="nitrogen_needed = 150 + 30 x (potential_alcohol_percent - 12)",
)
def nitrogen_needed_by_alcohol(potential_alcohol_percent: PercentAlcohol) -> MilligramsPerLitre:
    """Nitrogen that a must needs by the alcohol it can make: the French rule.

    Range: 12 to 14 % vol, the ends of the printed rule; raises `OutOfRange`. Formula: a straight line from 150
    to 210 mg/L. Source: Vitisphere, 12 July 2019, advice for fermenting.
    """
    return _between(_BY_ALCOHOL, "potential alcohol", potential_alcohol_percent, "% vol")


@calculator(
    "nitrogen_needed_base_wine",
    result="nitrogen the must needs",
    formula="straight lines between 60, 80 and 100 mg/L at base_wine_alcohol_percent 8.5, 9.5 and 11",
)
def nitrogen_needed_base_wine(base_wine_alcohol_percent: PercentAlcohol) -> MilligramsPerLitre:
    """Nitrogen that a weak must needs to ferment out within ten days, by the alcohol it can make.

    Range: 8.5 to 11 % vol; raises `OutOfRange`. Formula: straight lines between the printed points.
    Source: Station viticole de Cognac (C. Roulland), in La Vigne.
    """
    return _between(_BASE_WINE, "potential alcohol", base_wine_alcohol_percent, "% vol")


def _sugar(value: float) -> float:
    return within(
        "sugar of the must",
        value,
        "g/L",
        at_least=50,
        at_most=400,
        mend="Give the sugar at the start in g/L: 22 Brix is near 210 of fermentable sugar.",
    )


def _between(points: tuple[tuple[float, float], ...], what: str, value: float, unit: str) -> float:
    """The value on straight lines between printed points."""
    within(
        what,
        value,
        unit,
        at_least=points[0][0],
        at_most=points[-1][0],
        mend="The published figures end there; work from the sugar and the demand of the strain instead.",
    )
    (x0, y0), (x1, y1) = next(line for line in pairwise(points) if value <= line[1][0])
    return y0 + (y1 - y0) * (value - x0) / (x1 - x0)
