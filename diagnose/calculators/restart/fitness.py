"""Whether a stuck wine is fit for a restart, before any yeast is opened."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import AnyUnit, GramsPerLitre, MilligramsPerLitre, PercentAlcohol, within
from ..registry import worksheet


@dataclass(frozen=True)
class RestartCheck:
    """One measurement of the stuck wine against the figure it is held to."""

    what: str
    value: AnyUnit
    limit: AnyUnit
    unit: str
    fits: bool
    says: str


@worksheet("restart_fitness", result="whether a stuck wine is fit for a restart")
def restart_fitness(
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre,
    volatile_acidity_g_per_l: GramsPerLitre,
    free_so2_mg_per_l: MilligramsPerLitre,
    rescue_above_percent: PercentAlcohol = 12.0,
    most_alcohol_percent: PercentAlcohol = 15.5,
    least_sugar_g_per_l: GramsPerLitre = 5.0,
    most_volatile_acidity_g_per_l: GramsPerLitre = 1.0,
    most_free_so2_mg_per_l: MilligramsPerLitre = 30.0,
) -> tuple[RestartCheck, ...]:
    """Each measurement that decides on a restart against its figure. Volatile acidity as acetic acid.

    Range: alcohol 0 to 20 % vol, sugar 0 to 200 g/L, volatile acidity 0 to 20 g/L, free SO2 0 to 300 mg/L; raises
    `OutOfRange`. Source: a rescue culture for wine above 12 % vol with more than 5 to 10 g/L of sugar, and volatile
    acidity toxic from 1.0 g/L: AWRI, procedure for rescuing a slow or stuck fermentation, March 2020; 15.5 % vol and
    30 mg/L are from memory.
    """
    within(
        "alcohol", alcohol_percent, "% vol", at_least=0, at_most=20, mend="Have it measured, not reckoned."
    )
    within("sugar left", sugar_g_per_l, "g/L", at_least=0, at_most=200, mend="Give it in g/L.")
    within(
        "volatile acidity",
        volatile_acidity_g_per_l,
        "g/L",
        at_least=0,
        at_most=20,
        mend="In g/L as acetic acid.",
    )
    within("free SO2", free_so2_mg_per_l, "mg/L", at_least=0, at_most=300, mend="Give it in mg/L.")
    return (
        _alcohol_for_rescue(alcohol_percent, rescue_above_percent),
        _check(
            "alcohol",
            alcohol_percent,
            most_alcohol_percent,
            "% vol",
            alcohol_percent <= most_alcohol_percent,
            "Yeast can be grown into this alcohol.",
            "Hardly any yeast starts at this alcohol: blend or keep it sweet and stable instead.",
        ),
        _check(
            "sugar left",
            sugar_g_per_l,
            least_sugar_g_per_l,
            "g/L",
            sugar_g_per_l > least_sugar_g_per_l,
            "There is sugar enough to be worth a restart.",
            "So little sugar is hard to ferment out: a blend or a stable wine may be the better end.",
        ),
        _check(
            "volatile acidity",
            volatile_acidity_g_per_l,
            most_volatile_acidity_g_per_l,
            "g/L",
            volatile_acidity_g_per_l < most_volatile_acidity_g_per_l,
            "Low enough for yeast.",
            "Toxic to yeast and a sign of bacteria: lower it and deal with them before any restart.",
        ),
        _check(
            "free SO2",
            free_so2_mg_per_l,
            most_free_so2_mg_per_l,
            "mg/L",
            free_so2_mg_per_l <= most_free_so2_mg_per_l,
            "Low enough for yeast.",
            "It holds yeast back: let it fall before the restart.",
        ),
    )


def _alcohol_for_rescue(value: float, limit: float) -> RestartCheck:
    return _check(
        "alcohol for a rescue culture",
        value,
        limit,
        "% vol",
        value > limit,
        "So much alcohol calls for a starter grown into the wine step by step.",
        "At so little alcohol fresh yeast may do without steps.",
    )


def _check(
    what: str, value: float, limit: float, unit: str, fits: bool, if_fits: str, if_not: str
) -> RestartCheck:
    return RestartCheck(what, value, limit, unit, fits, if_fits if fits else if_not)
