"""A hydrometer read in a sample that is warmer or colder than the instrument was made for.

A hydrometer tells the weight of the liquid as it is, with its own glass swollen or shrunk. So the reading is taken
back to a density, the density to what the liquid weighs at the wanted temperature, and that to a gravity.
"""

from __future__ import annotations

import math

from . import densities
from .amounts import Brix, Celsius, PercentAlcohol, SpecificGravity, within
from .registry import calculator
from .sugar.scales import gravity_in_range

GLASS_PER_C = 25e-6
"""Swelling of soda-lime glass in volume for each C, from memory."""

# How much more than water a sugar solution shrinks from t to 20 C, as the logarithm of the ratio, with b the Brix
# and d = t - 20. Fitted to the 70 cells of the NBS C440 / AOAC correction table, which are from memory: the fit
# meets them to 0.02 Brix.
_SUGAR_SWELLS = (3.52741393e-6, -1.78981251e-7, 2.13853184e-9, -8.85530169e-9, 3.06791993e-9)

_STANDARD_C = 20.0
_PASSES = 2


def _sample(temperature_c: float) -> float:
    return within(
        "temperature of the sample",
        temperature_c,
        "C",
        at_least=0,
        at_most=35,
        mend="Let it come near 20 C and read again.",
    )


def _made_for(calibration_c: float) -> float:
    return within(
        "temperature of the instrument",
        calibration_c,
        "C",
        at_least=15,
        at_most=25,
        mend="It is printed on the scale: 15, 15.56 (60 F) or 20 C.",
    )


def _alcohol(alcohol_percent: float) -> float:
    return within("alcohol", alcohol_percent, "% vol", at_least=0, at_most=25, mend="0 for fresh must.")


def _sugar_weight_ratio(brix: float, temperature_c: float) -> float:
    """How many times heavier sugar makes the liquid at 20 C than at t, beyond what its water does."""
    b, d = max(brix, 0.0), temperature_c - _STANDARD_C
    bd, bd2, bd3, b2d, b2d2 = _SUGAR_SWELLS
    return math.exp(bd * b * d + bd2 * b * d**2 + bd3 * b * d**3 + b2d * b**2 * d + b2d2 * b**2 * d**2)


def _weight(temperature_c: float, alcohol_percent: float, brix: float) -> float:
    """Weight of the liquid at a temperature, against the same liquid elsewhere; the scale does not matter."""
    share = densities.mass_share_of_alcohol(alcohol_percent)
    return densities.alcohol_water_density(share, temperature_c) / _sugar_weight_ratio(brix, temperature_c)


def _moved(reading: float, temperature_c: float, calibration_c: float, alcohol: float, to_c: float) -> float:
    """The gravity, against water at the same `to_c`, of the sample brought to `to_c`."""
    gravity_in_range(reading, "reading")
    _sample(temperature_c)
    _made_for(calibration_c)
    spirit = densities.sg_of_alcohol(_alcohol(alcohol))
    glass = 1 - GLASS_PER_C * (temperature_c - calibration_c)
    density = reading * densities.water_density(calibration_c) * glass

    def settled(at_c: float, brix: float) -> float:
        weighs = density * _weight(at_c, alcohol, brix) / _weight(temperature_c, alcohol, brix)
        return weighs / densities.water_density(at_c)

    # How much sugar swells depends on how much there is, which only the settled sample tells: so twice.
    brix = 0.0
    for _ in range(_PASSES):
        brix = densities.brix_from_sg(settled(_STANDARD_C, brix) - spirit + 1)
    return settled(to_c, brix)


@calculator(
    "corrected_gravity",
    result="reading at the instrument's temperature",
    formula="gravity = reading x glass x weight at calibration_c / weight at temperature_c",
)
def corrected_gravity(
    reading: SpecificGravity,
    temperature_c: Celsius,
    calibration_c: Celsius = _STANDARD_C,
    alcohol_percent: PercentAlcohol = 0.0,
) -> SpecificGravity:
    """What the hydrometer would read if the sample had the temperature the instrument was made for.

    Range: reading 0.95 to 1.2, sample 0 to 35 C, instrument 15 to 25 C, alcohol 0 to 25 % vol; raises `OutOfRange`.
    Shake the gas out first. Source: densities of OIML R22; the further swelling of sugar solutions is fitted to
    the NBS C440 table, and the swelling of glass taken, from memory.
    """
    return _moved(reading, temperature_c, calibration_c, alcohol_percent, calibration_c)


@calculator(
    "gravity_at_20_c",
    result="gravity 20/20",
    formula="gravity = reading x glass x weight at 20 C / weight at temperature_c, over water at 20 C",
)
def gravity_at_20_c(
    reading: SpecificGravity,
    temperature_c: Celsius,
    calibration_c: Celsius = _STANDARD_C,
    alcohol_percent: PercentAlcohol = 0.0,
) -> SpecificGravity:
    """Gravity at 20 C against water at 20 C, which all other sums want, from any hydrometer in any sample.

    It differs from `corrected_gravity` only for instruments made for another temperature than 20 C.
    Range: as there; raises `OutOfRange`. Source: as there.
    """
    return _moved(reading, temperature_c, calibration_c, alcohol_percent, _STANDARD_C)


@calculator(
    "corrected_brix",
    result="Brix at the instrument's temperature",
    formula="the Brix of the corrected gravity",
)
def corrected_brix(
    brix_reading: Brix,
    temperature_c: Celsius,
    calibration_c: Celsius = _STANDARD_C,
    alcohol_percent: PercentAlcohol = 0.0,
) -> Brix:
    """What a Brix hydrometer would read if the sample had the temperature the instrument was made for.

    Range: -5 to 40 Brix, sample 0 to 35 C, instrument 15 to 25 C, alcohol 0 to 25 % vol; raises `OutOfRange`. Not
    for a refractometer. Source: as `corrected_gravity`.
    """
    within("Brix", brix_reading, "", at_least=-5, at_most=40, mend="A must has 15 to 30 Brix.")
    gravity = densities.sg_from_brix(brix_reading)
    return densities.brix_from_sg(corrected_gravity(gravity, temperature_c, calibration_c, alcohol_percent))
