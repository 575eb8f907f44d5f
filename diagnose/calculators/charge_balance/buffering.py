"""How firmly a wine holds its pH, worked out or measured at the bench, and a quick pH from it.

A bench figure needs no analysis of acids: a weighed or measured addition, a pH before and a pH after.
"""

from __future__ import annotations

import math

from ..acid import masses
from ..amounts import (
    PH,
    GramsPerLitre,
    MilliequivalentsPerLitrePerPH,
    Millilitres,
    MolesPerLitre,
    PercentAlcohol,
    PHDifference,
    within,
)
from ..registry import calculator
from .balance import WATER_PK, Wine, measured_ph, wine_from
from .constants import USUAL_ALCOHOL_PERCENT, USUAL_IONIC_STRENGTH, shares

USUAL_BUFFER = 40.0
"""meq/L per pH, the range being 30 to 50: from memory of Boulton et al. 1996 and Waterhouse et al. 2016."""


def buffering(wine: Wine, ph: float) -> float:
    """Slope of the cation excess over the pH, in meq/L per pH."""
    water = 1000 * (math.pow(10, -ph) + math.pow(10, ph - WATER_PK)) / wine.activity
    spread = 0.0
    for acid, amount in wine.mmol_per_l.items():
        parts = list(enumerate(shares(ph, wine.pks[acid])))
        mean = sum(lost * share for lost, share in parts)
        spread += amount * sum((lost - mean) ** 2 * share for lost, share in parts)
    return math.log(10) * (spread + water)


@calculator("buffer_capacity", result="acid or alkali for one pH", formula="slope of the cations over the pH")
def buffer_capacity(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> MilliequivalentsPerLitrePerPH:
    """How much strong acid or alkali moves the pH by one, worked out from the acids.

    Range: pH 2.5 to 7; the rest as for `cation_excess`. Mixtures measured in water and in 11 % alcohol hold the
    pH up to a fifth less firmly than adding up their acids says (Dartiguenave et al. 2000, in Handbook of
    Enology vol. 2, 3rd ed. 2021, table 1.6). Raises `OutOfRange`. Source: balance of charges.
    """
    wine = wine_from(
        tartaric_g_per_l,
        malic_g_per_l,
        lactic_g_per_l,
        citric_g_per_l,
        acetic_g_per_l,
        succinic_g_per_l,
        alcohol_percent,
        ionic_strength_mol_per_l,
    )
    return buffering(wine, measured_ph(ph))


@calculator(
    "measured_buffer_capacity",
    result="acid or alkali for one pH",
    formula="1000 x titrant_ml x titrant_mol_per_l / sample_ml / ph_rise",
)
def measured_buffer_capacity(
    titrant_ml: Millilitres, titrant_mol_per_l: MolesPerLitre, sample_ml: Millilitres, ph_rise: PHDifference
) -> MilliequivalentsPerLitrePerPH:
    """How firmly a wine holds its pH, from a little hydroxide run into a sample of it.

    Range: hydroxide above 0 mL and at most a twentieth of the sample, strength above 0 and at most 2 mol/L,
    rise of pH 0.05 to 1. Do not put the sample back. Raises `OutOfRange`. Source: definition.
    """
    within("sample", sample_ml, "mL", more_than=0, mend="Give the wine in the glass, in mL.")
    within(
        "hydroxide used",
        titrant_ml,
        "mL",
        more_than=0,
        at_most=sample_ml / 20,
        mend="Take more wine or a stronger hydroxide, so that water does not thin the sample.",
    )
    within(
        "strength of the hydroxide", titrant_mol_per_l, "mol/L", more_than=0, at_most=2, mend="0.1 N is 0.1."
    )
    within("rise of pH", ph_rise, "", at_least=0.05, at_most=1, mend="Add enough for a rise of 0.2 or so.")
    return 1000 * titrant_ml * titrant_mol_per_l / sample_ml / ph_rise


def _quick_working(
    ph: float,
    tartaric_added_g_per_l: float,
    alcohol_percent: float = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: float = USUAL_IONIC_STRENGTH,
    **_: float,
) -> dict[str, float]:
    wine = wine_from(1.0, 0.0, 0.0, 0.0, 0.0, 0.0, alcohol_percent, ionic_strength_mol_per_l)
    given_up = tartaric_added_g_per_l * 1000 / masses.TARTARIC * wine.charge_of("tartaric", ph)
    return {"hydrogen_given_up": given_up}


@calculator(
    "ph_after_tartaric_by_buffer",
    result="the pH to expect",
    formula="ph - hydrogen_given_up / buffer_meq_per_l_per_ph",
    working=_quick_working,
)
def ph_after_tartaric_by_buffer(
    ph: PH,
    tartaric_added_g_per_l: GramsPerLitre,
    buffer_meq_per_l_per_ph: MilliequivalentsPerLitrePerPH = USUAL_BUFFER,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH after tartaric acid from how firmly the wine holds its pH; no analysis of acids needed.

    Range: pH 2.5 to 7, tartaric acid 0 to 3 g/L, buffering 10 to 150 meq/L per pH (usual 30 to 50, measured at
    the bench is better). Raises `OutOfRange`. Source: definition of buffering; share of the hydrogen given up
    from the pKs of `acid_constants`.
    """
    within("tartaric acid", tartaric_added_g_per_l, "g/L", at_least=0, at_most=3, mend="Add it in two steps.")
    within(
        "buffering",
        buffer_meq_per_l_per_ph,
        "meq/L per pH",
        at_least=10,
        at_most=150,
        mend="Wine has 30 to 50; measure it at the bench.",
    )
    given_up = _quick_working(
        measured_ph(ph), tartaric_added_g_per_l, alcohol_percent, ionic_strength_mol_per_l
    )["hydrogen_given_up"]
    return ph - given_up / buffer_meq_per_l_per_ph
