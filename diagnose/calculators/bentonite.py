"""Bentonite: doses, slurries, the water they bring and the wine they cost.

A dose is grams of dry clay per litre of wine, the wine measured before the slurry goes in. That is how a
vessel is dosed, so a bench trial must count the same way.
"""

from __future__ import annotations

from .amounts import (
    Grams,
    GramsPerHectolitre,
    GramsPerLitre,
    GramsPerMillilitre,
    Litres,
    MilligramsPerLitre,
    Millilitres,
    MillilitresPerGram,
    Percent,
    PlainNumber,
    PoundsPer1000Gallons,
    TurbidityUnits,
    dose,
    strength,
    wine,
    within,
)
from .registry import calculator

CLAY_DENSITY_G_PER_ML = 2.5
"""Density of dry bentonite, from memory; at 5 % an error of 0.2 moves the slurry by less than 0.2 %."""

LEES_PERCENT = (5.0, 10.0)
"""Wine held in bentonite lees, percent of the treated volume: Tattersall 2001, quoted by Waters & Colby,
Proteins, in Wine Chemistry and Biochemistry (Springer 2009), p. 223."""

WATER_PERCENT_US = 1.0
"""Water that fining may bring into wine, percent, all additions together: 27 CFR 24.246."""

SWELLING_WATER_ML_PER_G = 16.7
"""Water to swell the clay in, at most: Butzke, Purdue Extension FS-53-W, as quoted (16.7 L/kg)."""

_G_PER_L_OF_LB_PER_1000_GAL = 453.59237 / 3785.411784


@calculator("dose_from_g_per_hl", result="the same dose", formula="dose_g_per_hl / 100")
def dose_from_g_per_hl(dose_g_per_hl: GramsPerHectolitre) -> GramsPerLitre:
    """A dose in g/hL as g/L. Range: at least 0; raises `OutOfRange`. 100 g/hL is 1 g/L."""
    return within("dose", dose_g_per_hl, "g/hL", at_least=0, mend="A dose is never negative.") / 100


@calculator("dose_to_g_per_hl", result="the same dose", formula="dose_g_per_l x 100")
def dose_to_g_per_hl(dose_g_per_l: GramsPerLitre) -> GramsPerHectolitre:
    """A dose in g/L as g/hL. Range: at least 0; raises `OutOfRange`. 1 g/L is 100 g/hL."""
    return within("dose", dose_g_per_l, "g/L", at_least=0, mend="A dose is never negative.") * 100


@calculator(
    "dose_from_lb_per_1000_gal",
    result="the same dose",
    formula="dose_lb_per_1000_gal x 453.59237 / 3785.411784",
)
def dose_from_lb_per_1000_gal(dose_lb_per_1000_gal: PoundsPer1000Gallons) -> GramsPerLitre:
    """A dose in lb/1000 US gal as g/L. Range: at least 0; raises `OutOfRange`.

    Source: definitions of the pound (453.59237 g) and the US gallon (3.785411784 L).
    """
    within("dose", dose_lb_per_1000_gal, "lb/1000 gal", at_least=0, mend="A dose is never negative.")
    return dose_lb_per_1000_gal * _G_PER_L_OF_LB_PER_1000_GAL


@calculator(
    "dose_to_lb_per_1000_gal", result="the same dose", formula="dose_g_per_l x 3785.411784 / 453.59237"
)
def dose_to_lb_per_1000_gal(dose_g_per_l: GramsPerLitre) -> PoundsPer1000Gallons:
    """A dose in g/L as lb/1000 US gal. Range: at least 0; raises `OutOfRange`.

    Source: definitions of the pound (453.59237 g) and the US gallon (3.785411784 L).
    """
    within("dose", dose_g_per_l, "g/L", at_least=0, mend="A dose is never negative.")
    return dose_g_per_l / _G_PER_L_OF_LB_PER_1000_GAL


@calculator("bentonite_grams", result="dry clay for the vessel", formula="dose_g_per_l x volume_l")
def bentonite_grams(dose_g_per_l: GramsPerLitre, volume_l: Litres) -> Grams:
    """Dry clay for a vessel: dose x volume.

    Range: dose above 0 and at most 20 g/L, volume above 0 L; raises `OutOfRange`.
    """
    return dose(dose_g_per_l) * wine(volume_l)


@calculator("slurry_g_per_l_made_up", result="clay in a litre of slurry", formula="10 x percent_by_volume")
def slurry_g_per_l_made_up(percent_by_volume: Percent) -> GramsPerLitre:
    """Strength of a slurry made up to volume: 5 % is 50 g of clay made up to one litre.

    Range: above 0 and at most 20 %; raises `OutOfRange`. Formula: 10 x percent.
    """
    return 10 * _slurry_percent(percent_by_volume)


