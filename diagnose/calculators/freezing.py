"""Where wine freezes, and how cold it may be chilled.

Every mole dissolved in a kilogram of water lowers the freezing point by the same 1.86 C (Blagden's law, from memory).
It holds for ethanol to within 0.5 C up to 25 % vol against the table of Lange's Handbook of Chemistry.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .amounts import (
    Celsius,
    CelsiusDifference,
    GramsPerLitre,
    Percent,
    PercentAlcohol,
    within,
)
from .registry import calculator, worksheet

LOWERING_C_KG_PER_MOL = 1.86
"""Lowering of the freezing point of water by a mole in a kilogram, from memory; the heat of melting of ice,
6.01 kJ/mol, gives the same."""

ETHANOL_G_PER_MOL = 46.07
SUGAR_G_PER_MOL = 180.16
"""Ethanol C2H6O; glucose or fructose C6H12O6; atomic masses."""

EXTRACT_G_PER_MOL = 120.0
"""Mean of the sugar-free extract, an estimate from memory between glycerol (92) and tartaric acid (150)."""

ETHANOL_G_PER_ML = 0.7892
WATER_G_PER_ML = 0.9982
"""Densities at 20 C, from memory."""

ETHANOL_ROOM_ML_PER_G = 1.155
SUGAR_ROOM_ML_PER_G = 0.62
"""Room that a gram takes in wine, from memory. Mixed with water, ethanol takes less than the 1.267 it has alone."""

MARGIN_C = 1.0
"""How far above freezing wine is held, 0.5 to 1 C: cellar rule, from memory. The law itself errs by up to 0.5 C."""


def _water_g_per_l(alcohol_percent: float, sugar_g_per_l: float, extract_g_per_l: float) -> float:
    ethanol_g = 10 * alcohol_percent * ETHANOL_G_PER_ML
    solids_g = sugar_g_per_l + extract_g_per_l
    return (1000 - ETHANOL_ROOM_ML_PER_G * ethanol_g - SUGAR_ROOM_ML_PER_G * solids_g) * WATER_G_PER_ML


def _dissolved_mol_per_l(alcohol_percent: float, sugar_g_per_l: float, extract_g_per_l: float) -> float:
    return (
        10 * alcohol_percent * ETHANOL_G_PER_ML / ETHANOL_G_PER_MOL
        + sugar_g_per_l / SUGAR_G_PER_MOL
        + extract_g_per_l / EXTRACT_G_PER_MOL
    )


def _freezing_working(
    alcohol_percent: float, sugar_g_per_l: float = 0.0, extract_g_per_l: float = 0.0
) -> Mapping[str, float]:
    return {
        "dissolved_mol_per_l": _dissolved_mol_per_l(alcohol_percent, sugar_g_per_l, extract_g_per_l),
        "water_kg_per_l": _water_g_per_l(alcohol_percent, sugar_g_per_l, extract_g_per_l) / 1000,
    }


@calculator(
    "freezing_point",
    result="where the first ice forms",
    formula="freezing = -1.86 x dissolved_mol_per_l / water_kg_per_l",
    working=_freezing_working,
)
def freezing_point(
    alcohol_percent: PercentAlcohol, sugar_g_per_l: GramsPerLitre = 0.0, extract_g_per_l: GramsPerLitre = 0.0
) -> Celsius:
    """Where the first ice forms in a wine, from its alcohol, its sugar and its sugar-free extract.

    Left at 0, sugar and extract are not counted, which errs on the warm, safe side. Range: alcohol 0 to 25 % vol,
    sugar 0 to 300 g/L, extract 0 to 60 g/L; raises `OutOfRange`. Formula: 1.86 C for each mole in a kilogram of
    water. Source: within 0.5 C of the table for ethanol and water in Lange's Handbook of Chemistry, table 5.13;
    sugar by the same law, from memory.
    """
    _alcohol(alcohol_percent)
    _solids(sugar_g_per_l, extract_g_per_l)
    moles = _dissolved_mol_per_l(alcohol_percent, sugar_g_per_l, extract_g_per_l)
    return (
        -1000
        * LOWERING_C_KG_PER_MOL
        * moles
        / _water_g_per_l(alcohol_percent, sugar_g_per_l, extract_g_per_l)
    )


@calculator(
    "lowest_chill_temperature",
    result="coldest the wine should be held",
    formula="lowest = freezing_c + margin_c",
    working=lambda alcohol_percent, sugar_g_per_l=0.0, extract_g_per_l=0.0, margin_c=MARGIN_C: {
        "freezing_c": freezing_point(alcohol_percent, sugar_g_per_l, extract_g_per_l)
    },
)
def lowest_chill_temperature(
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre = 0.0,
    extract_g_per_l: GramsPerLitre = 0.0,
    margin_c: CelsiusDifference = MARGIN_C,
) -> Celsius:
    """The coldest a wine should be held: its freezing point and a margin.

    Range: as in `freezing_point`, margin 0 to 5 C; raises `OutOfRange`. Source of the margin: cellar rule, hold
    0.5 to 1 C above freezing, from memory.
    """
    return freezing_point(alcohol_percent, sugar_g_per_l, extract_g_per_l) + _margin(margin_c)


@calculator(
    "cellar_rule_for_chilling",
    result="chill temperature by the cellar rule",
    formula="chill = -(alcohol_percent - 1) / 2",
)
def cellar_rule_for_chilling(alcohol_percent: PercentAlcohol) -> Celsius:
    """The chill temperature of the common cellar rule. A thin dry wine can ice at it: compare `freezing_point`.

    Range: 1 to 25 % vol; raises `OutOfRange`. Formula: half the alcohol less one, below zero. Source: cellar rule,
    from memory.
    """
    within(
        "alcohol",
        alcohol_percent,
        "% vol",
        at_least=1,
        at_most=25,
        mend="Give the strength of the wine; the rule is for wine, not for must.",
    )
    return -(alcohol_percent - 1) / 2


@calculator(
    "water_turned_to_ice",
    result="share of the water that is ice",
    formula="ice = 100 x (1 - freezing_c / wine_c), and 0 when wine_c is warmer than freezing_c",
    working=lambda wine_c, alcohol_percent, sugar_g_per_l=0.0, extract_g_per_l=0.0: {
        "freezing_c": freezing_point(alcohol_percent, sugar_g_per_l, extract_g_per_l)
    },
)
def water_turned_to_ice(
    wine_c: Celsius,
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre = 0.0,
    extract_g_per_l: GramsPerLitre = 0.0,
) -> Percent:
    """Share of its water that a wine has turned to ice once it has settled at a temperature.

    What stays liquid is stronger by as much, so the ice stops growing where its own freezing point is reached.
    Range: wine -10 to 40 C, alcohol, sugar and extract as in `freezing_point`; raises `OutOfRange`.
    Formula: the moles stay in the water that is left. Source: the same law as `freezing_point`.
    """
    within("wine", wine_c, "C", at_least=-10, at_most=40, mend="The law holds down to about -10 C.")
    freezing = freezing_point(alcohol_percent, sugar_g_per_l, extract_g_per_l)
    return 0.0 if wine_c >= freezing else 100 * (1 - freezing / wine_c)


@dataclass(frozen=True)
class ChillPlan:
    """A planned chill temperature against the freezing point."""

    freezes_at_c: Celsius
    lowest_c: Celsius
    cellar_rule_c: Celsius
    planned_c: Celsius
    room_to_freezing_c: CelsiusDifference
    ice_percent: Percent
    verdict: str
    """safe, close or freezes."""
    why: str


@worksheet("chill_plan", result="whether a planned chill keeps clear of ice")
def chill_plan(
    planned_c: Celsius,
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre = 0.0,
    extract_g_per_l: GramsPerLitre = 0.0,
    margin_c: CelsiusDifference = MARGIN_C,
) -> ChillPlan:
    """A planned chill temperature beside the freezing point, the cellar rule and the coldest that should be held.

    Range: planned -10 to 40 C, alcohol 1 to 25 % vol, sugar and extract as in `freezing_point`, margin 0 to 5 C;
    raises `OutOfRange`. Source: as in `freezing_point` and `cellar_rule_for_chilling`.
    """
    rule = cellar_rule_for_chilling(alcohol_percent)
    lowest = lowest_chill_temperature(alcohol_percent, sugar_g_per_l, extract_g_per_l, margin_c)
    freezing = lowest - margin_c
    verdict, why = _chill_verdict(planned_c, freezing, lowest)
    return ChillPlan(
        freezes_at_c=freezing,
        lowest_c=lowest,
        cellar_rule_c=rule,
        planned_c=planned_c,
        room_to_freezing_c=planned_c - freezing,
        ice_percent=water_turned_to_ice(planned_c, alcohol_percent, sugar_g_per_l, extract_g_per_l),
        verdict=verdict,
        why=why,
    )


def _chill_verdict(planned: float, freezing: float, lowest: float) -> tuple[str, str]:
    if planned < freezing:
        return "freezes", (
            f"Ice forms from {freezing:.1f} C. Wine swells as it freezes: a full, closed vessel bursts."
        )
    if planned < lowest:
        return (
            "close",
            f"Ice forms from {freezing:.1f} C, and colder places at a jacket or wall get there first.",
        )
    return "safe", f"Ice forms only from {freezing:.1f} C."


def _alcohol(value: float) -> float:
    return within(
        "alcohol",
        value,
        "% vol",
        at_least=0,
        at_most=25,
        mend="The law holds up to 25; stronger drinks need a table.",
    )


def _solids(sugar_g_per_l: float, extract_g_per_l: float) -> None:
    within("sugar", sugar_g_per_l, "g/L", at_least=0, at_most=300, mend="Give g/L; a Brix is about 10.5.")
    within("sugar-free extract", extract_g_per_l, "g/L", at_least=0, at_most=60, mend="About 20 is usual.")


def _margin(value: float) -> float:
    return within("margin", value, "C", at_least=0, at_most=5, mend="Half a degree to one is usual.")
