"""Molecular sulfur dioxide, the form that holds back yeast and bacteria, and the pH that decides its share.

Each sum comes twice: with the OIV constant for the alcohol and the temperature, and plain with pK 1.81 as in
the extension tables. The plain form asks for more free SO2. Methods that acidify the sample read free SO2
too high in red wine (Iowa State University Extension), and then every figure here is too high with it.
"""

from __future__ import annotations

import math

from ..amounts import (
    PH,
    Celsius,
    MilligramsPerLitre,
    MolesPerLitre,
    OutOfRange,
    Percent,
    PercentAlcohol,
    PHDifference,
    PlainNumber,
    within,
)
from ..registry import calculator
from .constant import PLAIN_PK, WINE_IONIC_STRENGTH, pk_working, so2_constant

LOWEST_PH = 2.5
HIGHEST_PH = 4.5

_SHARE = "100 / (10^(ph - pk) + 1)"
_MOLECULAR = "free_so2_mg_per_l / (10^(ph - pk) + 1)"
_FREE = "molecular_so2_mg_per_l x (10^(ph - pk) + 1)"
_PH = "pk + log10(free_so2_mg_per_l / molecular_so2_mg_per_l - 1)"


@calculator(
    "molecular_so2_share",
    result="molecular part of the free sulfur dioxide",
    formula=_SHARE,
    working=pk_working,
)
def molecular_so2_share(
    ph: PH,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> Percent:
    """The share of free sulfur dioxide that is molecular, by the OIV table, in percent.

    Range: pH 2.5 to 4.5; alcohol, temperature and ionic strength as for `so2_constant`. Raises `OutOfRange`.
    Formula: 100 / (10^(pH - pK) + 1). The second step, sulfite, is left out: under 1 % at wine pH.
    Source: OIV-MA-AS323-04C, molecular method; fraction as in Regulation (EEC) 2676/90, annex.
    """
    return _share(ph, so2_constant(alcohol_percent, temperature_c, ionic_strength_mol_per_l))


@calculator(
    "molecular_so2_share_plain",
    result="molecular part of the free sulfur dioxide, plain form",
    formula=_SHARE,
)
def molecular_so2_share_plain(ph: PH, pk: PlainNumber = PLAIN_PK) -> Percent:
    """The share of free sulfur dioxide that is molecular, with one constant for every wine, in percent.

    Range: pH 2.5 to 4.5; pK 1.5 to 2.5. Raises `OutOfRange`. Formula: 100 / (10^(pH - pK) + 1).
    Source of the default 1.81: it gives back the table of the University of California Cooperative Extension,
    Enology Briefs I, 1982. Tables made with 1.77 exist.
    """
    return _share(ph, _plain(pk))


@calculator("molecular_so2", result="molecular sulfur dioxide", formula=_MOLECULAR, working=pk_working)
def molecular_so2(
    free_so2_mg_per_l: MilligramsPerLitre,
    ph: PH,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> MilligramsPerLitre:
    """Molecular sulfur dioxide from free, pH, alcohol and temperature, by the OIV table, in mg/L.

    Range: free 0 to 500 mg/L, pH 2.5 to 4.5; the rest as for `so2_constant`. Raises `OutOfRange`.
    Formula: free / (10^(pH - pK) + 1). Source: OIV-MA-AS323-04C, molecular method.
    """
    share = molecular_so2_share(ph, alcohol_percent, temperature_c, ionic_strength_mol_per_l)
    return free(free_so2_mg_per_l) * share / 100


@calculator("molecular_so2_plain", result="molecular sulfur dioxide, plain form", formula=_MOLECULAR)
def molecular_so2_plain(
    free_so2_mg_per_l: MilligramsPerLitre, ph: PH, pk: PlainNumber = PLAIN_PK
) -> MilligramsPerLitre:
    """Molecular sulfur dioxide from free and pH with one constant for every wine, in mg/L.

    Range: free 0 to 500 mg/L, pH 2.5 to 4.5, pK 1.5 to 2.5. Raises `OutOfRange`.
    Formula: free / (10^(pH - pK) + 1). Source of the default 1.81: see `molecular_so2_share_plain`.
    """
    return free(free_so2_mg_per_l) * molecular_so2_share_plain(ph, pk) / 100


@calculator("free_so2_for_molecular", result="free sulfur dioxide needed", formula=_FREE, working=pk_working)
def free_so2_for_molecular(
    molecular_so2_mg_per_l: MilligramsPerLitre,
    ph: PH,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> MilligramsPerLitre:
    """Free sulfur dioxide that gives a molecular target, by the OIV table, in mg/L.

    Range: target above 0 and at most 5 mg/L, pH 2.5 to 4.5; the rest as for `so2_constant`. Raises `OutOfRange`.
    Formula: target x (10^(pH - pK) + 1). Source: OIV-MA-AS323-04C, molecular method.
    """
    share = molecular_so2_share(ph, alcohol_percent, temperature_c, ionic_strength_mol_per_l)
    return 100 * target(molecular_so2_mg_per_l) / share


@calculator("free_so2_for_molecular_plain", result="free sulfur dioxide needed, plain form", formula=_FREE)
def free_so2_for_molecular_plain(
    molecular_so2_mg_per_l: MilligramsPerLitre, ph: PH, pk: PlainNumber = PLAIN_PK
) -> MilligramsPerLitre:
    """Free sulfur dioxide that gives a molecular target, with one constant for every wine, in mg/L.

    Range: target above 0 and at most 5 mg/L, pH 2.5 to 4.5, pK 1.5 to 2.5. Raises `OutOfRange`.
    Formula: target x (10^(pH - pK) + 1). Source of the default 1.81: see `molecular_so2_share_plain`.
    """
    return 100 * target(molecular_so2_mg_per_l) / molecular_so2_share_plain(ph, pk)


@calculator(
    "ph_for_free_so2", result="highest pH at which the free is enough", formula=_PH, working=pk_working
)
def ph_for_free_so2(
    free_so2_mg_per_l: MilligramsPerLitre,
    molecular_so2_mg_per_l: MilligramsPerLitre,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> PH:
    """The highest pH at which a free sulfur dioxide gives a molecular target, by the OIV table.

    Range: free above the target and at most 500 mg/L, target above 0 and at most 5 mg/L, the rest as for
    `so2_constant`; the pH found must lie in 2.5 to 4.5. Raises `OutOfRange`.
    Formula: pK + log10(free / target - 1). Source: OIV-MA-AS323-04C, molecular method, solved for pH.
    """
    pk = so2_constant(alcohol_percent, temperature_c, ionic_strength_mol_per_l)
    return _ph(free_so2_mg_per_l, molecular_so2_mg_per_l, pk)


@calculator("ph_for_free_so2_plain", result="highest pH at which the free is enough, plain form", formula=_PH)
def ph_for_free_so2_plain(
    free_so2_mg_per_l: MilligramsPerLitre,
    molecular_so2_mg_per_l: MilligramsPerLitre,
    pk: PlainNumber = PLAIN_PK,
) -> PH:
    """The highest pH at which a free sulfur dioxide gives a molecular target, with one constant for every wine.

    Range: free above the target and at most 500 mg/L, target above 0 and at most 5 mg/L, pK 1.5 to 2.5; the pH
    found must lie in 2.5 to 4.5. Raises `OutOfRange`. Formula: pK + log10(free / target - 1).
    """
    return _ph(free_so2_mg_per_l, molecular_so2_mg_per_l, _plain(pk))


@calculator(
    "ph_fall_for_free_so2",
    result="how far the pH must fall",
    formula="ph - (pk + log10(free_so2_mg_per_l / molecular_so2_mg_per_l - 1)), at least 0",
    working=pk_working,
)
def ph_fall_for_free_so2(
    ph: PH,
    free_so2_mg_per_l: MilligramsPerLitre,
    molecular_so2_mg_per_l: MilligramsPerLitre,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> PHDifference:
    """How far the pH must fall for an affordable free sulfur dioxide to be enough, by the OIV table; 0 when it is.

    Range: as for `ph_for_free_so2`, and the pH of the wine 2.5 to 4.5. Raises `OutOfRange`.
    Formula: pH less the pH from `ph_for_free_so2`. What acid makes the pH fall is a matter for a bench trial.
    """
    pk = so2_constant(alcohol_percent, temperature_c, ionic_strength_mol_per_l)
    return _fall(ph, free_so2_mg_per_l, molecular_so2_mg_per_l, pk)


@calculator(
    "ph_fall_for_free_so2_plain",
    result="how far the pH must fall, plain form",
    formula="ph - (pk + log10(free_so2_mg_per_l / molecular_so2_mg_per_l - 1)), at least 0",
)
def ph_fall_for_free_so2_plain(
    ph: PH,
    free_so2_mg_per_l: MilligramsPerLitre,
    molecular_so2_mg_per_l: MilligramsPerLitre,
    pk: PlainNumber = PLAIN_PK,
) -> PHDifference:
    """How far the pH must fall for an affordable free sulfur dioxide, with one constant for every wine.

    0 when the free is enough as it is. Range: as for `ph_for_free_so2_plain`, and the pH of the wine 2.5 to 4.5.
    Raises `OutOfRange`.
    """
    return _fall(ph, free_so2_mg_per_l, molecular_so2_mg_per_l, _plain(pk))


def free(value: float) -> float:
    """Free sulfur dioxide in mg/L: 0 to 500. Raises `OutOfRange`."""
    return within(
        "free sulfur dioxide", value, "mg/L", at_least=0, at_most=500, mend="Check the unit: 1 ppm is 1 mg/L."
    )


def target(value: float) -> float:
    """A molecular target in mg/L: above 0, at most 5. Raises `OutOfRange`."""
    return within(
        "molecular sulfur dioxide",
        value,
        "mg/L",
        more_than=0,
        at_most=5,
        mend="Targets in print run from 0.35 to 2; a free sulfur dioxide does not belong here.",
    )


def _share(ph: float, pk: float) -> float:
    return 100 / (10 ** (_wine_ph(ph) - pk) + 1)


def _fall(ph: float, free_mg_per_l: float, molecular_mg_per_l: float, pk: float) -> float:
    if free(free_mg_per_l) >= _free_at(ph, target(molecular_mg_per_l), pk):
        return 0.0
    return ph - _ph(free_mg_per_l, molecular_mg_per_l, pk)


def _free_at(ph: float, molecular_mg_per_l: float, pk: float) -> float:
    return 100 * molecular_mg_per_l / _share(ph, pk)


def _ph(free_mg_per_l: float, molecular_mg_per_l: float, pk: float) -> float:
    free(free_mg_per_l)
    target(molecular_mg_per_l)
    lowest = _free_at(LOWEST_PH, molecular_mg_per_l, pk)
    if free_mg_per_l < lowest:
        raise OutOfRange(
            f"{free_mg_per_l:g} mg/L free gives {molecular_mg_per_l:g} mg/L molecular only below pH {LOWEST_PH:g}, "
            f"where no wine is; at that pH it takes {lowest:.1f}. Allow more free or a lower target."
        )
    if free_mg_per_l > _free_at(HIGHEST_PH, molecular_mg_per_l, pk):
        raise OutOfRange(
            f"{free_mg_per_l:g} mg/L free is enough for {molecular_mg_per_l:g} mg/L molecular at every pH up to "
            f"{HIGHEST_PH:g}, the highest a wine has. No pH needs to be looked for."
        )
    return pk + math.log10(free_mg_per_l / molecular_mg_per_l - 1)


def _wine_ph(value: float) -> float:
    return within(
        "pH",
        value,
        "",
        at_least=LOWEST_PH,
        at_most=HIGHEST_PH,
        mend="Check the reading against fresh buffers; no wine lies outside.",
    )


def _plain(pk: float) -> float:
    return within(
        "constant (pK)", pk, "", at_least=1.5, at_most=2.5, mend="1.81 is usual; tables with 1.77 exist."
    )