@calculator(
    "slurry_g_per_l_weighed",
    result="clay in a litre of slurry",
    formula="1000 x percent_by_mass / (percent_by_mass / clay_density_g_per_ml + 100 - percent_by_mass)",
)
def slurry_g_per_l_weighed(
    percent_by_mass: Percent, clay_density_g_per_ml: GramsPerMillilitre = CLAY_DENSITY_G_PER_ML
) -> GramsPerLitre:
    """Strength of a slurry mixed by weight: 5 % is 5 g of clay with 95 g of water.

    It is a little stronger by the litre than one made up to volume, 51.5 against 50 g/L, since the clay
    takes less room than the water it replaces. Range: above 0 and at most 20 %; density 1.5 to 3.5 g/mL;
    raises `OutOfRange`. Formula: grams in 100 g over (clay / density + water / 1). Density from memory.
    """
    clay = _slurry_percent(percent_by_mass)
    _clay_density(clay_density_g_per_ml)
    return 1000 * clay / (clay / clay_density_g_per_ml + (100 - clay))


@calculator(
    "slurry_ml_for_dose",
    result="slurry for the vessel",
    formula="1000 x dose_g_per_l x volume_l / slurry_g_per_l",
)
def slurry_ml_for_dose(
    dose_g_per_l: GramsPerLitre, volume_l: Litres, slurry_g_per_l: GramsPerLitre
) -> Millilitres:
    """Slurry to measure out for a dose: 1000 x dose x volume / strength.

    Range: dose above 0 and at most 20 g/L, volume above 0 L, strength above 0 and at most 1000 g/L;
    raises `OutOfRange`.
    """
    return 1000 * dose(dose_g_per_l) * wine(volume_l) / strength(slurry_g_per_l)


@calculator(
    "dose_from_slurry_ml", result="dose given", formula="slurry_ml x slurry_g_per_l / (1000 x volume_l)"
)
def dose_from_slurry_ml(
    slurry_ml: Millilitres, volume_l: Litres, slurry_g_per_l: GramsPerLitre
) -> GramsPerLitre:
    """Dose that a measured volume of slurry gives: the inverse of `slurry_ml_for_dose`.

    Range: slurry at least 0 mL, volume above 0 L, strength above 0 and at most 1000 g/L; raises
    `OutOfRange`.
    """
    within("volume of slurry", slurry_ml, "mL", at_least=0, mend="Give what was measured out in mL.")
    return slurry_ml * strength(slurry_g_per_l) / (1000 * wine(volume_l))


@calculator(
    "slurry_g_for_dose",
    result="slurry for the vessel, by weight",
    formula="100 x dose_g_per_l x volume_l / percent_by_mass",
)
def slurry_g_for_dose(dose_g_per_l: GramsPerLitre, volume_l: Litres, percent_by_mass: Percent) -> Grams:
    """Slurry to weigh out for a dose when it was mixed by weight: 100 x dose x volume / percent.

    Range: dose above 0 and at most 20 g/L, volume above 0 L, strength above 0 and at most 20 %; raises
    `OutOfRange`.
    """
    return 100 * dose(dose_g_per_l) * wine(volume_l) / _slurry_percent(percent_by_mass)


@calculator("swelling_water_ml", result="water to swell the clay in", formula="clay_g x water_ml_per_g")
def swelling_water_ml(
    clay_g: Grams, water_ml_per_g: MillilitresPerGram = SWELLING_WATER_ML_PER_G
) -> Millilitres:
    """Water to swell dry clay in.

    Range: clay above 0 g, water 5 to 50 mL/g; raises `OutOfRange`. Default: 16.7 L/kg, Butzke, Purdue
    Extension FS-53-W, as quoted. The label of the clay comes first.
    """
    within("clay", clay_g, "g", more_than=0, mend="Weigh the dry clay in grams.")
    within("water", water_ml_per_g, "mL/g", at_least=5, at_most=50, mend="Take the figure from the label.")
    return clay_g * water_ml_per_g


@calculator(
    "water_share_percent", result="added water against the wine treated", formula="added_ml / (10 x volume_l)"
)
def water_share_percent(added_ml: Millilitres, volume_l: Litres) -> Percent:
    """Water brought in, as a percentage of the wine treated.

    The whole slurry counts as water; that errs on the safe side by the room of the clay, 2 % of it at most
    for a 5 % slurry. Range: water at least 0 mL, volume above 0 L; raises `OutOfRange`.
    Formula: 0.1 x mL / L. Source of the limit it is held against: 27 CFR 24.246 (1 %).
    """
    within("added water", added_ml, "mL", at_least=0, mend="Give 0 when none was added.")
    return added_ml / (10 * wine(volume_l))


