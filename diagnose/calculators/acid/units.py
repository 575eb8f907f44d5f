"""One acidity in the units in which people state it.

All conventions count the same acid, as if it were all one kind; a conversion is a ratio of equivalent masses
(`masses`) and never loses anything. They say nothing of which acids a wine really has, nor of the end point
of the titration: laboratories stop at pH 7 or at pH 8.2 (from memory), and two figures compare only at one.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import GramsPerLitre, MilliequivalentsPerLitre, Percent, within
from ..registry import calculator, worksheet
from .masses import CITRIC_PER_EQ, MALIC_PER_EQ, SULFURIC_PER_EQ, TARTARIC_PER_EQ
from .ranges import acidity


@calculator(
    "ta_to_sulfuric", result="the same acidity as sulfuric acid", formula="ta_g_per_l x 49.036 / 75.043"
)
def ta_to_sulfuric(ta_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity as sulfuric acid, from that as tartaric acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return acidity(ta_g_per_l) * SULFURIC_PER_EQ / TARTARIC_PER_EQ


@calculator(
    "ta_from_sulfuric",
    result="the same acidity as tartaric acid",
    formula="acidity_g_per_l_as_sulfuric x 75.043 / 49.036",
)
def ta_from_sulfuric(acidity_g_per_l_as_sulfuric: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity as tartaric acid, from that as sulfuric acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return acidity(acidity_g_per_l_as_sulfuric) * TARTARIC_PER_EQ / SULFURIC_PER_EQ


@calculator("ta_to_malic", result="the same acidity as malic acid", formula="ta_g_per_l x 67.044 / 75.043")
def ta_to_malic(ta_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity as malic acid, as cider makers state it, from that as tartaric acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return acidity(ta_g_per_l) * MALIC_PER_EQ / TARTARIC_PER_EQ


@calculator(
    "ta_from_malic",
    result="the same acidity as tartaric acid",
    formula="acidity_g_per_l_as_malic x 75.043 / 67.044",
)
def ta_from_malic(acidity_g_per_l_as_malic: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity as tartaric acid, from that as malic acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return acidity(acidity_g_per_l_as_malic) * TARTARIC_PER_EQ / MALIC_PER_EQ


@calculator("ta_to_citric", result="the same acidity as citric acid", formula="ta_g_per_l x 64.041 / 75.043")
def ta_to_citric(ta_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity as citric acid without crystal water, from that as tartaric acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return acidity(ta_g_per_l) * CITRIC_PER_EQ / TARTARIC_PER_EQ


@calculator(
    "ta_from_citric",
    result="the same acidity as tartaric acid",
    formula="acidity_g_per_l_as_citric x 75.043 / 64.041",
)
def ta_from_citric(acidity_g_per_l_as_citric: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity as tartaric acid, from that as citric acid without crystal water.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return acidity(acidity_g_per_l_as_citric) * TARTARIC_PER_EQ / CITRIC_PER_EQ


@calculator("ta_to_meq", result="the same acidity in milliequivalents", formula="ta_g_per_l x 1000 / 75.043")
def ta_to_meq(ta_g_per_l: GramsPerLitre) -> MilliequivalentsPerLitre:
    """Titratable acidity in meq/L, from that as tartaric acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: equivalent mass, see `masses`.
    """
    return acidity(ta_g_per_l) * 1000 / TARTARIC_PER_EQ


@calculator(
    "ta_from_meq", result="the same acidity as tartaric acid", formula="acidity_meq_per_l x 75.043 / 1000"
)
def ta_from_meq(acidity_meq_per_l: MilliequivalentsPerLitre) -> GramsPerLitre:
    """Titratable acidity as tartaric acid, from meq/L.

    Range: 0 to 1300 meq/L. Raises `OutOfRange`. Source: equivalent mass, see `masses`.
    """
    within(
        "titratable acidity",
        acidity_meq_per_l,
        "meq/L",
        at_least=0,
        at_most=1300,
        mend="Wine has some 50 to 150 meq/L.",
    )
    return acidity_meq_per_l * TARTARIC_PER_EQ / 1000


@calculator("ta_to_percent", result="the same acidity in g per 100 mL", formula="ta_g_per_l / 10")
def ta_to_percent(ta_g_per_l: GramsPerLitre) -> Percent:
    """Titratable acidity in percent, that is g in 100 mL, from g/L of the same acid.

    Range: 0 to 100 g/L. Raises `OutOfRange`. Source: definition.
    """
    return acidity(ta_g_per_l) / 10


@calculator("ta_from_percent", result="the same acidity in g per litre", formula="acidity_percent x 10")
def ta_from_percent(acidity_percent: Percent) -> GramsPerLitre:
    """Titratable acidity in g/L, from percent (g in 100 mL) of the same acid.

    Range: 0 to 10 %. Raises `OutOfRange`. Source: definition.
    """
    within(
        "titratable acidity",
        acidity_percent,
        "%",
        at_least=0,
        at_most=10,
        mend="Check the unit: 6.5 g/L is 0.65 %.",
    )
    return acidity_percent * 10


@dataclass(frozen=True)
class AcidityInAllUnits:
    """One titratable acidity in each way of stating it."""

    as_tartaric_g_per_l: GramsPerLitre
    as_sulfuric_g_per_l: GramsPerLitre
    as_malic_g_per_l: GramsPerLitre
    as_citric_g_per_l: GramsPerLitre
    meq_per_l: MilliequivalentsPerLitre
    percent: Percent
    """g as tartaric acid in 100 mL."""


@worksheet("ta_in_all_units", result="the same acidity in every unit")
def ta_in_all_units(ta_g_per_l: GramsPerLitre) -> AcidityInAllUnits:
    """Titratable acidity as tartaric, sulfuric, malic and citric acid, in meq/L and in percent.

    Takes g/L as tartaric acid. Range: 0 to 100 g/L. Raises `OutOfRange`. Source: `masses`.
    """
    return AcidityInAllUnits(
        ta_g_per_l,
        ta_to_sulfuric(ta_g_per_l),
        ta_to_malic(ta_g_per_l),
        ta_to_citric(ta_g_per_l),
        ta_to_meq(ta_g_per_l),
        ta_to_percent(ta_g_per_l),
    )
