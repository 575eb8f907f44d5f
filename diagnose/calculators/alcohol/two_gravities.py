"""How much alcohol two gravities tell, and how much sugar is left."""

from __future__ import annotations

from dataclasses import dataclass

from .. import densities
from ..amounts import (
    GramsPerLitre,
    GramsPerLitrePerPercentAlcohol,
    PercentAlcohol,
    SpecificGravity,
    within,
)
from ..registry import calculator, worksheet
from ..roots import bisect
from ..sugar.potential import SUGAR_PER_PERCENT, must_sugar, sugar_per_percent_in_range
from ..sugar.scales import gravity_in_range
from .extract import wine_gravity
from .mixture import STRONGEST_WINE

ALCOHOL_PER_POINT = 0.131
"""% vol for each point of gravity fallen: common practice, from memory; good to 0.5 % vol for table wine."""

BALLING_EXTRACT_PER_ALCOHOL = 2.0665
BALLING_LOSS = 0.010665
"""Balling's balance: 2.0665 g of extract make 1 g of alcohol, and the liquid loses 1.0665 g; from memory."""

REAL_FROM_ORIGINAL = 0.1808
REAL_FROM_APPARENT = 0.8192
"""Share of original and apparent extract in the real extract, Balling's factors; from memory."""


def _fell(start_gravity: float, gravity: float) -> None:
    within("gravity at the start", start_gravity, "SG", at_least=1.03, at_most=1.15, mend="Fresh must only.")
    within(
        "gravity now",
        gravity_in_range(gravity, "gravity now"),
        "SG",
        at_most=start_gravity,
        mend="It cannot be above the start. Was one of them read warm, or was sugar added?",
    )


@calculator(
    "alcohol_by_gravity_drop",
    result="alcohol, the quick way",
    formula="alcohol = 131 x (start_gravity - gravity)",
)
def alcohol_by_gravity_drop(start_gravity: SpecificGravity, gravity: SpecificGravity) -> PercentAlcohol:
    """% vol from the fall of the gravity, 0.131 for each point.

    Range: start 1.03 to 1.15, now 0.95 to the start; raises `OutOfRange`. Good to 0.5 % vol for table wine; an
    addition of sugar or water between the readings spoils it. Source: common practice, from memory.
    """
    _fell(start_gravity, gravity)
    return ALCOHOL_PER_POINT * 1000 * (start_gravity - gravity)


@calculator(
    "alcohol_by_balling",
    result="alcohol, Balling's way",
    formula="alcohol = by_mass x gravity x 998.20123 / 789.24, by_mass = (start_brix - real_brix)"
    " / (2.0665 - 0.010665 x start_brix)",
    working=lambda start_gravity, gravity: {
        "start_brix": densities.brix_from_sg(start_gravity),
        "real_brix": _real_brix(start_gravity, gravity),
    },
)
def alcohol_by_balling(start_gravity: SpecificGravity, gravity: SpecificGravity) -> PercentAlcohol:
    """% vol from two gravities by Balling's balance of extract, alcohol, gas and yeast.

    Made for beer: in must it counts some 0.5 % vol more than `alcohol_by_sugar_balance`, since it takes a better
    yield. Range: start 1.03 to 1.15, now 0.95 to the start; raises `OutOfRange`. Source: Balling, from memory.
    """
    _fell(start_gravity, gravity)
    start_brix = densities.brix_from_sg(start_gravity)
    fermented = start_brix - _real_brix(start_gravity, gravity)
    by_mass = fermented / (BALLING_EXTRACT_PER_ALCOHOL - BALLING_LOSS * start_brix)
    return by_mass * gravity * densities.WATER_20_KG_PER_M3 / densities.ALCOHOL_20_KG_PER_M3


def _real_brix(start_gravity: float, gravity: float) -> float:
    """Brix that is really left, the lightness of the alcohol taken out by Balling's factors."""
    start, now = densities.brix_from_sg(start_gravity), densities.brix_from_sg(gravity)
    return REAL_FROM_ORIGINAL * start + REAL_FROM_APPARENT * now


