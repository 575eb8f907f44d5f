"""Volatile acidity (VA): its units, a limit, and what is left of the titratable acidity without it.

VA is in g/L as acetic acid unless the name of a number says otherwise. Laws differ in whether sulfur dioxide
that comes over in the still is counted: the United States leave it out (27 CFR 4.21).
"""

from __future__ import annotations

from dataclasses import dataclass

from .acid.masses import ACETIC_PER_EQ, SULFURIC_PER_EQ, TARTARIC_PER_EQ
from .amounts import GramsPerLitre, MilliequivalentsPerLitre, Percent, within
from .registry import calculator, worksheet


def _va(value: float) -> float:
    return within(
        "volatile acidity",
        value,
        "g/L",
        at_least=0,
        at_most=20,
        mend="Check the unit: 0.06 g/100 mL is 0.6 g/L.",
    )


@calculator(
    "va_to_sulfuric", result="the same acidity as sulfuric acid", formula="va_g_per_l x 49.036 / 60.052"
)
def va_to_sulfuric(va_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Volatile acidity as sulfuric acid, from that as acetic acid.

    Range: 0 to 20 g/L. Raises `OutOfRange`. Source: equivalent masses.
    """
    return _va(va_g_per_l) * SULFURIC_PER_EQ / ACETIC_PER_EQ


@calculator(
    "va_from_sulfuric",
    result="the same acidity as acetic acid",
    formula="va_g_per_l_as_sulfuric x 60.052 / 49.036",
)
def va_from_sulfuric(va_g_per_l_as_sulfuric: GramsPerLitre) -> GramsPerLitre:
    """Volatile acidity as acetic acid, from that as sulfuric acid.

    Range: 0 to 20 g/L. Raises `OutOfRange`. Source: equivalent masses.
    """
    return _va(va_g_per_l_as_sulfuric) * ACETIC_PER_EQ / SULFURIC_PER_EQ


@calculator("va_to_meq", result="the same acidity in milliequivalents", formula="va_g_per_l x 1000 / 60.052")
def va_to_meq(va_g_per_l: GramsPerLitre) -> MilliequivalentsPerLitre:
    """Volatile acidity in meq/L, from that as acetic acid.

    Range: 0 to 20 g/L. Raises `OutOfRange`. Source: equivalent mass.
    """
    return _va(va_g_per_l) * 1000 / ACETIC_PER_EQ


@calculator("va_from_meq", result="the same acidity as acetic acid", formula="va_meq_per_l x 60.052 / 1000")
def va_from_meq(va_meq_per_l: MilliequivalentsPerLitre) -> GramsPerLitre:
    """Volatile acidity as acetic acid, from meq/L.

    Range: 0 to 330 meq/L. Raises `OutOfRange`. Source: equivalent mass.
    """
    within("volatile acidity", va_meq_per_l, "meq/L", at_least=0, at_most=330, mend="Wine has about 5 to 20.")
    return va_meq_per_l * ACETIC_PER_EQ / 1000


@calculator(
    "fixed_acidity",
    result="fixed acidity as tartaric acid",
    formula="ta_g_per_l - va_g_per_l x 75.043 / 60.052",
)
def fixed_acidity(ta_g_per_l: GramsPerLitre, va_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Fixed acidity: the titratable acidity less the volatile, as tartaric acid.

    Takes TA as tartaric acid and VA as acetic acid, in g/L. Range: VA 0 to 20 g/L, and no more than the TA.
    Raises `OutOfRange`. Source: definition; equivalent masses.
    """
    volatile_as_tartaric = _va(va_g_per_l) * TARTARIC_PER_EQ / ACETIC_PER_EQ
    within(
        "titratable acidity",
        ta_g_per_l,
        "g/L",
        at_least=volatile_as_tartaric,
        at_most=100,
        mend="Volatile acid is a part of it. Check both units.",
    )
    return ta_g_per_l - volatile_as_tartaric


@dataclass(frozen=True)
class VaAgainstLimit:
    """Where a volatile acidity lies against a limit."""

    within_limit: bool
    """At the limit counts as within."""
    room_g_per_l: GramsPerLitre
    """What is still free below the limit; below 0 when it is passed."""
    percent_of_limit: Percent
    as_sulfuric_g_per_l: GramsPerLitre
    meq_per_l: MilliequivalentsPerLitre


@worksheet("va_against_limit", result="room left below the limit")
def va_against_limit(va_g_per_l: GramsPerLitre, limit_g_per_l: GramsPerLitre) -> VaAgainstLimit:
    """A volatile acidity against a limit, both as acetic acid, and the acidity in its other units.

    The limit comes from the law where the wine is sold. Range: VA 0 to 20 g/L, limit above 0 and at most
    20 g/L. Raises `OutOfRange`. Source: equivalent masses.
    """
    _va(va_g_per_l)
    within("limit", limit_g_per_l, "g/L", more_than=0, at_most=20, mend="Give it as acetic acid in g/L.")
    return VaAgainstLimit(
        va_g_per_l <= limit_g_per_l,
        limit_g_per_l - va_g_per_l,
        100 * va_g_per_l / limit_g_per_l,
        va_to_sulfuric(va_g_per_l),
        va_to_meq(va_g_per_l),
    )
