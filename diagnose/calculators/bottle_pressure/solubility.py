"""Carbon dioxide that wine holds, and the oxygen it keeps out."""

from __future__ import annotations

import math

from ..amounts import (
    Celsius,
    GramsPerLitre,
    GramsPerLitrePerBar,
    MilligramsPerLitre,
    PercentAlcohol,
    within,
)
from ..registry import calculator

ATMOSPHERE_BAR = 1.01325
"""Standard atmosphere; definition."""

SOLUBILITY_HEAT_J_PER_MOL = 24_800.0
"""Heat of solution of CO2 in wine, from memory. With the EU formula at 20 C it gives the 2.1 g/L per bar at 10 C that
Liger-Belair and Cilindre (ACS Omega, 2021, table 1) print for champagne."""

GAS_L_BAR_PER_MOL_K = 0.0831446
KELVIN = 273.15


@calculator(
    "carbon_dioxide_solubility",
    result="carbon dioxide that a bar holds in a litre",
    formula="solubility = 1.951 x (0.86 - 0.01 x alcohol_percent) x (1 - 0.00144 x sugar_left_g_per_l) x cold",
    working=lambda wine_c, alcohol_percent, sugar_left_g_per_l=0.0: {"cold": _cold(wine_c)},
)
def carbon_dioxide_solubility(
    wine_c: Celsius, alcohol_percent: PercentAlcohol, sugar_left_g_per_l: GramsPerLitre = 0.0
) -> GramsPerLitrePerBar:
    """Carbon dioxide that dissolves in a litre of wine under one bar of the gas; cold wine holds more.

    Range: wine -5 to 45 C, alcohol 0 to 25 % vol, sugar 0 to 300 g/L; raises `OutOfRange`. The usual formula for
    CO2 in wine is said to hold from 10 to 30 C (Vitis 18:137, abstract); outside that this is stretched.
    Source: at 20 C the formula of the EU wine analysis rules (Reg. 2676/90, CO2 chapter), read in a copy that had
    lost signs and powers of ten, which were put back to give the known 1.4 g/L at 1 atm; over temperature van 't Hoff's
    law with 24.8 kJ/mol, from memory.
    """
    wine_temperature(wine_c)
    within("alcohol", alcohol_percent, "% vol", at_least=0, at_most=25, mend="Give % vol.")
    within("sugar left", sugar_left_g_per_l, "g/L", at_least=0, at_most=300, mend="Give g/L.")
    return 1.951 * (0.86 - 0.01 * alcohol_percent) * (1 - 0.00144 * sugar_left_g_per_l) * _cold(wine_c)


@calculator(
    "carbon_dioxide_when_saturated",
    result="carbon dioxide that open wine can hold",
    formula="saturated = 1.01325 x solubility",
    working=lambda wine_c, alcohol_percent, sugar_left_g_per_l=0.0: {
        "solubility": carbon_dioxide_solubility(wine_c, alcohol_percent, sugar_left_g_per_l)
    },
)
def carbon_dioxide_when_saturated(
    wine_c: Celsius, alcohol_percent: PercentAlcohol, sugar_left_g_per_l: GramsPerLitre = 0.0
) -> GramsPerLitre:
    """The most carbon dioxide that wine keeps dissolved under a blanket of the gas at ordinary pressure.

    Range: as in `carbon_dioxide_solubility`; raises `OutOfRange`. Formula: solubility at one atmosphere. Source: about
    1.4 g/L at 20 C, Butzke, Purdue Extension FS-56-W.
    """
    return ATMOSPHERE_BAR * carbon_dioxide_solubility(wine_c, alcohol_percent, sugar_left_g_per_l)


@calculator(
    "most_dissolved_oxygen",
    result="most oxygen beside the gas",
    formula="oxygen = 7.9 - 0.005 x carbon_dioxide_mg_per_l",
)
def most_dissolved_oxygen(carbon_dioxide_mg_per_l: MilligramsPerLitre) -> MilligramsPerLitre:
    """The most oxygen that wine can take up at 20 C beside the carbon dioxide it holds: gas shields it.

    Range: 0 to 1400 mg/L; raises `OutOfRange`. Formula and source: French oenology teaching site Oenopedia,
    dissolved gases.
    """
    within(
        "carbon dioxide",
        carbon_dioxide_mg_per_l,
        "mg/L",
        at_least=0,
        at_most=1400,
        mend="1 g/L is 1000 mg/L.",
    )
    return 7.9 - 0.005 * carbon_dioxide_mg_per_l


def _cold(wine_c: float) -> float:
    """How many times more dissolves than at 20 C."""
    steps = 1 / (KELVIN + wine_c) - 1 / (KELVIN + 20)
    return math.exp(SOLUBILITY_HEAT_J_PER_MOL / (100 * GAS_L_BAR_PER_MOL_K) * steps)


def wine_temperature(value: float) -> float:
    """A temperature of bottled wine in C: -5 to 45."""
    return within("wine", value, "C", at_least=-5, at_most=45, mend="Give the temperature in C.")
