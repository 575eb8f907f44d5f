"""What to weigh or measure out for an addition of sulfur dioxide, and what it comes to.

The strength of a powder is what it holds of the pure salt, in percent; 95 is the least that the Austrian wine
treatment ordinance (section 3) lets pass. Powder that is old, damp or caked has less, and only a test tells how
much: `powder_strength`.
"""

from __future__ import annotations

from ..amounts import (
    Grams,
    GramsPerLitre,
    Litres,
    MilligramsPerLitre,
    Millilitres,
    OutOfRange,
    Percent,
    wine,
    within,
)
from ..registry import calculator

# Standard atomic weights, rounded (IUPAC), from memory.
_POTASSIUM, _SODIUM, _SULFUR, _OXYGEN = 39.0983, 22.9898, 32.06, 15.999
SO2_G_PER_MOL = _SULFUR + 2 * _OXYGEN

SO2_IN_POTASSIUM_METABISULFITE = 2 * SO2_G_PER_MOL / (2 * _POTASSIUM + 2 * _SULFUR + 5 * _OXYGEN)
"""Grams of sulfur dioxide in a gram of the pure salt, from molar masses: 0.576."""

SO2_IN_SODIUM_METABISULFITE = 2 * SO2_G_PER_MOL / (2 * _SODIUM + 2 * _SULFUR + 5 * _OXYGEN)
"""Grams of sulfur dioxide in a gram of the pure salt, from molar masses: 0.674."""

_POWDER = "so2_mg_per_l x volume_l / (10 x so2_percent x powder_strength_percent / 100)"
_FROM_POWDER = "10 x powder_g x so2_percent x powder_strength_percent / 100 / volume_l"


def _potassium(**_inputs: float) -> dict[str, float]:
    return {"so2_percent": 100 * SO2_IN_POTASSIUM_METABISULFITE}


def _sodium(**_inputs: float) -> dict[str, float]:
    return {"so2_percent": 100 * SO2_IN_SODIUM_METABISULFITE}


@calculator(
    "potassium_metabisulfite_g",
    result="potassium metabisulfite to weigh",
    formula=_POWDER,
    working=_potassium,
)
def potassium_metabisulfite_g(
    so2_mg_per_l: MilligramsPerLitre, volume_l: Litres, powder_strength_percent: Percent = 100.0
) -> Grams:
    """Potassium metabisulfite powder for an addition of sulfur dioxide, in g.

    Range: addition 0 to 500 mg/L, wine above 0 L, strength 20 to 100 % of pure salt. Raises `OutOfRange`.
    Formula: mg/L x L / 1000 / (0.576 x strength). Source: molar masses (222.3 g of salt hold 128.1 g SO2).
    """
    return _powder_g(
        so2_mg_per_l, volume_l, SO2_IN_POTASSIUM_METABISULFITE * _powder(powder_strength_percent)
    )


@calculator(
    "sodium_metabisulfite_g", result="sodium metabisulfite to weigh", formula=_POWDER, working=_sodium
)
def sodium_metabisulfite_g(
    so2_mg_per_l: MilligramsPerLitre, volume_l: Litres, powder_strength_percent: Percent = 100.0
) -> Grams:
    """Sodium metabisulfite powder for an addition of sulfur dioxide, in g.

    It is stronger than the potassium salt by a sixth. The United States list for wine (27 CFR 24.246) and the OIV
    name only sulfur dioxide and the potassium salt; the sodium salt is common for cleaning.
    Range: addition 0 to 500 mg/L, wine above 0 L, strength 20 to 100 % of pure salt. Raises `OutOfRange`.
    Formula: mg/L x L / 1000 / (0.674 x strength). Source: molar masses (190.1 g of salt hold 128.1 g SO2).
    """
    return _powder_g(so2_mg_per_l, volume_l, SO2_IN_SODIUM_METABISULFITE * _powder(powder_strength_percent))