@calculator(
    "largest_dose_under_water_limit",
    result="largest dose the water limit allows",
    formula="slurry_g_per_l x water_limit_percent / 100",
)
def largest_dose_under_water_limit(
    slurry_g_per_l: GramsPerLitre, water_limit_percent: Percent = WATER_PERCENT_US
) -> GramsPerLitre:
    """The most clay a slurry can bring before its water passes a limit: strength x limit / 100.

    Range: strength above 0 and at most 1000 g/L, limit above 0 and at most 100 %; raises `OutOfRange`.
    Source of the default: 27 CFR 24.246, 1 % over all additions. Other countries have other rules.
    """
    return strength(slurry_g_per_l) * _water_limit(water_limit_percent) / 100


@calculator(
    "weakest_slurry_under_water_limit",
    result="weakest slurry the water limit allows",
    formula="100 x dose_g_per_l / water_limit_percent",
)
def weakest_slurry_under_water_limit(
    dose_g_per_l: GramsPerLitre, water_limit_percent: Percent = WATER_PERCENT_US
) -> GramsPerLitre:
    """The weakest slurry that brings a dose within the water limit: 100 x dose / limit.

    Range: dose above 0 and at most 20 g/L, limit above 0 and at most 100 %; raises `OutOfRange`.
    Source of the default: 27 CFR 24.246.
    """
    return 100 * dose(dose_g_per_l) / _water_limit(water_limit_percent)


@calculator("lees_loss_l", result="wine left in the lees", formula="volume_l x lees_percent / 100")
def lees_loss_l(volume_l: Litres, lees_percent: Percent = LEES_PERCENT[1]) -> Litres:
    """Wine that stays in bentonite lees.

    Range: volume above 0 L, share 0 to 100 %; raises `OutOfRange`. Published: 5 to 10 % of the treated
    volume (Tattersall 2001, quoted by Waters & Colby 2009, p. 223); the higher is the default for planning.
    """
    within("share held in the lees", lees_percent, "%", at_least=0, at_most=100, mend="5 to 10 is published.")
    return wine(volume_l) * lees_percent / 100


@calculator(
    "starting_dose_from_heat_test", result="where to start the trial", formula="(1.48 x rise_ntu + 2) / 100"
)
def starting_dose_from_heat_test(rise_ntu: TurbidityUnits) -> GramsPerLitre:
    """Where to start a bench trial, from the rise in the heat test. Never a dose for the vessel.

    Range: 0 to 500 NTU; raises `OutOfRange`. Formula: (1.48 x rise + 2) g/hL of sodium bentonite, the Dulau
    equation as used by the Winemakers Research Exchange, Pinot gris trial 2015. The rise depends on how the
    wine was heated (IVES conference 2022), so the trial decides.
    """
    within(
        "rise",
        rise_ntu,
        "NTU",
        at_least=0,
        at_most=500,
        mend="Take the heated reading less the unheated one; with no rise, no clay is called for.",
    )
    return (1.48 * rise_ntu + 2) / 100


@calculator(
    "clay_for_protein",
    result="dose that the protein calls for",
    formula="protein_mg_per_l x clay_per_protein",
)
def clay_for_protein(
    protein_mg_per_l: MilligramsPerLitre, clay_per_protein: PlainNumber = 6.0
) -> MilligramsPerLitre:
    """Clay for a measured protein content, as a rough guide before the trial.

    Range: protein 0 to 1000 mg/L, ratio above 0 and at most 50; raises `OutOfRange`.
    Source: about 6 parts of clay to one of protein, Butzke, Purdue Extension FS-53-W.
    """
    within("protein", protein_mg_per_l, "mg/L", at_least=0, at_most=1000, mend="Check the unit: mg/L.")
    within("ratio", clay_per_protein, "to 1", more_than=0, at_most=50, mend="About 6 is published.")
    return protein_mg_per_l * clay_per_protein


def _slurry_percent(value: float) -> float:
    return within(
        "strength of the slurry",
        value,
        "%",
        more_than=0,
        at_most=20,
        mend="Stiffer than this it is a paste and cannot be measured; 5 or 6 is usual.",
    )


def _clay_density(value: float) -> float:
    return within("density of the clay", value, "g/mL", at_least=1.5, at_most=3.5, mend="About 2.5 is usual.")


def _water_limit(value: float) -> float:
    return within(
        "water limit", value, "%", more_than=0, at_most=100, mend="Give the limit that your law sets."
    )
