"""From the dose chosen at the bench to the vessel."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import OutOfRange, wine, within
from .stock import Stock


@dataclass(frozen=True)
class ScaleUp:
    """What goes into the vessel, and what is left of the wine. Volumes in L and mL, weights in g.

    The whole stock counts as water, which errs on the safe side. `wine_left_low_l` belongs to the high loss.
    """

    dose_g_per_l: float
    vessel_l: float
    agent_g: float
    stock_ml: float
    stock_g: float
    water_ml: float
    water_share_percent: float
    water_limit_percent: float | None
    over_water_limit: bool | None
    in_the_mix_g_per_l: float
    volume_after_l: float
    lees_low_l: float | None
    lees_high_l: float | None
    wine_left_low_l: float | None
    wine_left_high_l: float | None


def scale_up(
    dose_g_per_l: float,
    vessel_l: float,
    stock: Stock,
    *,
    water_limit_percent: float | None = None,
    lees_percent: tuple[float, float] | None = None,
) -> ScaleUp:
    """Agent and stock for a vessel, the water they bring, and the wine that the lees keep.

    The dose is per litre of wine before the addition; `in_the_mix_g_per_l` counts the added volume.
    `lees_percent`, of the treated wine, depends on the agent; without it nothing is said of the lees.
    Range: dose above 0 and at most 100 g/L, vessel above 0 L, lees 0 to 100 %. Raises `OutOfRange`.
    """
    _check(dose_g_per_l, lees_percent, water_limit_percent)
    agent = dose_g_per_l * wine(vessel_l)
    stock_ml = agent / stock.grams_per_ml
    after = vessel_l + stock_ml / 1000
    share = stock_ml / (10 * vessel_l)
    # A hair's breadth over is rounding, not water.
    over = None if water_limit_percent is None else share > water_limit_percent * (1 + 1e-9)
    low, high = (vessel_l * percent / 100 for percent in lees_percent) if lees_percent else (None, None)
    return ScaleUp(
        dose_g_per_l=dose_g_per_l,
        vessel_l=vessel_l,
        agent_g=agent,
        stock_ml=stock_ml,
        stock_g=stock_ml * stock.density_g_per_ml,
        water_ml=stock_ml,
        water_share_percent=share,
        water_limit_percent=water_limit_percent,
        over_water_limit=over,
        in_the_mix_g_per_l=agent / after,
        volume_after_l=after,
        lees_low_l=low,
        lees_high_l=high,
        wine_left_low_l=None if high is None else vessel_l - high,
        wine_left_high_l=None if low is None else vessel_l - low,
    )


def _check(dose: float, lees: tuple[float, float] | None, limit: float | None) -> None:
    within("dose", dose, "g/L", more_than=0, at_most=100, mend="Check the unit: 50 g/hL is 0.5 g/L.")
    for percent in lees or ():
        within("loss to the lees", percent, "%", at_least=0, at_most=100, mend="Give it in percent.")
    if lees and lees[0] > lees[1]:
        raise OutOfRange(f"The lees loss runs from {lees[0]:g} to {lees[1]:g} %. Give the lower one first.")
    if limit is not None:
        within("water limit", limit, "%", more_than=0, at_most=100, mend="Give the limit that your law sets.")
