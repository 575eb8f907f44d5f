"""Alcohol and water, weighed; and the alcohol of a wine that was distilled or boiled down."""

from __future__ import annotations

from .. import densities
from ..amounts import (
    Celsius,
    KilogramsPerCubicMetre,
    PercentAlcohol,
    PercentByMass,
    SpecificGravity,
    within,
)
from ..registry import calculator
from ..roots import bisect
from ..sugar.scales import gravity_in_range

STRONGEST_WINE = 25.0

_BEYOND = 1e-6
"""So that the last strength allowed lies inside the search, not on its edge."""


def _any_alcohol(alcohol_percent: float) -> float:
    return within("alcohol", alcohol_percent, "% vol", at_least=0, at_most=100, mend="Give % vol, not proof.")


@calculator(
    "alcohol_density",
    result="density of alcohol and water",
    formula="OIML R22 with the share by mass of alcohol_percent, at temperature_c",
)
def alcohol_density(alcohol_percent: PercentAlcohol, temperature_c: Celsius = 20.0) -> KilogramsPerCubicMetre:
    """Density of nothing but alcohol and water; the alcohol is % vol at 20 C, the density at the temperature.

    Range: 0 to 100 % vol, -20 to 40 C; raises `OutOfRange`. Water alone below 0 C is ice, not this. Source: OIML
    R22 (1975), Council Directive 76/766/EEC; coefficients for mixtures at other temperatures than 20 C from memory.
    """
    within("temperature", temperature_c, "C", at_least=-20, at_most=40, mend="Give C, not F.")
    share = densities.mass_share_of_alcohol(_any_alcohol(alcohol_percent))
    return densities.alcohol_water_density(share, temperature_c)


@calculator(
    "alcohol_gravity", result="gravity 20/20", formula="gravity = density of alcohol_percent / 998.20123"
)
def alcohol_gravity(alcohol_percent: PercentAlcohol) -> SpecificGravity:
    """Gravity 20/20 of nothing but alcohol and water: what a distillate made up to volume reads.

    Range: 0 to 100 % vol; raises `OutOfRange`. Source: OIML R22 (1975).
    """
    return densities.sg_of_alcohol(_any_alcohol(alcohol_percent))


@calculator(
    "alcohol_by_mass",
    result="alcohol by mass",
    formula="by mass = alcohol_percent x 789.24 / density",
    working=lambda alcohol_percent: {"density": alcohol_density(alcohol_percent)},
)
def alcohol_by_mass(alcohol_percent: PercentAlcohol) -> PercentByMass:
    """% by mass of alcohol in a mixture with water of this % vol.

    Range: 0 to 100 % vol; raises `OutOfRange`. Source: OIML R22 (1975), % vol = 100 x share x density / 789.24.
    """
    return min(100.0, 100 * densities.mass_share_of_alcohol(_any_alcohol(alcohol_percent)))


@calculator(
    "alcohol_by_volume",
    result="alcohol by volume",
    formula="by volume = mass_percent x density / 789.24",
    working=lambda mass_percent: {"density": densities.alcohol_water_density(mass_percent / 100)},
)
def alcohol_by_volume(mass_percent: PercentByMass) -> PercentAlcohol:
    """% vol of a mixture of alcohol and water of this % by mass: the inverse of `alcohol_by_mass`.

    Range: 0 to 100 %; raises `OutOfRange`. Source: as there.
    """
    within("alcohol by mass", mass_percent, "%", at_least=0, at_most=100, mend="Give grams in 100 g.")
    return mass_percent * densities.alcohol_water_density(mass_percent / 100) / densities.ALCOHOL_20_KG_PER_M3


@calculator(
    "alcohol_from_distillate_gravity",
    result="alcohol",
    formula="the alcohol whose gravity is distillate_gravity",
)
def alcohol_from_distillate_gravity(distillate_gravity: SpecificGravity) -> PercentAlcohol:
    """% vol of a distillate made up to the volume of its sample, from its gravity 20/20.

    Range: the gravity of 0 to 25 % vol; raises `OutOfRange`. Stills need a licence in many places. Source: OIML R22.
    """
    # A hair below: the gravity of just that strength may come back with its last digit rounded.
    lowest = densities.sg_of_alcohol(STRONGEST_WINE) - 1e-9
    within(
        "gravity of alcohol and water",
        distillate_gravity,
        "SG",
        at_least=lowest,
        at_most=1,
        mend="Was it made up to the volume of the sample with water, and read at 20 C?",
    )
    return bisect(
        lambda alcohol: distillate_gravity - densities.sg_of_alcohol(alcohol),
        0.0,
        STRONGEST_WINE + _BEYOND,
        1e-9,
    )


@calculator(
    "alcohol_from_boiled_sample",
    result="alcohol",
    formula="the alcohol whose gravity is gravity - boiled_gravity + 1",
)
def alcohol_from_boiled_sample(gravity: SpecificGravity, boiled_gravity: SpecificGravity) -> PercentAlcohol:
    """% vol of a wine from its gravity, and that of a sample boiled down and made up again with water.

    Boil off at least half and make up to the old volume at 20 C. Needs no start gravity. Range: gravities 0.95
    to 1.2 and an answer of 0 to 25 % vol; raises `OutOfRange`. An error of 0.001 moves it by about 0.9 % vol.
    Source: Tabarie's relation, OIV-MA-AS2-03B, with the densities of OIML R22.
    """
    gravity_in_range(boiled_gravity, "gravity of the boiled sample")
    return alcohol_from_distillate_gravity(gravity_in_range(gravity) - boiled_gravity + 1)
