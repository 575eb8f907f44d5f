"""How hard the gas pushes: the pressure in a closed bottle, and the sugar that makes it."""

from __future__ import annotations

from collections.abc import Mapping

from ..amounts import Bar, Celsius, GramsPerLitre, Millilitres, OutOfRange, PercentAlcohol, within
from ..ferment_heat.gas import carbon_dioxide_mass
from ..registry import calculator
from .solubility import (
    ATMOSPHERE_BAR,
    GAS_L_BAR_PER_MOL_K,
    KELVIN,
    carbon_dioxide_solubility,
    wine_temperature,
)

CARBON_DIOXIDE_G_PER_MOL = 44.01
MALIC_G_PER_MOL = 134.09
"""Malic acid C4H6O5 gives lactic acid C3H6O3 and one CO2; atomic masses."""

START_G_PER_L = 1.2
"""CO2 that wine keeps after its ferment, 1.0 to 1.2 g/L: La Vigne, article on dissolved CO2. The higher is the
cautious one; bottled whites have 0.6 to 1.1, reds 0 to 0.6 (same article)."""

HEADSPACE_ML = 10.0
BOTTLE_ML = 750.0
"""Gas space and wine of a still bottle; common practice. A smaller gas space means more pressure."""

_ROUNDING = 1e-9
"""What rounding in the machine may take from a gas in g/L."""


