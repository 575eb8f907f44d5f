"""How much nitrogen an addition brings, and how much to weigh out under a ceiling."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..amounts import Grams, GramsPerLitre, Litres, MilligramsPerLitre, Percent, wine, within
from ..registry import calculator, worksheet

DIAMMONIUM_PHOSPHATE_NITROGEN_PERCENT = 100 * 2 * 14.007 / 132.06
"""(NH4)2HPO4: two nitrogen atoms of 14.007 in 132.06 g/mol (atomic masses)."""

AMMONIUM_SULFATE_NITROGEN_PERCENT = 100 * 2 * 14.007 / 132.14
"""(NH4)2SO4: two nitrogen atoms of 14.007 in 132.14 g/mol (atomic masses)."""


@calculator(
    "nitrogen_from_dose",
    result="nitrogen brought in",
    formula="nitrogen = 1000 x dose_g_per_l x nitrogen_percent / 100",
)
def nitrogen_from_dose(dose_g_per_l: GramsPerLitre, nitrogen_percent: Percent) -> MilligramsPerLitre:
    """Nitrogen that a dose of any nutrient brings, from the nitrogen content on its label.

    Range: dose 0 to 5 g/L, nitrogen above 0 and at most 50 % of the product; raises `OutOfRange`.
    Formula: dose x content, by the definition of a percentage. Of organic nitrogen count only the part that
    the label calls assimilable.
    """
    return 10 * _dose(dose_g_per_l) * _content(nitrogen_percent)


@calculator(
    "dose_for_nitrogen",
    result="dose that brings it",
    formula="dose = nitrogen_mg_per_l / (10 x nitrogen_percent)",
)
def dose_for_nitrogen(nitrogen_mg_per_l: MilligramsPerLitre, nitrogen_percent: Percent) -> GramsPerLitre:
    """Dose of any nutrient that brings a wanted amount of nitrogen: the inverse of `nitrogen_from_dose`.

    Range: nitrogen 0 to 500 mg/L, content above 0 and at most 50 %; raises `OutOfRange`. The ceiling of the law
    and of the label is not looked at here; `nutrient_addition` does that.
    """
    return _nitrogen("nitrogen wanted", nitrogen_mg_per_l) / (10 * _content(nitrogen_percent))


@calculator(
    "nitrogen_from_diammonium_phosphate",
    result="nitrogen brought in",
    formula="nitrogen = 212.1 x dose_g_per_l",
)
def nitrogen_from_diammonium_phosphate(dose_g_per_l: GramsPerLitre) -> MilligramsPerLitre:
    """Nitrogen that a dose of diammonium phosphate brings: 212 mg for each g.

    Range: 0 to 5 g/L; raises `OutOfRange`. Source: atomic masses, 21.2 % nitrogen.
    """
    return nitrogen_from_dose(dose_g_per_l, DIAMMONIUM_PHOSPHATE_NITROGEN_PERCENT)


@calculator(
    "diammonium_phosphate_for_nitrogen",
    result="dose that brings it",
    formula="dose = nitrogen_mg_per_l / 212.1",
)
def diammonium_phosphate_for_nitrogen(nitrogen_mg_per_l: MilligramsPerLitre) -> GramsPerLitre:
    """Diammonium phosphate that brings a wanted amount of nitrogen.

    Range: 0 to 500 mg/L; raises `OutOfRange`. Source: atomic masses, 21.2 % nitrogen.
    """
    return dose_for_nitrogen(nitrogen_mg_per_l, DIAMMONIUM_PHOSPHATE_NITROGEN_PERCENT)


@calculator(
    "nitrogen_from_ammonium_sulfate",
    result="nitrogen brought in",
    formula="nitrogen = 212.0 x dose_g_per_l",
)
def nitrogen_from_ammonium_sulfate(dose_g_per_l: GramsPerLitre) -> MilligramsPerLitre:
    """Nitrogen that a dose of ammonium sulfate brings: 212 mg for each g.

    Range: 0 to 5 g/L; raises `OutOfRange`. Source: atomic masses, 21.2 % nitrogen.
    """
    return nitrogen_from_dose(dose_g_per_l, AMMONIUM_SULFATE_NITROGEN_PERCENT)


def _after_working(
    nitrogen_mg_per_l: float, dose_g_per_l: float, nitrogen_percent: float
) -> Mapping[str, float]:
    return {"nitrogen_added": nitrogen_from_dose(dose_g_per_l, nitrogen_percent)}


@calculator(
    "nitrogen_after_addition",
    result="nitrogen in the must afterwards",
    formula="nitrogen_after = nitrogen_mg_per_l + nitrogen_added",
    working=_after_working,
)
def nitrogen_after_addition(
    nitrogen_mg_per_l: MilligramsPerLitre,
    dose_g_per_l: GramsPerLitre,
    nitrogen_percent: Percent = DIAMMONIUM_PHOSPHATE_NITROGEN_PERCENT,
) -> MilligramsPerLitre:
    """Nitrogen of a must after a dose of nutrient; diammonium phosphate unless another content is given.

    Range: nitrogen 0 to 500 mg/L, dose 0 to 5 g/L, content above 0 and at most 50 %; raises `OutOfRange`.
    Formula: measured nitrogen + dose x content.
    """
    return _nitrogen("measured nitrogen", nitrogen_mg_per_l) + nitrogen_from_dose(
        dose_g_per_l, nitrogen_percent
    )


@dataclass(frozen=True)
class NutrientAddition:
    """An addition of nutrient: what is wanted, what the ceiling leaves, what the must then has."""

    lacking_mg_per_l: MilligramsPerLitre
    dose_wanted_g_per_l: GramsPerLitre
    dose_g_per_l: GramsPerLitre
    weigh_out_g: Grams
    nitrogen_after_mg_per_l: MilligramsPerLitre
    still_lacking_mg_per_l: MilligramsPerLitre
    held_by_ceiling: bool
    says: str


@worksheet("nutrient_addition", result="nutrient to weigh out under a ceiling")
def nutrient_addition(
    nitrogen_mg_per_l: MilligramsPerLitre,
    needed_mg_per_l: MilligramsPerLitre,
    volume_l: Litres,
    ceiling_g_per_l: GramsPerLitre,
    nitrogen_percent: Percent = DIAMMONIUM_PHOSPHATE_NITROGEN_PERCENT,
    already_added_g_per_l: GramsPerLitre = 0.0,
) -> NutrientAddition:
    """Nutrient that lifts a must from the measured to the needed nitrogen, as far as a ceiling lets it.

    The ceiling is the lowest of your law and the label for this product, as the product itself; what went in
    before counts. The default content is that of diammonium phosphate.
    Range: nitrogen 0 to 500 mg/L, volume above 0 L, ceiling and earlier doses 0 to 5 g/L, content above 0 and
    at most 50 %; raises `OutOfRange`. Formula: (needed - measured) / (10 x content), at most the ceiling less
    what went in already. Source: atomic masses for the default content.
    """
    measured = _nitrogen("measured nitrogen", nitrogen_mg_per_l)
    lacking = max(0.0, _nitrogen("needed nitrogen", needed_mg_per_l) - measured)
    wanted = dose_for_nitrogen(lacking, nitrogen_percent)
    left = max(
        0.0,
        _dose(ceiling_g_per_l, "ceiling") - _dose(already_added_g_per_l, "earlier addition"),
    )
    given = min(wanted, left)
    after = measured + nitrogen_from_dose(given, nitrogen_percent)
    held = given < wanted
    still = max(0.0, needed_mg_per_l - after) if held else 0.0
    return NutrientAddition(
        lacking_mg_per_l=lacking,
        dose_wanted_g_per_l=wanted,
        dose_g_per_l=given,
        weigh_out_g=given * wine(volume_l),
        nitrogen_after_mg_per_l=after,
        still_lacking_mg_per_l=still,
        held_by_ceiling=held,
        says=_addition_words(lacking, held, still),
    )


def _addition_words(lacking: float, held: bool, still: float) -> str:
    if lacking == 0:
        return "The must has what it needs. Add nothing: nitrogen left over feeds spoilage."
    if held:
        return (
            f"The ceiling holds the dose down; {still:.0f} mg/L stay lacking. Do not go over it: make the rest up "
            "with a nutrient that has a ceiling of its own, or choose a strain that needs less."
        )
    return "The dose stays under the ceiling. Give it in two parts, the second before half the sugar is gone."


def _nitrogen(what: str, value: float) -> float:
    return within(
        what, value, "mg/L", at_least=0, at_most=500, mend="Give it in mg/L; musts have 50 to 400 as a rule."
    )


def _dose(value: float, what: str = "dose") -> float:
    return within(what, value, "g/L", at_least=0, at_most=5, mend="Check the unit: 30 g/hL is 0.3 g/L.")


def _content(value: float) -> float:
    return within(
        "nitrogen content",
        value,
        "%",
        more_than=0,
        at_most=50,
        mend="Take it from the label; diammonium phosphate has 21.2 %.",
    )
