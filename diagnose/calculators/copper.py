"""Copper: what an addition brings, and what stays. Always after a trial; copper is a poison."""

from __future__ import annotations

from .amounts import Grams, Litres, MilligramsPerLitre, Millilitres, Percent, wine, within
from .registry import calculator

COPPER_IN_SULFATE_PERCENT = 25.4
"""Copper in copper sulfate pentahydrate: NPIC technical fact sheet, Oregon State University."""


def _copper(what: str, value: float, most: float = 10) -> float:
    return within(what, value, "mg/L", at_least=0, at_most=most, mend="Trials run from 0.05 to 0.5 mg/L.")


@calculator(
    "copper_sulfate_g",
    result="copper sulfate pentahydrate for the vessel",
    formula="copper_mg_per_l x volume_l / 1000 x 100 / copper_percent",
)
def copper_sulfate_g(
    copper_mg_per_l: MilligramsPerLitre,
    volume_l: Litres,
    copper_percent: Percent = COPPER_IN_SULFATE_PERCENT,
) -> Grams:
    """Copper sulfate (the blue salt with its water) that brings so much copper. Only a dose found by a trial.

    Range: copper above 0 and at most 1 mg/L, volume above 0 L; raises `OutOfRange`. Source: 25.4 % copper, NPIC
    technical fact sheet.
    """
    within(
        "copper to add",
        copper_mg_per_l,
        "mg/L",
        more_than=0,
        at_most=1,
        mend="A trial that needs more has found another fault; ask a laboratory.",
    )
    within(
        "copper in the salt", copper_percent, "%", more_than=0, at_most=100, mend="25.4 for the blue salt."
    )
    return copper_mg_per_l * wine(volume_l) / 10 / copper_percent


@calculator(
    "copper_from_sulfate",
    result="copper brought in",
    formula="sulfate_mg_per_l x copper_percent / 100",
)
def copper_from_sulfate(
    sulfate_mg_per_l: MilligramsPerLitre, copper_percent: Percent = COPPER_IN_SULFATE_PERCENT
) -> MilligramsPerLitre:
    """Copper that an amount of copper sulfate brings. Range: 0 to 100 mg/L of the salt; raises `OutOfRange`.

    Source: 25.4 % copper, NPIC technical fact sheet; OIV II.3.5.8 allows 10 mg/L of the salt.
    """
    within("copper sulfate", sulfate_mg_per_l, "mg/L", at_least=0, at_most=100, mend="1 g/hL is 10 mg/L.")
    within(
        "copper in the salt", copper_percent, "%", more_than=0, at_most=100, mend="25.4 for the blue salt."
    )
    return sulfate_mg_per_l * copper_percent / 100


@calculator(
    "copper_in_jar",
    result="copper in the jar",
    formula="stock_ml x stock_sulfate_mg_per_l x 25.4 / 100 / sample_ml",
)
def copper_in_jar(
    stock_ml: Millilitres, sample_ml: Millilitres = 100.0, stock_sulfate_mg_per_l: MilligramsPerLitre = 40.0
) -> MilligramsPerLitre:
    """Copper that a measured volume of thinned copper sulfate brings into a jar of wine.

    The stock of the published trial is 1 mL of a 1 % solution made up to 250 mL: 40 mg/L of the salt. Range:
    stock 0 to 50 mL, sample above 0 mL, strength above 0 and at most 10000 mg/L; raises `OutOfRange`.
    Source: Dharmadhikari, Iowa State University: 1 mL in 100 mL is 0.1 mg/L.
    """
    within("stock", stock_ml, "mL", at_least=0, at_most=50, mend="0.5 to 5 mL are usual.")
    within("sample", sample_ml, "mL", more_than=0, at_most=20000, mend="100 mL is usual.")
    within("strength", stock_sulfate_mg_per_l, "mg/L", more_than=0, at_most=10000, mend="40 is usual.")
    return stock_ml * stock_sulfate_mg_per_l * COPPER_IN_SULFATE_PERCENT / 100 / sample_ml


@calculator("copper_left", result="copper left if none falls", formula="start_mg_per_l + added_mg_per_l")
def copper_left(start_mg_per_l: MilligramsPerLitre, added_mg_per_l: MilligramsPerLitre) -> MilligramsPerLitre:
    """Copper in the wine after an addition, if nothing falls out again; hold it against the limit of your law.

    Range: each 0 to 10 mg/L; raises `OutOfRange`. Source: balance of mass. Some copper falls with the sulfide
    it binds, so a measurement may find less; only a laboratory can say.
    """
    return _copper("copper at the start", start_mg_per_l) + _copper("copper added", added_mg_per_l)
