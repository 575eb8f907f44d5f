"""Titratable acidity from a titration with sodium hydroxide, and the true strength of the hydroxide."""

from __future__ import annotations

from ..amounts import Grams, GramsPerLitre, Millilitres, MolesPerLitre, OutOfRange, within
from ..registry import calculator
from .masses import TARTARIC_PER_EQ

PHTHALATE = 204.22
"""Molar mass of potassium hydrogen phthalate, g/mol, from memory; it gives up one acid hydrogen."""


def titrant_strength(value: float) -> float:
    """The strength of the hydroxide in mol/L: above 0, at most 2. Raises `OutOfRange`."""
    return within(
        "strength of the hydroxide",
        value,
        "mol/L",
        more_than=0,
        at_most=2,
        mend="Read it on the bottle: 0.1 N sodium hydroxide is 0.1 mol/L.",
    )


def sample_volume(value: float) -> float:
    """The volume of a sample in mL: above 0. Raises `OutOfRange`."""
    return within("sample", value, "mL", more_than=0, mend="Give the wine that was titrated, in mL.")


@calculator(
    "ta_from_titration",
    result="titratable acidity as tartaric acid",
    formula="(titrant_ml - blank_ml) x titrant_mol_per_l x 75.043 / sample_ml",
)
def ta_from_titration(
    titrant_ml: Millilitres,
    titrant_mol_per_l: MolesPerLitre,
    sample_ml: Millilitres,
    blank_ml: Millilitres = 0.0,
) -> GramsPerLitre:
    """Titratable acidity as tartaric acid, from the hydroxide used on a sample freed of gas.

    The normality of sodium hydroxide is its mol/L. `blank_ml` is what the water in the flask takes by itself.
    Range: hydroxide at least the blank, strength above 0 and at most 2 mol/L, sample above 0 mL. Gas left in
    a young wine counts as acid: warm or shake it out first. Raises `OutOfRange`. Source: definition of the
    equivalent, see `masses`.
    """
    within("blank", blank_ml, "mL", at_least=0, mend="Give 0 when the water was not titrated.")
    within(
        "hydroxide used", titrant_ml, "mL", at_least=blank_ml, mend="The wine cannot take less than water."
    )
    strength = titrant_strength(titrant_mol_per_l)
    return (titrant_ml - blank_ml) * strength * TARTARIC_PER_EQ / sample_volume(sample_ml)


@calculator(
    "titrant_strength_from_phthalate",
    result="true strength of the hydroxide",
    formula="1000 x phthalate_g / (204.22 x titrant_ml)",
)
def titrant_strength_from_phthalate(phthalate_g: Grams, titrant_ml: Millilitres) -> MolesPerLitre:
    """The true strength (normality) of a hydroxide, from the volume that a weighed acid salt takes.

    Hydroxide grows weaker as it takes up carbon dioxide from the air. The salt is potassium hydrogen
    phthalate, dry. Range: both above 0; a result above 2 mol/L is refused. Raises `OutOfRange`. Source: molar
    mass 204.22 g/mol, from memory.
    """
    within("weighed salt", phthalate_g, "g", more_than=0, mend="Give the grams weighed.")
    within("hydroxide used", titrant_ml, "mL", more_than=0, mend="Give the mL that turned the indicator.")
    strength = 1000 * phthalate_g / (PHTHALATE * titrant_ml)
    if strength > 2:
        raise OutOfRange(f"That makes the hydroxide {strength:.3g} mol/L. Check the grams and the mL.")
    return strength
