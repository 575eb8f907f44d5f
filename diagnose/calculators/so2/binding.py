"""How much of an addition binds, how much to add so that enough stays free, and when to measure again.

What a wine did with its last addition is the better guide; the rule of thirds stands in until there is one. The
share of all its sulfur dioxide that a wine holds bound says little about the next addition, since the strong
binders are used up first: the share that stays free rises as the total rises (Practical Winery & Vineyard, in
Wines & Vines, January 2014).
"""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import Days, MilligramsPerLitre, OutOfRange, Percent, within
from ..registry import calculator, worksheet
from .additions import SO2_G_PER_MOL
from .molecular import free

STAYS_FREE_BY_THIRDS_PERCENT = 200 / 3
"""Rule of thirds: a third of an addition binds, two thirds stay free. Common practice, for a sound wine that already
has some free SO2. Free against total, another thing, is printed as 35 to 75 % (Practical Winery & Vineyard 2014)."""

BINDERS_FULL_AT_FREE_MG_PER_L = 10.0
"""With 5 to 10 mg/L free the strong binders are full; below, most of an addition may bind: Blouin, SO2 in oenology,
section 4.4.3. The higher figure is the cautious one."""

_ACETALDEHYDE_G_PER_MOL = 44.053
SO2_PER_ACETALDEHYDE = SO2_G_PER_MOL / _ACETALDEHYDE_G_PER_MOL
"""SO2 bound by a mass of acetaldehyde, 1.454 mg/mg: molar masses and one to one (Coetzee, Buica and du Toit 2018)."""


@calculator("bound_so2", result="bound sulfur dioxide", formula="total_so2_mg_per_l - free_so2_mg_per_l")
def bound_so2(
    total_so2_mg_per_l: MilligramsPerLitre, free_so2_mg_per_l: MilligramsPerLitre
) -> MilligramsPerLitre:
    """Bound sulfur dioxide: total less free, in mg/L.

    Range: free 0 to 500 mg/L, total from the free to 2000 mg/L. Raises `OutOfRange`.
    """
    within(
        "total sulfur dioxide",
        total_so2_mg_per_l,
        "mg/L",
        at_least=free(free_so2_mg_per_l),
        at_most=2000,
        mend="The total holds the free as well; measure both again.",
    )
    return total_so2_mg_per_l - free_so2_mg_per_l


@calculator(
    "so2_bound_by_acetaldehyde",
    result="sulfur dioxide that acetaldehyde holds",
    formula="acetaldehyde_mg_per_l x 64.058 / 44.053",
)
def so2_bound_by_acetaldehyde(acetaldehyde_mg_per_l: MilligramsPerLitre) -> MilligramsPerLitre:
    """Sulfur dioxide that the acetaldehyde of a wine holds when it is full, in mg/L: 1.45 times its weight.

    It is full, within a few percent, wherever 5 to 10 mg/L are free (Blouin, section 4.4.3).
    Range: 0 to 500 mg/L. Raises `OutOfRange`. Source: molar masses, one to one (Coetzee, Buica and du Toit 2018).
    """
    within(
        "acetaldehyde", acetaldehyde_mg_per_l, "mg/L", at_least=0, at_most=500, mend="Check the unit: mg/L."
    )
    return acetaldehyde_mg_per_l * SO2_PER_ACETALDEHYDE


def _held(*, acetaldehyde_mg_per_l: float, **_others: float) -> dict[str, float]:
    return {"held_mg_per_l": so2_bound_by_acetaldehyde(acetaldehyde_mg_per_l)}


@calculator(
    "acetaldehyde_share_of_bound_so2",
    result="part of the bound sulfur dioxide that acetaldehyde holds",
    formula="100 x held_mg_per_l / (total_so2_mg_per_l - free_so2_mg_per_l)",
    working=_held,
)
def acetaldehyde_share_of_bound_so2(
    acetaldehyde_mg_per_l: MilligramsPerLitre,
    total_so2_mg_per_l: MilligramsPerLitre,
    free_so2_mg_per_l: MilligramsPerLitre,
) -> Percent:
    """The share of the bound sulfur dioxide that acetaldehyde holds, in percent.

    About 80 % is printed for whites (Winemakers Research Exchange 2020). A low share points to other binders: rot,
    sugar, red pigment. Range: acetaldehyde 0 to 500 mg/L, bound above 0 mg/L, a share of at most 110 %.
    Raises `OutOfRange`. Formula: 100 x 1.454 x acetaldehyde / (total - free).
    """
    bound = bound_so2(total_so2_mg_per_l, free_so2_mg_per_l)
    within("bound sulfur dioxide", bound, "mg/L", more_than=0, mend="With none bound there is no share.")
    return within(
        "share",
        100 * so2_bound_by_acetaldehyde(acetaldehyde_mg_per_l) / bound,
        "%",
        at_most=110,
        mend="Acetaldehyde cannot hold more than is bound: part of it is not full, or a reading is wrong.",
    )