@calculator(
    "so2_from_potassium_metabisulfite",
    result="sulfur dioxide added",
    formula=_FROM_POWDER,
    working=_potassium,
)
def so2_from_potassium_metabisulfite(
    powder_g: Grams, volume_l: Litres, powder_strength_percent: Percent = 100.0
) -> MilligramsPerLitre:
    """Sulfur dioxide that a weight of potassium metabisulfite adds, in mg/L.

    Range: powder at least 0 g, wine above 0 L, strength 20 to 100 % of pure salt. Raises `OutOfRange`.
    Formula and source: `potassium_metabisulfite_g` the other way round.
    """
    return _so2_of(powder_g, volume_l, SO2_IN_POTASSIUM_METABISULFITE * _powder(powder_strength_percent))


@calculator(
    "so2_from_sodium_metabisulfite", result="sulfur dioxide added", formula=_FROM_POWDER, working=_sodium
)
def so2_from_sodium_metabisulfite(
    powder_g: Grams, volume_l: Litres, powder_strength_percent: Percent = 100.0
) -> MilligramsPerLitre:
    """Sulfur dioxide that a weight of sodium metabisulfite adds, in mg/L.

    Range: powder at least 0 g, wine above 0 L, strength 20 to 100 % of pure salt. Raises `OutOfRange`.
    Formula and source: `sodium_metabisulfite_g` the other way round.
    """
    return _so2_of(powder_g, volume_l, SO2_IN_SODIUM_METABISULFITE * _powder(powder_strength_percent))


@calculator(
    "potassium_metabisulfite_solution_ml",
    result="solution to measure out",
    formula="so2_mg_per_l x volume_l / (10 x solution_percent x so2_percent / 100 x powder_strength_percent / 100)",
    working=_potassium,
)
def potassium_metabisulfite_solution_ml(
    so2_mg_per_l: MilligramsPerLitre,
    volume_l: Litres,
    solution_percent: Percent = 10.0,
    powder_strength_percent: Percent = 100.0,
) -> Millilitres:
    """Solution of potassium metabisulfite for an addition of sulfur dioxide, in mL.

    A 10 % solution is 100 g of powder made up to one litre with cold water: 57.6 g of SO2 in the litre. Such
    solutions are unstable (OIV-OENO 646-2019); make it fresh. Range: addition 0 to 500 mg/L, wine above 0 L,
    solution above 0 and at most 20 %, strength 20 to 100 % of pure salt. Raises `OutOfRange`.
    Formula: grams of powder x 100 / percent.
    """
    percent = within(
        "strength of the solution",
        solution_percent,
        "%",
        more_than=0,
        at_most=20,
        mend="100 g made up to one litre is 10 %; make it no stronger, so that it dissolves whole.",
    )
    return potassium_metabisulfite_g(so2_mg_per_l, volume_l, powder_strength_percent) * 100 / percent


@calculator(
    "so2_water_ml",
    result="sulfur dioxide water to measure out",
    formula="so2_mg_per_l x volume_l / so2_g_per_l",
)
def so2_water_ml(
    so2_mg_per_l: MilligramsPerLitre, volume_l: Litres, so2_g_per_l: GramsPerLitre
) -> Millilitres:
    """Sulfur dioxide water, or bisulfite solution, of a given strength for an addition, in mL.

    The strength is grams of SO2 in a litre, from the label or a titration. Range: addition 0 to 500 mg/L, wine
    above 0 L, strength 1 to 200 g/L. Raises `OutOfRange`. Formula: mg/L x L / (g/L).
    Source of the top: potassium bisulfite solutions hold 70 to 200 g/L (OIV COEI-1-POTBIS as amended 2019);
    water in the open takes up 113 g/L at 20 C (Blouin, SO2 in oenology).
    """
    within(
        "strength of the sulfur dioxide water",
        so2_g_per_l,
        "g/L",
        at_least=1,
        at_most=200,
        mend="Give grams of SO2 in a litre: 6 % is about 60 g/L.",
    )
    return _addition(so2_mg_per_l) * wine(volume_l) / so2_g_per_l


