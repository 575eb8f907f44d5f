"""How firmly each acid holds its hydrogen, in wine instead of water.

A pK here is "mixed": hydrogen as the pH meter shows it (activity), the acid as it is weighed (concentration).
It starts from the value in water, rises with alcohol, and falls with the salts dissolved in the wine.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from ..amounts import PH, MolesPerLitre, Percent, PercentAlcohol, PlainNumber, within
from ..registry import calculator, worksheet

PK_IN_WATER: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "tartaric": (3.04, 4.37),
        "malic": (3.40, 5.11),
        "lactic": (3.86,),
        "citric": (3.13, 4.76, 6.40),
        "acetic": (4.76,),
        "succinic": (4.21, 5.64),
    }
)
"""At 25 C without other salts: CRC Handbook of Chemistry and Physics, from memory; books differ by 0.05."""

PK_RISE_PER_PERCENT_ALCOHOL = 0.17 / 12
"""Rise of every pK for each % vol of alcohol. Lactic acid rises 0.17 from 0 to 12 % at both ionic strengths
measured, succinic acid 0.15 to 0.21: Prenesti, Berto, Toso, Daniele, Sci. World J. 2012:249041, table 4. That
the other acids rise alike is our assumption; remembered tables for wine have 0.16 to 0.23."""

USUAL_ALCOHOL_PERCENT = 12.0
USUAL_IONIC_STRENGTH = 0.075
"""mol/L, half-way between the two that Prenesti et al. 2012 took for white wine (0.05 and 0.1)."""

_DEBYE_HUECKEL_25_C = 0.509
"""In water, from memory; what alcohol does to it is inside the measured rise of the pK."""


def alcohol(value: float) -> float:
    """Alcohol in % vol: 0 to 25. Raises `OutOfRange`."""
    return within("alcohol", value, "% vol", at_least=0, at_most=25, mend="Give 0 for must.")


def ionic_strength(value: float) -> float:
    """Ionic strength in mol/L: 0 to 0.5, the reach of the Davies equation. Raises `OutOfRange`."""
    return within(
        "ionic strength", value, "mol/L", at_least=0, at_most=0.5, mend="Wine has some 0.05 to 0.1 mol/L."
    )


@calculator(
    "activity_coefficient",
    result="share of an ion of one charge that acts",
    formula="10 ^ (-0.509 x (root / (1 + root) - 0.3 x ionic_strength_mol_per_l))",
    working=lambda ionic_strength_mol_per_l: {"root": math.sqrt(ionic_strength_mol_per_l)},
)
def activity_coefficient(ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH) -> PlainNumber:
    """What share of an ion with one charge acts as if it were free, in a salt solution at 25 C.

    Range: ionic strength 0 to 0.5 mol/L. Raises `OutOfRange`. Source: the Davies equation, from memory.
    """
    strength = ionic_strength(ionic_strength_mol_per_l)
    root = math.sqrt(strength)
    return math.pow(10, -_DEBYE_HUECKEL_25_C * (root / (1 + root) - 0.3 * strength))


def pks(acid: str, alcohol_percent: float, ionic_strength_mol_per_l: float) -> tuple[float, ...]:
    """The mixed pKs of one of the acids in `PK_IN_WATER`. Raises `OutOfRange`."""
    rise = PK_RISE_PER_PERCENT_ALCOHOL * alcohol(alcohol_percent)
    pull = math.log10(activity_coefficient(ionic_strength_mol_per_l))
    return tuple(pk + rise + (2 * step + 1) * pull for step, pk in enumerate(PK_IN_WATER[acid]))


@dataclass(frozen=True)
class AcidConstant:
    """One step of one acid."""

    acid: str
    step: PlainNumber
    pk_in_water: PH
    pk: PH
    """At the alcohol and the ionic strength given."""


@worksheet("acid_constants", result="constants (pK) of each acid in this wine")
def acid_constants(
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> tuple[AcidConstant, ...]:
    """The mixed pK of every step of tartaric, malic, lactic, citric, acetic and succinic acid.

    Range: alcohol 0 to 25 % vol, ionic strength 0 to 0.5 mol/L, near 20 to 25 C. Raises `OutOfRange`. Source:
    see `PK_IN_WATER` and `PK_RISE_PER_PERCENT_ALCOHOL`.
    """
    return tuple(
        AcidConstant(acid, step + 1, in_water[step], pk)
        for acid, in_water in PK_IN_WATER.items()
        for step, pk in enumerate(pks(acid, alcohol_percent, ionic_strength_mol_per_l))
    )


def _tartaric_working(
    alcohol_percent: float = USUAL_ALCOHOL_PERCENT, ionic_strength_mol_per_l: float = USUAL_IONIC_STRENGTH
) -> dict[str, float]:
    first, second = pks("tartaric", alcohol_percent, ionic_strength_mol_per_l)
    return {"first_pk": first, "second_pk": second}


@calculator(
    "pivot_ph",
    result="the pH that a bitartrate drop leaves alone",
    formula="(first_pk + second_pk) / 2",
    working=_tartaric_working,
)
def pivot_ph(
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH above which dropping bitartrate raises the pH, and below which it lowers it.

    There the tartaric acid carries one charge a molecule on the average, which is what leaves with each
    potassium; the other acids do not matter. Range: alcohol 0 to 25 % vol, ionic strength 0 to 0.5 mol/L.
    Raises `OutOfRange`. Source: charge balance; AWRI, KHT deposits and cold stability, has 3.6 to 3.7 for
    wine.
    """
    return sum(pks("tartaric", alcohol_percent, ionic_strength_mol_per_l)) / 2


@dataclass(frozen=True)
class TartrateSpecies:
    """The three forms of tartaric acid, percent of all of it."""

    tartaric_acid_percent: Percent
    bitartrate_percent: Percent
    tartrate_percent: Percent


@worksheet("tartrate_species", result="forms of tartaric acid at this pH")
def tartrate_species(
    ph: PH,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> TartrateSpecies:
    """How much of the tartaric acid is free acid, bitartrate and tartrate.

    Range: pH 2 to 8, alcohol 0 to 25 % vol, ionic strength 0 to 0.5 mol/L. Raises `OutOfRange`. Source: law of
    mass action with the pKs of `acid_constants`.
    """
    within("pH", ph, "", at_least=2, at_most=8, mend="Calibrate the meter and measure again.")
    parts = shares(ph, pks("tartaric", alcohol_percent, ionic_strength_mol_per_l))
    return TartrateSpecies(*(100 * part for part in parts))


def shares(ph: float, pks: tuple[float, ...]) -> tuple[float, ...]:
    """The share of an acid that has lost none, one, two ... of its hydrogens at a pH."""
    weights = [1.0]
    for pk in pks:
        weights.append(weights[-1] * math.pow(10, ph - pk))
    whole = sum(weights)
    return tuple(weight / whole for weight in weights)
