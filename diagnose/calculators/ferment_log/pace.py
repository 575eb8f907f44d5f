"""Gravity, sugar and days: what one fall means, and how large it must be to mean anything."""

from __future__ import annotations

import math

from ..amounts import Days, GramsPerLitre, GravityPoints, GravityPointsPerDay, SpecificGravity, within
from ..registry import calculator

POINTS_PER_G_PER_L = 0.463
"""Fall of the gravity for each g/L of sugar fermented, sugar gone and alcohol made together: from memory, by
Tabarie's relation (OIV-MA-AS2-03B) and the densities of OIML R22 for musts of 1.080 to 1.110."""

READING_SPREAD = 0.001
"""Spread of one hydrometer reading, free of gas, read to half a line of 0.002: common practice."""

BOTH_ENDS = math.sqrt(2)
"""Two readings with one spread differ by this many spreads: JCGM 100:2008, 5.1.2."""


@calculator(
    "gravity_points_for_sugar",
    result="fall of the gravity",
    formula="points = 0.463 x sugar_fermented_g_per_l",
)
def gravity_points_for_sugar(sugar_fermented_g_per_l: GramsPerLitre) -> GravityPoints:
    """Points that the gravity falls while an amount of sugar ferments.

    Range: 0 to 400 g/L; raises `OutOfRange`. Within 1.2 % for musts of 1.080 to 1.110. Source: the factor is from
    memory, by Tabarie's relation (OIV-MA-AS2-03B) and the alcohol densities of OIML R22.
    """
    sugar = within(
        "sugar fermented",
        sugar_fermented_g_per_l,
        "g/L",
        at_least=0,
        at_most=400,
        mend="Give sugar in g/L, not in Brix.",
    )
    return POINTS_PER_G_PER_L * sugar


@calculator(
    "sugar_for_gravity_points", result="sugar fermented", formula="sugar_fermented = fall_points / 0.463"
)
def sugar_for_gravity_points(fall_points: GravityPoints) -> GramsPerLitre:
    """Sugar that fermented while the gravity fell: the inverse of `gravity_points_for_sugar`.

    Range: 0 to 186 points; raises `OutOfRange`. Source: as there.
    """
    fall = within(
        "fall", fall_points, "points", at_least=0, at_most=186, mend="From 1.090 to 1.040 is 50 points."
    )
    return fall / POINTS_PER_G_PER_L


@calculator(
    "fall_per_day", result="fall in a day", formula="fall = 1000 x (first_gravity - last_gravity) / days"
)
def fall_per_day(
    first_gravity: SpecificGravity, last_gravity: SpecificGravity, days: Days
) -> GravityPointsPerDay:
    """Fall of the gravity in a day, from two readings; below 0 when it rose.

    Range: gravities 0.97 to 1.2, days above 0 and at most 365; raises `OutOfRange`.
    """
    within("time between", days, "days", more_than=0, at_most=365, mend="Give the days between the readings.")
    return 1000 * (gravity_reading(first_gravity) - gravity_reading(last_gravity)) / days


@calculator(
    "smallest_fall_that_counts",
    result="smallest fall that is no noise",
    formula="fall = 1000 x reading_spread x square root of 2",
)
def smallest_fall_that_counts(reading_spread: SpecificGravity = READING_SPREAD) -> GravityPoints:
    """The fall between two readings that must be passed before it is more than the noise of reading.

    Range: spread above 0 and at most 0.01; raises `OutOfRange`. Formula: spreads of independent readings add as
    squares, JCGM 100:2008, 5.1.2. The default spread is common practice.
    """
    return 1000 * spread_of_reading(reading_spread) * BOTH_ENDS


@calculator(
    "days_to_see_a_fall",
    result="days between two readings",
    formula="days = 1000 x reading_spread x square root of 2 / fall_points_per_day",
)
def days_to_see_a_fall(
    fall_points_per_day: GravityPointsPerDay, reading_spread: SpecificGravity = READING_SPREAD
) -> Days:
    """How long to wait before two readings can show a fall of a given speed.

    Range: fall above 0 and at most 100 points a day, spread above 0 and at most 0.01; raises `OutOfRange`.
    Formula: smallest fall that counts over the fall in a day.
    """
    fall = within(
        "fall", fall_points_per_day, "points a day", more_than=0, at_most=100, mend="2 is a slow end."
    )
    return smallest_fall_that_counts(reading_spread) / fall


@calculator(
    "days_to_gravity",
    result="days at this pace",
    formula="days = 1000 x (gravity - target_gravity) / fall_points_per_day",
)
def days_to_gravity(
    gravity: SpecificGravity, target_gravity: SpecificGravity, fall_points_per_day: GravityPointsPerDay
) -> Days:
    """Days until a gravity is reached if the ferment keeps its pace; as a rule it slows, so this is the least.

    Range: gravities 0.97 to 1.2, the target not above the present one, fall above 0 and at most 100 points a
    day; raises `OutOfRange`.
    """
    fall = within(
        "fall",
        fall_points_per_day,
        "points a day",
        more_than=0,
        at_most=100,
        mend="Without a fall it never is.",
    )
    within(
        "target",
        gravity_reading(target_gravity),
        "",
        at_most=gravity_reading(gravity),
        mend="It is passed already.",
    )
    return 1000 * (gravity - target_gravity) / fall


def gravity_reading(value: float) -> float:
    """A gravity, 0.97 to 1.2. Raises `OutOfRange`."""
    return within("gravity", value, "", at_least=0.97, at_most=1.2, mend="Write it like 1.045.")


def spread_of_reading(value: float) -> float:
    """The spread of one reading, above 0 and at most 0.01. Raises `OutOfRange`."""
    return within(
        "spread of a reading",
        value,
        "",
        more_than=0,
        at_most=0.01,
        mend="Half a line of the hydrometer is usual: 0.001.",
    )