@calculator(
    "carbon_dioxide_from_malic_acid",
    result="carbon dioxide in a litre",
    formula="carbon_dioxide = malic_fermented_g_per_l x 44.01 / 134.09",
)
def carbon_dioxide_from_malic_acid(malic_fermented_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Carbon dioxide that malolactic bacteria make in a litre of wine.

    Range: 0 to 20 g/L; raises `OutOfRange`. Formula: one molecule from one of malic acid, 0.328 g from a gram.
    Source: stoichiometry from molar masses.
    """
    within(
        "malic acid fermented",
        malic_fermented_g_per_l,
        "g/L",
        at_least=0,
        at_most=20,
        mend="1 to 5 is usual.",
    )
    return malic_fermented_g_per_l * CARBON_DIOXIDE_G_PER_MOL / MALIC_G_PER_MOL


def _bottle_working(
    wine_c: float,
    alcohol_percent: float,
    sugar_fermented_g_per_l: float,
    malic_fermented_g_per_l: float = 0.0,
    start_g_per_l: float = START_G_PER_L,
    headspace_ml: float = HEADSPACE_ML,
    bottle_ml: float = BOTTLE_ML,
    sealed_air_bar: float = ATMOSPHERE_BAR,
) -> Mapping[str, float]:
    return {
        "gas_g_per_l": gas_of(sugar_fermented_g_per_l, malic_fermented_g_per_l, start_g_per_l),
        "held_g_per_l_bar": _held(wine_c, alcohol_percent, headspace_ml, bottle_ml),
    }


@calculator(
    "bottle_overpressure",
    result="pressure above the air outside",
    formula="overpressure = gas_g_per_l / held_g_per_l_bar + sealed_air_bar - 1.01325",
    working=_bottle_working,
)
def bottle_overpressure(
    wine_c: Celsius,
    alcohol_percent: PercentAlcohol,
    sugar_fermented_g_per_l: GramsPerLitre,
    malic_fermented_g_per_l: GramsPerLitre = 0.0,
    start_g_per_l: GramsPerLitre = START_G_PER_L,
    headspace_ml: Millilitres = HEADSPACE_ML,
    bottle_ml: Millilitres = BOTTLE_ML,
    sealed_air_bar: Bar = ATMOSPHERE_BAR,
) -> Bar:
    """Overpressure in a closed bottle once an amount of sugar, and of malic acid, has fermented in it.

    `sealed_air_bar` is the pressure of the air shut in at bottling: 1.01325 as a rule, 0 after a perfect vacuum,
    more where the cork squeezed it. Below 0 the bottle sucks. Range: wine -5 to 45 C, alcohol 0 to 25 % vol, sugar
    0 to 400 g/L, malic acid 0 to 20 g/L, start 0 to 20 g/L, headspace 0 to the bottle, air 0 to 5 bar; raises
    `OutOfRange`. Formula: the gas shares itself between wine and headspace at one pressure. Source: Gay-Lussac, EU
    formula as in `carbon_dioxide_solubility`, ideal gas.
    """
    gas = gas_of(sugar_fermented_g_per_l, malic_fermented_g_per_l, start_g_per_l)
    return (
        gas / _held(wine_c, alcohol_percent, headspace_ml, bottle_ml) + _air(sealed_air_bar) - ATMOSPHERE_BAR
    )


def _sugar_working(
    overpressure_bar: float,
    wine_c: float,
    alcohol_percent: float,
    malic_fermented_g_per_l: float = 0.0,
    start_g_per_l: float = START_G_PER_L,
    headspace_ml: float = HEADSPACE_ML,
    bottle_ml: float = BOTTLE_ML,
    sealed_air_bar: float = ATMOSPHERE_BAR,
) -> Mapping[str, float]:
    return {
        "held_g_per_l_bar": _held(wine_c, alcohol_percent, headspace_ml, bottle_ml),
        "other_gas_g_per_l": gas_of(0.0, malic_fermented_g_per_l, start_g_per_l),
    }


@calculator(
    "sugar_for_overpressure",
    result="sugar that makes the pressure",
    formula="sugar = ((overpressure_bar + 1.01325 - sealed_air_bar) x held_g_per_l_bar - other_gas_g_per_l) / 0.4886",
    working=_sugar_working,
)
def sugar_for_overpressure(
    overpressure_bar: Bar,
    wine_c: Celsius,
    alcohol_percent: PercentAlcohol,
    malic_fermented_g_per_l: GramsPerLitre = 0.0,
    start_g_per_l: GramsPerLitre = START_G_PER_L,
    headspace_ml: Millilitres = HEADSPACE_ML,
    bottle_ml: Millilitres = BOTTLE_ML,
    sealed_air_bar: Bar = ATMOSPHERE_BAR,
) -> GramsPerLitre:
    """Sugar whose fermenting brings a closed bottle to an overpressure: how little sugar is already too much.

    Range: overpressure 0 to 20 bar, else as in `bottle_overpressure`; raises `OutOfRange`, also when the gas that is
    there pushes harder without any sugar. Source: as in `bottle_overpressure`, worked backwards.
    """
    within("overpressure", overpressure_bar, "bar", at_least=0, at_most=20, mend="Give it in bar.")
    held = _held(wine_c, alcohol_percent, headspace_ml, bottle_ml)
    wanted = (overpressure_bar + ATMOSPHERE_BAR - _air(sealed_air_bar)) * held
    missing = wanted - gas_of(0.0, malic_fermented_g_per_l, start_g_per_l)
    if missing < -_ROUNDING:
        there = bottle_overpressure(
            wine_c,
            alcohol_percent,
            0.0,
            malic_fermented_g_per_l,
            start_g_per_l,
            headspace_ml,
            bottle_ml,
            sealed_air_bar,
        )
        raise OutOfRange(
            f"Without any sugar the bottle comes to {there:.2f} bar, more than the {overpressure_bar:g} bar asked for. "
            "Take gas out of the wine before bottling, or give a higher pressure."
        )
    return max(0.0, missing) / carbon_dioxide_mass(1.0)


def _warmed_working(
    overpressure_bar: float,
    wine_c: float,
    warmed_to_c: float,
    alcohol_percent: float,
    headspace_ml: float = HEADSPACE_ML,
    bottle_ml: float = BOTTLE_ML,
    sealed_air_bar: float = ATMOSPHERE_BAR,
) -> Mapping[str, float]:
    return {
        "held_before": _held(wine_c, alcohol_percent, headspace_ml, bottle_ml),
        "held_after": _held(warmed_to_c, alcohol_percent, headspace_ml, bottle_ml),
    }


@calculator(
    "overpressure_when_warmed",
    result="pressure at the other temperature",
    formula="overpressure = (overpressure_bar + 1.01325 - sealed_air_bar) x held_before / held_after "
    "+ sealed_air_bar - 1.01325",
    working=_warmed_working,
)
def overpressure_when_warmed(
    overpressure_bar: Bar,
    wine_c: Celsius,
    warmed_to_c: Celsius,
    alcohol_percent: PercentAlcohol,
    headspace_ml: Millilitres = HEADSPACE_ML,
    bottle_ml: Millilitres = BOTTLE_ML,
    sealed_air_bar: Bar = ATMOSPHERE_BAR,
) -> Bar:
    """Overpressure of the same closed bottle at another temperature: what a gauge read cold means in a warm room.

    Range: overpressure -1 to 20 bar, both temperatures -5 to 45 C, else as in `bottle_overpressure`; raises
    `OutOfRange`, also when the pressure is less than the sealed air alone makes. Source: as in `bottle_overpressure`.
    """
    within("overpressure", overpressure_bar, "bar", at_least=-1, at_most=20, mend="Give it in bar.")
    air = _air(sealed_air_bar) - ATMOSPHERE_BAR
    gas_bar = within(
        "pressure of the carbon dioxide",
        overpressure_bar - air,
        "bar",
        at_least=0,
        mend="The sealed air alone makes more than was read; give less sealed air.",
    )
    before = _held(wine_c, alcohol_percent, headspace_ml, bottle_ml)
    return gas_bar * before / _held(warmed_to_c, alcohol_percent, headspace_ml, bottle_ml) + air


def gas_of(sugar: float, malic: float, start: float) -> float:
    """Carbon dioxide in g per litre of wine: made from sugar and malic acid, and there at the start."""
    within("carbon dioxide at the start", start, "g/L", at_least=0, at_most=20, mend="0 to 1.2 is usual.")
    return carbon_dioxide_mass(sugar) + carbon_dioxide_from_malic_acid(malic) + start


def _held(wine_c: float, alcohol: float, headspace_ml: float, bottle_ml: float) -> float:
    """Carbon dioxide that wine and headspace hold at one bar of it, in g per litre of wine.

    All sugar is taken as fermented: sugar left would push a little more gas out.
    """
    within("wine in the bottle", bottle_ml, "mL", more_than=0, mend="750 in an ordinary bottle.")
    within("headspace", headspace_ml, "mL", at_least=0, at_most=bottle_ml, mend="Give the gas space in mL.")
    in_gas = CARBON_DIOXIDE_G_PER_MOL / (GAS_L_BAR_PER_MOL_K * (KELVIN + wine_temperature(wine_c)))
    return carbon_dioxide_solubility(wine_c, alcohol) + headspace_ml / bottle_ml * in_gas


def _air(value: float) -> float:
    return within(
        "air sealed in", value, "bar", at_least=0, at_most=5, mend="1.013 as a rule, 0 after a full vacuum."
    )
