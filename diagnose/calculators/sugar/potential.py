"""Sugar in must that can ferment, and the alcohol it can make."""

from __future__ import annotations

from dataclasses import dataclass

from .. import densities
from ..amounts import (
    Baume,
    Brix,
    GramsPerLitre,
    GramsPerLitrePerPercentAlcohol,
    KlosterneuburgDegrees,
    Oechsle,
    PercentAlcohol,
    PercentAlcoholPerBrix,
    SpecificGravity,
    within,
)
from ..registry import calculator, worksheet
from .scales import (
    baume_from_gravity,
    brix_from_gravity,
    extract_from_gravity,
    kmw_from_oechsle,
    oechsle_from_gravity,
)

SUGAR_PER_PERCENT = 16.83
"""g/L of glucose and fructose for 1 % vol, the official figure: IFV (French vine and wine institute), Mutage des
vins blancs doux."""

ALCOHOL_PER_BRIX = 0.60
"""% vol for each Brix to plan with; 0.65 is the most: University of California Davis, Viticulture & Enology,
fermentation management guide, Normal start: becoming sluggish."""

MUST_SUGAR_PER_OECHSLE = 2.66
MUST_SUGAR_OFFSET = 30.0
"""g/L of fermentable sugar = 2.66 x Oechsle - 30, the classical must formula, from memory. What it takes off is
the acid, salts and the rest that also weigh."""


def sugar_per_percent_in_range(sugar: float) -> float:
    """Sugar for one percent of alcohol, 15 to 20 g/L; raises `OutOfRange` otherwise."""
    return within(
        "sugar for 1 % vol", sugar, "g/L", at_least=15, at_most=20, mend="16.83 is official, 17 is practice."
    )


@calculator("must_sugar", result="fermentable sugar", formula="sugar = 2660 x (gravity - 1) - 30")
def must_sugar(gravity: SpecificGravity) -> GramsPerLitre:
    """g/L of sugar that can ferment in grape must of this gravity, before any fermentation.

    Range: 1.03 to 1.15; raises `OutOfRange`. Not once it ferments, and not for other fruit, whose acid and salts
    weigh otherwise. Source: the classical must formula, from memory.
    """
    within(
        "gravity", gravity, "SG", at_least=1.03, at_most=1.15, mend="Use it for fresh must of grapes only."
    )
    return MUST_SUGAR_PER_OECHSLE * densities.oechsle_from_sg(gravity) - MUST_SUGAR_OFFSET


@calculator(
    "potential_alcohol",
    result="alcohol it can make",
    formula="alcohol = sugar_g_per_l / sugar_per_percent_g_per_l",
)
def potential_alcohol(
    sugar_g_per_l: GramsPerLitre,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT,
) -> PercentAlcohol:
    """% vol that an amount of fermentable sugar makes when all of it ferments.

    Range: sugar 0 to 500 g/L, 15 to 20 g/L for 1 % vol; raises `OutOfRange`. Source: 16.83 g/L of glucose and
    fructose, IFV; the Bordeaux glossary counts 17.
    """
    within("sugar", sugar_g_per_l, "g/L", at_least=0, at_most=500, mend="Give g/L, not Brix.")
    return sugar_g_per_l / sugar_per_percent_in_range(sugar_per_percent_g_per_l)


@calculator(
    "sugar_for_alcohol",
    result="sugar that makes it",
    formula="sugar = alcohol_percent x sugar_per_percent_g_per_l",
)
def sugar_for_alcohol(
    alcohol_percent: PercentAlcohol,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT,
) -> GramsPerLitre:
    """g/L of sugar that makes an alcohol: the inverse of `potential_alcohol`.

    Range: 0 to 25 % vol; raises `OutOfRange`. Source: as there.
    """
    within("alcohol", alcohol_percent, "% vol", at_least=0, at_most=25, mend="No yeast makes more.")
    return alcohol_percent * sugar_per_percent_in_range(sugar_per_percent_g_per_l)


@calculator(
    "potential_alcohol_from_gravity",
    result="alcohol it can make",
    formula="alcohol = (2660 x (gravity - 1) - 30) / sugar_per_percent_g_per_l",
)
def potential_alcohol_from_gravity(
    gravity: SpecificGravity, sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT
) -> PercentAlcohol:
    """% vol that fresh grape must of this gravity makes when it ferments dry.

    Range: 1.03 to 1.15; raises `OutOfRange`. Source: `must_sugar` and `potential_alcohol`.
    """
    return potential_alcohol(must_sugar(gravity), sugar_per_percent_g_per_l)


@calculator(
    "potential_alcohol_from_brix",
    result="alcohol it can make",
    formula="alcohol = (brix - non_sugar_brix) x alcohol_per_brix",
)
def potential_alcohol_from_brix(
    brix: Brix, alcohol_per_brix: PercentAlcoholPerBrix = ALCOHOL_PER_BRIX, non_sugar_brix: Brix = 0.0
) -> PercentAlcohol:
    """% vol to plan with from the Brix of fresh juice: the quick sum.

    Range: 5 to 45 Brix, factor 0.5 to 0.7, non-sugar 0 to 5 Brix; raises `OutOfRange`. Source: UC Davis
    fermentation management guide, 0.60 to plan with and 0.65 at most; Purdue (Butzke 2018) takes 3 Brix off first
    and then counts 0.58 to 0.66.
    """
    within("Brix", brix, "", at_least=5, at_most=45, mend="Give the Brix of fresh juice.")
    within("factor", alcohol_per_brix, "% vol per Brix", at_least=0.5, at_most=0.7, mend="0.60 is usual.")
    within("non-sugar", non_sugar_brix, "Brix", at_least=0, at_most=5, mend="0, or 3 with Purdue's sum.")
    return (brix - non_sugar_brix) * alcohol_per_brix


@dataclass(frozen=True)
class MustScales:
    """One gravity on every scale."""

    gravity: SpecificGravity
    brix: Brix
    oechsle: Oechsle
    klosterneuburg: KlosterneuburgDegrees
    baume: Baume
    extract_g_per_l: GramsPerLitre
    must_sugar_g_per_l: GramsPerLitre
    potential_alcohol_percent: PercentAlcohol


@worksheet("must_scales", result="one gravity on every scale")
def must_scales(
    gravity: SpecificGravity, sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT
) -> MustScales:
    """A fresh grape must read on every scale, with its sugar and the alcohol it can make.

    Range: gravity 1.03 to 1.15; raises `OutOfRange`. Source: the calculators of each scale.
    """
    sugar = must_sugar(gravity)
    oechsle = oechsle_from_gravity(gravity)
    return MustScales(
        gravity,
        brix_from_gravity(gravity),
        oechsle,
        kmw_from_oechsle(oechsle),
        baume_from_gravity(gravity),
        extract_from_gravity(gravity),
        sugar,
        potential_alcohol(sugar, sugar_per_percent_g_per_l),
    )
