"""Sorbate: how much a clear, still wine needs so that sugar in it does not ferment again, and when it must not be used.

Sorbate keeps yeast from multiplying; it does not kill yeast and does not act on bacteria. Doses and limits are
counted as sorbic acid; what is weighed is potassium sorbate.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from .amounts import (
    PH,
    Grams,
    GramsPerLitre,
    Litres,
    MilligramsPerLitre,
    Millilitres,
    OutOfRange,
    Percent,
    PercentAlcohol,
    PlainNumber,
    YesNo,
    wine,
    within,
)
from .registry import calculator, worksheet

SORBIC_ACID_G_PER_MOL = 112.13
POTASSIUM_SORBATE_G_PER_MOL = 150.22
"""Both as printed by Dharmadhikari, sorbic acid note (Iowa State / Southwest Missouri State)."""

_SALT_PER_ACID = POTASSIUM_SORBATE_G_PER_MOL / SORBIC_ACID_G_PER_MOL

SORBIC_ACID_PK = 4.76
"""UC Davis Viticulture and Enology, reagent page on sorbic acid."""

LEAST_MOLECULAR_SO2_MG_PER_L = 0.8
"""Molecular sulfur dioxide to go with sorbate: Eisenman, Stabilizing sweet wines."""

_PHS = (3.1, 3.3, 3.5)
_ALCOHOLS_PERCENT = (10.0, 11.0, 12.0, 13.0, 14.0)
_NEEDED_MG_PER_L = (
    (150.0, 175.0, 200.0),
    (125.0, 150.0, 175.0),
    (100.0, 125.0, 150.0),
    (75.0, 100.0, 125.0),
    (50.0, 75.0, 100.0),
)
"""Sorbic acid by alcohol (rows) and pH (columns), in a clear wine with sulfur dioxide: Peynaud, Knowing and Making
Wine, from memory. Nothing is tabulated for weaker wine or above pH 3.5."""

_STRONG_SOLUTION_G_PER_L = 400.0
"""Dharmadhikari prints 58 g in 100 mL of water at 20 C; this stays well below it."""


@calculator(
    "sorbic_acid_from_potassium_sorbate",
    result="the same as sorbic acid",
    formula="potassium_sorbate_mg_per_l x 112.13 / 150.22",
)
def sorbic_acid_from_potassium_sorbate(potassium_sorbate_mg_per_l: MilligramsPerLitre) -> MilligramsPerLitre:
    """Potassium sorbate as the sorbic acid in it, in mg/L: three quarters of its weight.

    Range: 0 to 1000 mg/L. Raises `OutOfRange`. Source: molar masses 150.22 and 112.13 (Dharmadhikari).
    """
    return _level("potassium sorbate", potassium_sorbate_mg_per_l) / _SALT_PER_ACID


@calculator(
    "potassium_sorbate_from_sorbic_acid",
    result="the same as potassium sorbate",
    formula="sorbic_acid_mg_per_l x 150.22 / 112.13",
)
def potassium_sorbate_from_sorbic_acid(sorbic_acid_mg_per_l: MilligramsPerLitre) -> MilligramsPerLitre:
    """Sorbic acid as the potassium sorbate that brings it, in mg/L.

    Range: 0 to 1000 mg/L. Raises `OutOfRange`. Source: molar masses 150.22 and 112.13 (Dharmadhikari).
    """
    return _level("sorbic acid", sorbic_acid_mg_per_l) * _SALT_PER_ACID


@calculator(
    "potassium_sorbate_g",
    result="potassium sorbate to weigh",
    formula="sorbic_acid_mg_per_l x (150.22 / 112.13) x volume_l / (10 x powder_strength_percent)",
)
def potassium_sorbate_g(
    sorbic_acid_mg_per_l: MilligramsPerLitre, volume_l: Litres, powder_strength_percent: Percent = 100.0
) -> Grams:
    """Potassium sorbate for a dose of sorbic acid in a vessel, in g.

    Range: dose 0 to 1000 mg/L, wine above 0 L, strength 50 to 100 % of pure salt. Raises `OutOfRange`.
    Formula: mg/L x 1.340 x L / 1000 / strength. Source: molar masses (Dharmadhikari).
    """
    within(
        "strength of the powder",
        powder_strength_percent,
        "%",
        at_least=50,
        at_most=100,
        mend="Give percent of the pure salt, 100 when fresh; replace a powder weaker than this.",
    )
    salt_mg_per_l = potassium_sorbate_from_sorbic_acid(sorbic_acid_mg_per_l)
    return salt_mg_per_l * wine(volume_l) / (10 * powder_strength_percent)


@calculator(
    "potassium_sorbate_solution_ml",
    result="sorbate solution to measure out",
    formula="sorbic_acid_mg_per_l x (150.22 / 112.13) x volume_l / solution_g_per_l",
)
def potassium_sorbate_solution_ml(
    sorbic_acid_mg_per_l: MilligramsPerLitre, volume_l: Litres, solution_g_per_l: GramsPerLitre
) -> Millilitres:
    """Solution of potassium sorbate for a dose of sorbic acid in a vessel, in mL.

    The strength is grams of potassium sorbate made up to one litre of water. Never dissolve it in wine or with
    acid: the acid form dissolves to 1.6 g/L only (Dharmadhikari) and falls out.
    Range: dose 0 to 1000 mg/L, wine above 0 L, strength above 0 and at most 400 g/L. Raises `OutOfRange`.
    """
    within(
        "strength of the solution",
        solution_g_per_l,
        "g/L",
        more_than=0,
        at_most=_STRONG_SOLUTION_G_PER_L,
        mend="A 10 % solution, 100 g made up to one litre, is 100 g/L.",
    )
    return potassium_sorbate_from_sorbic_acid(sorbic_acid_mg_per_l) * wine(volume_l) / solution_g_per_l


@calculator(
    "sorbic_acid_undissociated_share",
    result="undissociated part of the sorbic acid",
    formula="100 / (1 + 10^(ph - pk))",
)
def sorbic_acid_undissociated_share(ph: PH, pk: PlainNumber = SORBIC_ACID_PK) -> Percent:
    """The share of sorbic acid that is undissociated, the part that acts on yeast, in percent.

    Range: pH 2.5 to 5, pK 4.5 to 5. Raises `OutOfRange`. Formula: 100 / (1 + 10^(pH - pK)).
    Source: pK 4.76, UC Davis Viticulture and Enology, reagent page on sorbic acid.
    """
    within("pH", ph, "", at_least=2.5, at_most=5, mend="Check the reading; no wine lies outside.")
    within("constant (pK)", pk, "", at_least=4.5, at_most=5, mend="4.76 is printed.")
    return 100 / (1 + 10 ** (ph - pk))


@calculator(
    "sorbic_acid_undissociated",
    result="undissociated sorbic acid",
    formula="sorbic_acid_mg_per_l / (1 + 10^(ph - 4.76))",
)
def sorbic_acid_undissociated(sorbic_acid_mg_per_l: MilligramsPerLitre, ph: PH) -> MilligramsPerLitre:
    """Undissociated sorbic acid at the pH of the wine, in mg/L.

    Range: 0 to 1000 mg/L, pH 2.5 to 5. Raises `OutOfRange`. Source: pK 4.76, UC Davis, page on sorbic acid.
    """
    return _level("sorbic acid", sorbic_acid_mg_per_l) * sorbic_acid_undissociated_share(ph) / 100


@calculator("sorbic_acid_needed", result="sorbic acid the wine needs")
def sorbic_acid_needed(alcohol_percent: PercentAlcohol, ph: PH) -> MilligramsPerLitre:
    """Sorbic acid that keeps a clear, still wine with sulfur dioxide from fermenting again, by alcohol and pH. In mg/L.

    Straight lines between the cells of the table; above 14 % vol and below pH 3.1 its last row and first column
    stand, on the safe side. Range: alcohol 10 to 16 % vol, pH 2.8 to 3.5. Raises `OutOfRange`.
    Source: Peynaud, Knowing and Making Wine, from memory. Its top, 200 mg/L, is the fungistatic dose that UC Davis
    prints.
    """
    within(
        "alcohol",
        alcohol_percent,
        "% vol",
        at_least=10,
        at_most=16,
        mend="No dose is tabulated for weaker wine: keep it by sterile filtration or cold. Above 16 the "
        "alcohol keeps the wine by itself (Eisenman, Stabilizing sweet wines).",
    )
    within(
        "pH",
        ph,
        "",
        at_least=2.8,
        at_most=3.5,
        mend="No dose is tabulated above 3.5: lower the pH, or keep the wine by sterile filtration or cold.",
    )
    row, up = _cell(_ALCOHOLS_PERCENT, alcohol_percent)
    column, along = _cell(_PHS, ph)

    def at(row: int) -> float:
        left, right = _NEEDED_MG_PER_L[row][column : column + 2]
        return left + (right - left) * along

    return at(row) + (at(row + 1) - at(row)) * up


@calculator(
    "room_under_sorbic_acid_limit",
    result="sorbic acid that the limit still allows; below 0 the wine is over it",
    formula="limit_mg_per_l - sorbic_acid_mg_per_l",
)
def room_under_sorbic_acid_limit(
    sorbic_acid_mg_per_l: MilligramsPerLitre, limit_mg_per_l: MilligramsPerLitre
) -> MilligramsPerLitre:
    """Sorbic acid that may still be added before a limit is met, in mg/L; below 0 the wine is over it.

    Range: sorbic acid 0 to 1000 mg/L, limit above 0 and at most 1000 mg/L. Raises `OutOfRange`.
    """
    return _limit(limit_mg_per_l) - _level("sorbic acid", sorbic_acid_mg_per_l)


@dataclass(frozen=True)
class SorbateAddition:
    """What to add, or why not. Nothing is weighed when it is refused."""

    sorbic_acid_needed_mg_per_l: MilligramsPerLitre
    undissociated_percent: Percent
    sorbic_acid_after_mg_per_l: MilligramsPerLitre
    room_left_mg_per_l: MilligramsPerLitre
    potassium_sorbate_g: Grams
    refused_because: str


@worksheet("sorbate_addition", result="the dose of sorbate, or why there is none")
def sorbate_addition(
    alcohol_percent: PercentAlcohol,
    ph: PH,
    volume_l: Litres,
    molecular_so2_mg_per_l: MilligramsPerLitre,
    limit_mg_per_l: MilligramsPerLitre,
    yeast_working: YesNo,
    malolactic_possible: YesNo,
    sorbic_acid_present_mg_per_l: MilligramsPerLitre = 0.0,
    powder_strength_percent: Percent = 100.0,
    least_molecular_so2_mg_per_l: MilligramsPerLitre = LEAST_MOLECULAR_SO2_MG_PER_L,
) -> SorbateAddition:
    """Potassium sorbate for a vessel, refused where it would fail or spoil the wine.

    `yeast_working` is 1 unless the gravity has stood still and the wine is clear and racked. `malolactic_possible`
    is 1 unless lactic bacteria are known to be gone: it is 1 while malolactic fermentation runs, when it has just
    ended, when it is wanted, and when nobody knows. When in doubt, 1. `refused_because` gives the reasons, and then
    the grams are 0: yeast at work (sorbate does not stop a fermentation: Eisenman), lactic bacteria (they turn sorbic
    acid into a smell of geranium that cannot be taken out: UC Davis; Oxford Companion to Wine), molecular sulfur
    dioxide too low to hold bacteria (0.8 mg/L: Eisenman), or a dose over the limit.
    Range: as for `sorbic_acid_needed` and `potassium_sorbate_g`; molecular sulfur dioxide 0 to 5 mg/L; limit above 0
    and at most 1000 mg/L. Raises `OutOfRange`.
    """
    needed = sorbic_acid_needed(alcohol_percent, ph)
    present = _level("sorbic acid present", sorbic_acid_present_mg_per_l)
    addition = max(0.0, needed - present)
    reasons = [
        *_living(_yes("yeast_working", yeast_working), _yes("malolactic_possible", malolactic_possible)),
        *_too_little_so2(molecular_so2_mg_per_l, least_molecular_so2_mg_per_l),
        *_over_limit(present + addition, _limit(limit_mg_per_l)),
    ]
    grams = potassium_sorbate_g(addition, volume_l, powder_strength_percent)
    return SorbateAddition(
        sorbic_acid_needed_mg_per_l=needed,
        undissociated_percent=sorbic_acid_undissociated_share(ph),
        sorbic_acid_after_mg_per_l=present + addition,
        room_left_mg_per_l=limit_mg_per_l - present - addition,
        potassium_sorbate_g=0.0 if reasons else grams,
        refused_because=" ".join(reasons),
    )


def _living(yeast_working: bool, malolactic_possible: bool) -> list[str]:
    reasons = []
    if yeast_working:
        reasons.append(
            "Yeast is or may be working, and sorbate stops no fermentation: wait, rack and clear first."
        )
    if malolactic_possible:
        reasons.append(
            "Lactic bacteria are or may be alive, and they turn sorbic acid into a geranium smell that cannot be "
            "taken out: be rid of them first, by sulfur dioxide and sterile filtration."
        )
    return reasons


def _too_little_so2(molecular: float, least: float) -> list[str]:
    for what, value in (("molecular sulfur dioxide", molecular), ("least molecular sulfur dioxide", least)):
        within(what, value, "mg/L", at_least=0, at_most=5, mend="Give the molecular form, not the free.")
    if molecular >= least:
        return []
    return [
        f"Molecular sulfur dioxide is {molecular:g} mg/L, under {least:g}: sorbate does not act on bacteria, so raise "
        "it first."
    ]


def _over_limit(total: float, limit_mg_per_l: float) -> list[str]:
    if total <= limit_mg_per_l:
        return []
    return [
        f"The wine would hold {total:.0f} mg/L of sorbic acid, over the limit of {limit_mg_per_l:g}: sorbate cannot "
        "keep it within the limit. Filter sterile or keep it cold."
    ]


def _yes(what: str, value: float) -> bool:
    if value not in (0, 1):
        raise OutOfRange(f"{what} is {value:g}; give 1 for yes or 0 for no. When you do not know, give 1.")
    return value == 1


def _level(what: str, value: float) -> float:
    return within(what, value, "mg/L", at_least=0, at_most=1000, mend="Check the unit: 20 g/hL is 200 mg/L.")


def _limit(value: float) -> float:
    return within(
        "limit", value, "mg/L", more_than=0, at_most=1000, mend="Give the limit of your law as sorbic acid."
    )


def _cell(steps: tuple[float, ...], value: float) -> tuple[int, float]:
    """The step below a value and how far it is to the next, held to the ends of the table."""
    held = min(max(value, steps[0]), steps[-1])
    low = min(bisect_right(steps, held) - 1, len(steps) - 2)
    return low, (held - steps[low]) / (steps[low + 1] - steps[low])