@calculator(
    "share_staying_free",
    result="part of the addition that stayed free",
    formula="100 x (free_after_mg_per_l - free_before_mg_per_l) / addition_mg_per_l",
)
def share_staying_free(
    addition_mg_per_l: MilligramsPerLitre,
    free_before_mg_per_l: MilligramsPerLitre,
    free_after_mg_per_l: MilligramsPerLitre,
) -> Percent:
    """What part of an earlier addition to this same wine stayed free, in percent.

    Measure the second reading two days after the addition or later. Range: addition above 0 and at most 500 mg/L,
    readings 0 to 500 mg/L, the second not below the first nor more than the addition above it, give or take a
    tenth. Raises `OutOfRange`. Formula: 100 x rise of the free / addition.
    """
    within("addition", addition_mg_per_l, "mg/L", more_than=0, at_most=500, mend="Give it as SO2 in mg/L.")
    rise = free(free_after_mg_per_l) - free(free_before_mg_per_l)
    if rise < 0:
        raise OutOfRange(
            f"Free fell from {free_before_mg_per_l:g} to {free_after_mg_per_l:g} mg/L although "
            f"{addition_mg_per_l:g} went in. That is loss or binding still going on, not a share: measure free "
            "and total again."
        )
    if rise > 1.1 * addition_mg_per_l:
        raise OutOfRange(
            f"Free rose by {rise:g} mg/L after an addition of {addition_mg_per_l:g}. No more than was added can stay "
            "free: check the weight of the addition, the mixing and both readings."
        )
    return min(100.0, 100 * rise / addition_mg_per_l)


@calculator(
    "addition_to_raise_free_so2",
    result="sulfur dioxide to add",
    formula="rise_mg_per_l x 100 / stays_free_percent",
)
def addition_to_raise_free_so2(
    rise_mg_per_l: MilligramsPerLitre, stays_free_percent: Percent = STAYS_FREE_BY_THIRDS_PERCENT
) -> MilligramsPerLitre:
    """Sulfur dioxide to add so that the free rises by a wanted amount, what binds allowed for. In mg/L.

    Range: rise 0 to 500 mg/L, share 10 to 100 %; a share under 10 is no ground for a dose. Raises `OutOfRange`.
    Formula: rise / share. Default share: rule of thirds, two thirds stay free (common practice).
    """
    within("rise", rise_mg_per_l, "mg/L", at_least=0, at_most=500, mend="An addition only raises it.")
    return rise_mg_per_l * 100 / _share(stays_free_percent)


@calculator(
    "free_so2_after_addition",
    result="free sulfur dioxide to expect",
    formula="free_so2_mg_per_l + so2_mg_per_l x stays_free_percent / 100",
)
def free_so2_after_addition(
    free_so2_mg_per_l: MilligramsPerLitre,
    so2_mg_per_l: MilligramsPerLitre,
    stays_free_percent: Percent = STAYS_FREE_BY_THIRDS_PERCENT,
) -> MilligramsPerLitre:
    """Free sulfur dioxide to expect after an addition, what binds allowed for. In mg/L; measure, never trust it.

    Range: free and addition 0 to 500 mg/L, share 10 to 100 %. Raises `OutOfRange`.
    Formula: free + addition x share. Default share: rule of thirds (common practice).
    """
    within("addition", so2_mg_per_l, "mg/L", at_least=0, at_most=500, mend="Give it as SO2 in mg/L.")
    return free(free_so2_mg_per_l) + so2_mg_per_l * _share(stays_free_percent) / 100


@dataclass(frozen=True)
class NextMeasurement:
    """A day on which to measure again."""

    day: Days
    measure: str
    why: str
    source: str


_MEASURE_AGAIN = (
    NextMeasurement(
        2,
        "free and total",
        "What binds quickly has bound by then; before that the free reads too high.",
        "Regulation (EEC) 2676/90, annex, rapid iodine method, note 4: 48 hours of rest",
    ),
    NextMeasurement(7, "free", "Young and sweet wines go on binding for days.", "common practice"),
    NextMeasurement(
        30,
        "free and total, then every month",
        "Total steady and free falling is binding; both falling is air or loss.",
        "common practice",
    ),
)


@worksheet("so2_measure_again", result="when to measure again after an addition")
def so2_measure_again(added_on_day: Days = 0.0) -> tuple[NextMeasurement, ...]:
    """The days on which to measure again after an addition of sulfur dioxide.

    Range: day of the addition in your own log, at least 0. Raises `OutOfRange`.
    Source: two days of rest in Regulation (EEC) 2676/90, annex, rapid iodine method, note 4; the rest is common
    practice.
    """
    within(
        "day of the addition", added_on_day, "days", at_least=0, mend="Count from the first day of your log."
    )
    return tuple(
        NextMeasurement(added_on_day + line.day, line.measure, line.why, line.source)
        for line in _MEASURE_AGAIN
    )


def _share(value: float) -> float:
    return within(
        "share that stays free",
        value,
        "%",
        at_least=10,
        at_most=100,
        mend="When less stays free, find what binds before adding more; test stepwise on small samples.",
    )
