"""The masses that all sums of acids and salts stand on."""

from __future__ import annotations

import pytest
from chempy import Substance
from diagnose.calculators.acid import masses

FORMULAE = {
    "TARTARIC": "C4H6O6",
    "MALIC": "C4H6O5",
    "CITRIC": "C6H8O7",
    "LACTIC": "C3H6O3",
    "ACETIC": "C2H4O2",
    "SUCCINIC": "C4H6O4",
    "SULFURIC": "H2SO4",
    "BITARTRATE": "KC4H5O6",
    "CALCIUM_CARBONATE": "CaCO3",
    "POTASSIUM_BICARBONATE": "KHCO3",
    "POTASSIUM_CARBONATE": "K2CO3",
    "POTASSIUM": "K",
    "SODIUM": "Na",
    "CALCIUM": "Ca",
    "MAGNESIUM": "Mg",
    "AMMONIUM": "NH4",
    "CHLORIDE": "Cl",
    "SULFATE": "SO4",
}
HYDROGENS = {"TARTARIC": 2, "MALIC": 2, "CITRIC": 3, "SULFURIC": 2, "LACTIC": 1, "ACETIC": 1}
"""How many hydrogens of each acid a titration to the end counts."""


@pytest.mark.parametrize(("name", "formula"), FORMULAE.items())
def test_a_mole_weighs_what_its_formula_weighs(name: str, formula: str) -> None:
    """Every acid, salt and ion weighs what an outside library makes of its formula, to 1 in 10 000."""
    assert getattr(masses, name) == pytest.approx(Substance.from_formula(formula).mass, rel=1e-4)


@pytest.mark.parametrize(("name", "hydrogens"), HYDROGENS.items())
def test_an_equivalent_is_what_gives_one_hydrogen(name: str, hydrogens: int) -> None:
    """Tartaric, malic and sulfuric acid give two, citric three, lactic and acetic one (by their formulae)."""
    assert getattr(masses, f"{name}_PER_EQ") * hydrogens == pytest.approx(getattr(masses, name))
