"""The bench trial on one sheet, for the command line: ladders, jars, and the way to the vessel.

The sums themselves are those of the package `trial`, which the consultation uses as well.
"""

from __future__ import annotations

from dataclasses import dataclass

from .amounts import Grams, GramsPerLitre, Litres, Millilitres, OutOfRange, Percent, PlainNumber
from .registry import worksheet
from .trial import Pipette, Stock, design_trial, even_ladder, geometric_ladder, refine_between, scale_up

FIVE_PERCENT_G_PER_L = 50.0
"""A stock of 5 g in 100 mL: common practice for clay."""


@dataclass(frozen=True)
class Step:
    """One dose of a ladder."""

    dose_g_per_l: GramsPerLitre


@dataclass(frozen=True)
class Jar:
    """One jar of a trial; number 0 is the control. Water makes the added volume of all jars the same."""

    jar: PlainNumber
    dose_wanted_g_per_l: GramsPerLitre
    dose_given_g_per_l: GramsPerLitre
    stock_ml: Millilitres
    water_ml: Millilitres
    dilution_percent: Percent
    remark: str


@dataclass(frozen=True)
class VesselDose:
    """The dose in the vessel, and what becomes of the wine."""

    agent_g: Grams
    stock_ml: Millilitres
    water_share_percent: Percent
    volume_after_l: Litres
    lees_low_l: Litres
    lees_high_l: Litres
    wine_left_low_l: Litres
    wine_left_high_l: Litres


@worksheet("even_ladder", result="doses at even distances")
def even_ladder_sheet(
    low_g_per_l: GramsPerLitre, high_g_per_l: GramsPerLitre, steps: PlainNumber = 5.0
) -> tuple[Step, ...]:
    """Doses at even distances, both ends included.

    Range: 0 < low < high, 2 to 50 steps. Formula: low + (high - low) x n / (steps - 1). Raises `OutOfRange`.
    """
    return tuple(Step(dose) for dose in even_ladder(low_g_per_l, high_g_per_l, _whole(steps)))


@worksheet("geometric_ladder", result="doses at even ratios")
def geometric_ladder_sheet(
    low_g_per_l: GramsPerLitre, high_g_per_l: GramsPerLitre, steps: PlainNumber = 5.0
) -> tuple[Step, ...]:
    """Doses at even ratios, both ends included: for a wide search.

    Range: 0 < low < high, 2 to 50 steps. Formula: low x (high / low)^(n / (steps - 1)). Raises `OutOfRange`.
    """
    return tuple(Step(dose) for dose in geometric_ladder(low_g_per_l, high_g_per_l, _whole(steps)))


@worksheet("refined_ladder", result="finer doses around the first that served")
def refined_ladder_sheet(
    first_good_g_per_l: GramsPerLitre, last_failing_g_per_l: GramsPerLitre = 0.0, steps: PlainNumber = 4.0
) -> tuple[Step, ...]:
    """Finer doses between the last that failed and the first that served, which is repeated as the top one.

    With 0 as the last failing dose the ladder goes below the lowest that served. Range: 0 <= failing < good,
    2 to 50 steps. Raises `OutOfRange`.
    """
    doses = refine_between(last_failing_g_per_l, first_good_g_per_l, _whole(steps))
    return tuple(Step(dose) for dose in doses)


@worksheet("trial_jars", result="what goes into each jar")
def trial_jars(
    low_g_per_l: GramsPerLitre,
    high_g_per_l: GramsPerLitre,
    sample_ml: Millilitres,
    steps: PlainNumber = 5.0,
    stock_g_per_l: GramsPerLitre = FIVE_PERCENT_G_PER_L,
    smallest_ml: Millilitres = 0.5,
    mark_ml: Millilitres = 0.1,
) -> tuple[Jar, ...]:
    """Stock and water for each jar of an even ladder, the control first, as the syringe in hand can measure them.

    Range: sample 1 to 20000 mL, stock above 0 and at most 1000 g/L, marks above 0 mL. Formula: stock =
    dose x sample / strength, rounded to a mark; water makes up the added volume of all jars. Raises
    `OutOfRange`.
    """
    design = design_trial(
        even_ladder(low_g_per_l, high_g_per_l, _whole(steps)),
        sample_ml,
        Stock.made_up(stock_g_per_l, 1000),
        Pipette(smallest_ml, mark_ml),
    )
    remarks: dict[int, list[str]] = {}
    for warning in design.warnings:
        if warning.sample is not None:
            remarks.setdefault(warning.sample, []).append(f"{warning.code}: {warning.mend}".replace("_", " "))
    return tuple(
        Jar(
            float(jar.number),
            jar.dose_wanted,
            jar.dose_given,
            jar.stock_ml,
            jar.water_ml,
            jar.dilution_percent,
            ", ".join(remarks.get(jar.number, [])) or "good",
        )
        for jar in design.samples
    )


@worksheet("dose_for_vessel", result="the dose in the vessel")
def dose_for_vessel(
    dose_g_per_l: GramsPerLitre,
    vessel_l: Litres,
    stock_g_per_l: GramsPerLitre = FIVE_PERCENT_G_PER_L,
    lees_low_percent: Percent = 5.0,
    lees_high_percent: Percent = 10.0,
) -> VesselDose:
    """Agent and stock for a vessel, the water they bring, and the wine that the lees keep.

    Range: dose above 0 and at most 100 g/L, vessel above 0 L, lees 0 to 100 %. Raises `OutOfRange`. The lees
    of bentonite hold 5 to 10 % (Tattersall 2001, quoted by Waters & Colby 2009, p. 223).
    """
    scaled = scale_up(
        dose_g_per_l,
        vessel_l,
        Stock.made_up(stock_g_per_l, 1000),
        lees_percent=(lees_low_percent, lees_high_percent),
    )
    low, high = (vessel_l * percent / 100 for percent in (lees_low_percent, lees_high_percent))
    return VesselDose(
        scaled.agent_g,
        scaled.stock_ml,
        scaled.water_share_percent,
        scaled.volume_after_l,
        low,
        high,
        vessel_l - high,
        vessel_l - low,
    )


def _whole(steps: float) -> int:
    if steps != int(steps):
        raise OutOfRange(f"A ladder cannot have {steps:g} steps. Give a whole number; four to six are usual.")
    return int(steps)