@calculator(
    "alcohol_by_sugar_balance",
    result="alcohol from the sugar that is gone",
    formula="the alcohol at which extract gone = alcohol x sugar_per_percent_g_per_l",
)
def alcohol_by_sugar_balance(
    start_gravity: SpecificGravity,
    gravity: SpecificGravity,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT,
) -> PercentAlcohol:
    """% vol from two gravities: the alcohol that accounts for the extract which is gone.

    Each % vol took its sugar and lightened the liquid; the answer is where the two agree. Range: start 1.03 to 1.15,
    now 0.95 to the start, 15 to 20 g/L for 1 % vol; raises `OutOfRange`. Source: Tabarie's relation, OIV-MA-AS2-03B,
    with 16.83 g/L of sugar for 1 % vol (IFV).
    """
    _fell(start_gravity, gravity)
    sugar_per_percent_in_range(sugar_per_percent_g_per_l)
    extract_at_start = densities.extract_from_sg(start_gravity)

    def unaccounted(alcohol: float) -> float:
        gone = extract_at_start - densities.extract_of_wine(gravity, alcohol)
        return gone - alcohol * sugar_per_percent_g_per_l

    return bisect(unaccounted, 0.0, STRONGEST_WINE, 1e-9)


@calculator(
    "sugar_left_in_ferment",
    result="sugar left",
    formula="sugar = sugar_at_start - sugar_per_percent_g_per_l x alcohol",
    working=lambda start_gravity, gravity, sugar_per_percent_g_per_l=SUGAR_PER_PERCENT: {
        "sugar_at_start": must_sugar(start_gravity),
        "alcohol": alcohol_by_sugar_balance(start_gravity, gravity, sugar_per_percent_g_per_l),
    },
)
def sugar_left_in_ferment(
    start_gravity: SpecificGravity,
    gravity: SpecificGravity,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT,
) -> GramsPerLitre:
    """g/L of sugar really left in fermenting grape must, which is more than the hydrometer seems to say.

    Near the end it is good to some 10 g/L only, as musts differ in what else is dissolved; a little below 0 means
    near dry. Only a sugar test proves dryness. Range: as `alcohol_by_sugar_balance`; raises `OutOfRange`. Source: as
    there, with the must sugar of `must_sugar`.
    """
    alcohol = alcohol_by_sugar_balance(start_gravity, gravity, sugar_per_percent_g_per_l)
    return must_sugar(start_gravity) - sugar_per_percent_g_per_l * alcohol


@calculator(
    "gravity_when_dry",
    result="gravity without sugar",
    formula="gravity of a wine of potential_alcohol whose extract is extract_at_start - sugar_at_start",
    working=lambda start_gravity, sugar_per_percent_g_per_l=SUGAR_PER_PERCENT: {
        "potential_alcohol": must_sugar(start_gravity) / sugar_per_percent_g_per_l,
        "extract_at_start": densities.extract_from_sg(start_gravity),
        "sugar_at_start": must_sugar(start_gravity),
    },
)
def gravity_when_dry(
    start_gravity: SpecificGravity,
    sugar_per_percent_g_per_l: GramsPerLitrePerPercentAlcohol = SUGAR_PER_PERCENT,
) -> SpecificGravity:
    """Gravity at which grape must of this start has no sugar left; real wines end 0.990 to 0.996 (from memory).

    Range: start 1.03 to 1.15, 15 to 20 g/L for 1 % vol; raises `OutOfRange`. Source: as `sugar_left_in_ferment`.
    """
    sugar = must_sugar(start_gravity)
    alcohol = sugar / sugar_per_percent_in_range(sugar_per_percent_g_per_l)
    return wine_gravity(alcohol, densities.extract_from_sg(start_gravity) - sugar)


@dataclass(frozen=True)
class AlcoholEstimate:
    """One way to the alcohol."""

    way: str
    alcohol_percent: PercentAlcohol
    says: str


@worksheet("alcohol_from_two_gravities", result="the alcohol in several ways")
def alcohol_from_two_gravities(
    start_gravity: SpecificGravity, gravity: SpecificGravity
) -> tuple[AlcoholEstimate, ...]:
    """% vol from two gravities in each of the ways known here; how far they lie apart is how well it is known.

    Range: start 1.03 to 1.15, now 0.95 to the start; raises `OutOfRange`. Source: the calculator of each way. For a
    label only a laboratory's figure counts.
    """
    return (
        AlcoholEstimate(
            "sugar balance",
            alcohol_by_sugar_balance(start_gravity, gravity),
            "16.83 g/L of sugar for 1 % vol",
        ),
        AlcoholEstimate(
            "gravity drop", alcohol_by_gravity_drop(start_gravity, gravity), "0.131 % vol a point, quick"
        ),
        AlcoholEstimate("Balling", alcohol_by_balling(start_gravity, gravity), "made for beer, better yield"),
    )
