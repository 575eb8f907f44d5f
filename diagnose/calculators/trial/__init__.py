"""The bench trial of anything that is dosed: plan it, read it, choose the dose, scale it up.

A dose is grams of agent per litre of wine, the wine measured before anything is added, at the bench as in
the vessel; in a blend it is the share of the other wine in percent of the finished blend. Nothing here knows
which agent it is, or what is usual for it: that comes in as numbers.
"""

from .choice import (
    Criterion,
    Failure,
    Missing,
    Outcome,
    TrialChoice,
    choose_dose,
)
from .codes import BlindOrder, blind_order
from .design import TrialDesign, TrialSample, TrialWarning, design_trial
from .factors import FactorTrial, Jar, Level, design_factors
from .ladder import even_ladder, geometric_ladder, refine_below, refine_between
from .pooled import LevelRead, Pooled, Side, compare, pool, read_level
from .reading import Mark, Measure, TrialLimits, TrialReading
from .scale import ScaleUp, scale_up
from .stock import Balance, Pipette, Stock
from .sureness import Sureness

__all__ = [
    "Balance",
    "BlindOrder",
    "Criterion",
    "FactorTrial",
    "Failure",
    "Jar",
    "Level",
    "LevelRead",
    "Mark",
    "Measure",
    "Missing",
    "Outcome",
    "Pipette",
    "Pooled",
    "ScaleUp",
    "Side",
    "Stock",
    "Sureness",
    "TrialChoice",
    "TrialDesign",
    "TrialLimits",
    "TrialReading",
    "TrialSample",
    "TrialWarning",
    "blind_order",
    "choose_dose",
    "compare",
    "design_factors",
    "design_trial",
    "even_ladder",
    "geometric_ladder",
    "pool",
    "read_level",
    "refine_below",
    "refine_between",
    "scale_up",
]