@calculator(
    "powder_strength",
    result="strength of the powder, of pure potassium salt",
    formula="100 x (total_after_mg_per_l - total_before_mg_per_l) x volume_l / (10 x powder_g x so2_percent)",
    working=_potassium,
)
def powder_strength(
    total_before_mg_per_l: MilligramsPerLitre,
    total_after_mg_per_l: MilligramsPerLitre,
    powder_g: Grams,
    volume_l: Litres,
) -> Percent:
    """Strength of a potassium metabisulfite powder, from what a trial addition did to the total, in percent.

    Loss to the air while dosing, or to oxygen in the wine, gives the same sign as weak powder. Range: totals 0 to
    2000 mg/L, the second above the first; powder above 0 g; wine or water above 0 L; a result of at most 110 %.
    Raises `OutOfRange`. Formula: rise of the total over what pure salt would give.
    """
    _total(total_before_mg_per_l)
    _total(total_after_mg_per_l)
    if total_after_mg_per_l <= total_before_mg_per_l:
        raise OutOfRange(
            f"The total went from {total_before_mg_per_l:g} to {total_after_mg_per_l:g} mg/L. It must rise after an "
            "addition; check that the powder was stirred in and both samples are the right way round."
        )
    within("powder", powder_g, "g", more_than=0, mend="Give what was weighed out.")
    pure = _so2_of(powder_g, volume_l, SO2_IN_POTASSIUM_METABISULFITE)
    return within(
        "strength found",
        100 * (total_after_mg_per_l - total_before_mg_per_l) / pure,
        "%",
        at_most=110,
        mend="No powder is above 100. Weigh, mix and titrate again; is it the sodium salt (117)?",
    )


@calculator(
    "total_so2_after_addition", result="total sulfur dioxide", formula="total_so2_mg_per_l + so2_mg_per_l"
)
def total_so2_after_addition(
    total_so2_mg_per_l: MilligramsPerLitre, so2_mg_per_l: MilligramsPerLitre
) -> MilligramsPerLitre:
    """Total sulfur dioxide after an addition: all of it counts, free or bound. In mg/L.

    Range: total 0 to 2000 mg/L, addition 0 to 500 mg/L. Raises `OutOfRange`. Formula: the sum.
    """
    return _total(total_so2_mg_per_l) + _addition(so2_mg_per_l)


@calculator(
    "room_under_so2_limit",
    result="addition that the limit still allows; below 0 the wine is over it",
    formula="limit_mg_per_l - total_so2_mg_per_l",
)
def room_under_so2_limit(
    total_so2_mg_per_l: MilligramsPerLitre, limit_mg_per_l: MilligramsPerLitre
) -> MilligramsPerLitre:
    """Sulfur dioxide that may still be added before the total meets a limit, in mg/L; below 0 the wine is over it.

    Range: total 0 to 2000 mg/L, limit above 0 and at most 2000 mg/L. Raises `OutOfRange`. Formula: limit - total.
    """
    return limit(limit_mg_per_l) - _total(total_so2_mg_per_l)


def limit(value: float) -> float:
    """A limit on the total in mg/L: above 0, at most 2000. Raises `OutOfRange`."""
    return within(
        "limit", value, "mg/L", more_than=0, at_most=2000, mend="Give the limit that your law sets, in mg/L."
    )


def _total(value: float) -> float:
    return within(
        "total sulfur dioxide", value, "mg/L", at_least=0, at_most=2000, mend="Check the unit: mg/L."
    )


def _addition(value: float) -> float:
    return within(
        "addition",
        value,
        "mg/L",
        at_least=0,
        at_most=500,
        mend="Check the unit; more in one step passes the limits for table wine by far.",
    )


def _powder(strength_percent: float) -> float:
    """Strength as a fraction. Under 20 % the powder is for the bin, and the figure more likely a fraction."""
    return (
        within(
            "strength of the powder",
            strength_percent,
            "%",
            at_least=20,
            at_most=100,
            mend="Give percent of the pure salt, 100 when fresh; replace a powder weaker than this.",
        )
        / 100
    )


def _powder_g(so2_mg_per_l: float, volume_l: float, so2_fraction: float) -> float:
    return _addition(so2_mg_per_l) * wine(volume_l) / 1000 / so2_fraction


def _so2_of(powder_g: float, volume_l: float, so2_fraction: float) -> float:
    within("powder", powder_g, "g", at_least=0, mend="Give the weight in grams.")
    return 1000 * powder_g * so2_fraction / wine(volume_l)
