"""The constant that splits free sulfur dioxide into its molecular form and bisulfite.

Published constants for the same wine differ: 1.81 in the extension tables (water, no correction), 1.96 by the
OIV table for 12 % vol at 20 C. A higher constant finds more molecular SO2 in the same wine, so the plain 1.81
is the cautious one for adding. Say with every result which one was used.
"""

from __future__ import annotations

import math
from bisect import bisect_right

from ..amounts import Celsius, MolesPerLitre, PercentAlcohol, PlainNumber, within
from ..registry import calculator

PLAIN_PK = 1.81
"""First dissociation constant of sulfurous acid in water without corrections: the value behind the University of
California Cooperative Extension table of 1982, which it gives back."""

WINE_IONIC_STRENGTH = 0.038
"""Mean ionic strength of wine, mol/L: OIV-MA-AS323-04C, molecular method."""

_TEMPERATURES_C = (20.0, 25.0, 30.0, 35.0, 40.0)
_ALCOHOLS_PERCENT = (0.0, 5.0, 10.0, 15.0, 20.0)
_THERMODYNAMIC_PK = (
    (1.798, 2.000, 2.219, 2.334, 2.493),
    (1.897, 2.098, 2.299, 2.397, 2.527),
    (1.997, 2.198, 2.394, 2.488, 2.606),
    (2.099, 2.301, 2.503, 2.607, 2.728),
    (2.203, 2.406, 2.628, 2.754, 2.895),
)
"""OIV-MA-AS323-04C, Table 1; a row for each alcohol, a column for each temperature. The row for 20 % is from memory."""

COLDEST_C = 15.0
"""The table begins at 20 C; its first step is carried on for 5 degrees, no further."""

# Relative permittivity of water with ethanol at 20 and 40 C and its fall per % of ethanol by mass: Akerlof 1932,
# from memory. Half a unit of error in it moves the constant by less than 0.001.
_PERMITTIVITY = ((20.0, 80.37, 0.5855), (40.0, 73.12, 0.5355))
_MASS_PERCENT_PER_ALCOHOL = 0.8
"""Ethanol by mass against % vol in wine strength, within 0.3 %: density of ethanol 0.789 over that of the mix."""

# Debye and Hueckel's coefficients for activity, standard in physical chemistry texts, from memory; lengths in
# angstrom. The size of the ion is the one that gives back the OIV's own Table 2 (from memory) within 0.001.
_DEBYE_A = 1.8246e6
_DEBYE_B_PER_ANGSTROM = 50.29
_ION_SIZE_ANGSTROM = 4.9


def pk_working(
    *,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
    **_others: float,
) -> dict[str, float]:
    """The mixed constant under the name it has in the formulas. Raises `OutOfRange`."""
    return {"pk": so2_constant(alcohol_percent, temperature_c, ionic_strength_mol_per_l)}


def _parts(
    *,
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> dict[str, float]:
    a, b = _debye_huckel(alcohol_percent, temperature_c)
    return {"pk_t": _from_table(alcohol_percent, temperature_c), "a": a, "b": b}


@calculator(
    "so2_constant",
    result="mixed dissociation constant of sulfur dioxide (pK)",
    formula="pk_t - a x sqrt(ionic_strength_mol_per_l) / (1 + b x sqrt(ionic_strength_mol_per_l))",
    working=_parts,
)
def so2_constant(
    alcohol_percent: PercentAlcohol,
    temperature_c: Celsius = 20.0,
    ionic_strength_mol_per_l: MolesPerLitre = WINE_IONIC_STRENGTH,
) -> PlainNumber:
    """The constant (pK) of sulfur dioxide in a wine, from its alcohol, temperature and salts.

    Alcohol in % vol, temperature in C, ionic strength in mol/L; 0 mol/L gives the constant of Table 1 itself.
    Range: alcohol 0 to 20 % vol; 15 to 40 C, of which 15 to 20 carries on the first step of the table; ionic
    strength 0 to 0.1 mol/L. Raises `OutOfRange`.
    Formula: pK of the table, interpolated, less A sqrt(I) / (1 + B sqrt(I)).
    Source: OIV-MA-AS323-04C, Sulfur dioxide (molecular method), Type IV: formula and Table 1 (row 20 % from
    memory). A and B by Debye and Hueckel from the permittivity of water with ethanol, from memory.
    """
    within(
        "alcohol",
        alcohol_percent,
        "% vol",
        at_least=0,
        at_most=20,
        mend="The table ends at 20 % vol; use the plain form for stronger wine.",
    )
    within(
        "temperature",
        temperature_c,
        "C",
        at_least=COLDEST_C,
        at_most=40,
        mend="The table begins at 20 C. For colder wine use the plain form, or work at 15.",
    )
    within(
        "ionic strength",
        ionic_strength_mol_per_l,
        "mol/L",
        at_least=0,
        at_most=0.1,
        mend="Leave it out: 0.038 is the mean of wine.",
    )
    a, b = _debye_huckel(alcohol_percent, temperature_c)
    root = math.sqrt(ionic_strength_mol_per_l)
    return _from_table(alcohol_percent, temperature_c) - a * root / (1 + b * root)


def _from_table(alcohol_percent: float, temperature_c: float) -> float:
    """Straight lines between the neighbouring cells, for the steps of temperature are uneven."""
    row, up = _cell(_ALCOHOLS_PERCENT, alcohol_percent)
    column, along = _cell(_TEMPERATURES_C, temperature_c)

    def at(row: int) -> float:
        left, right = _THERMODYNAMIC_PK[row][column : column + 2]
        return left + (right - left) * along

    return at(row) + (at(row + 1) - at(row)) * up


def _cell(steps: tuple[float, ...], value: float) -> tuple[int, float]:
    """The step below a value and how far it is to the next; before the first step the share is below 0."""
    low = min(max(bisect_right(steps, value) - 1, 0), len(steps) - 2)
    return low, (value - steps[low]) / (steps[low + 1] - steps[low])


def _debye_huckel(alcohol_percent: float, temperature_c: float) -> tuple[float, float]:
    (cool_c, *cool), (warm_c, *warm) = _PERMITTIVITY
    share = (temperature_c - cool_c) / (warm_c - cool_c)
    pure, fall = (low + (high - low) * share for low, high in zip(cool, warm, strict=True))
    screening = (pure - fall * _MASS_PERCENT_PER_ALCOHOL * alcohol_percent) * (temperature_c + 273.15)
    return _DEBYE_A / screening**1.5, _DEBYE_B_PER_ANGSTROM * _ION_SIZE_ANGSTROM / math.sqrt(screening)
