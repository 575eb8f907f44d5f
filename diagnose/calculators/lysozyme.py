"""Lysozyme, an egg white enzyme that breaks lactic bacteria and other Gram-positive ones, and nothing else.

It acts in one to three days, does not last in reds, where tannin binds it, and up to six months in whites, where it is
one more protein for the heat test (Ritchie, What is lysozyme). It cannot stand in for sulfur dioxide (OIV Code
II.3.4.12). The law sets a limit for must and wine together; egg must be declared in many places.
"""

from __future__ import annotations

from dataclasses import dataclass

from .amounts import Grams, Litres, MilligramsPerLitre, Millilitres, Percent, wine, within
from .registry import calculator, worksheet


@calculator("lysozyme_g", result="lysozyme to weigh", formula="dose_mg_per_l x volume_l / 1000")
def lysozyme_g(dose_mg_per_l: MilligramsPerLitre, volume_l: Litres) -> Grams:
    """Lysozyme for a dose in a vessel, in g.

    Range: dose above 0 and at most 1000 mg/L, wine above 0 L. Raises `OutOfRange`. Formula: mg/L x L / 1000.
    """
    return _dose(dose_mg_per_l) * wine(volume_l) / 1000


@calculator(
    "lysozyme_solution_ml",
    result="solution to measure out",
    formula="dose_mg_per_l x volume_l / (10 x solution_percent)",
)
def lysozyme_solution_ml(
    dose_mg_per_l: MilligramsPerLitre, volume_l: Litres, solution_percent: Percent = 5.0
) -> Millilitres:
    """Solution of lysozyme for a dose in a vessel, in mL.

    A 5 % solution is 50 g made up to one litre with water. Range: dose above 0 and at most 1000 mg/L, wine above 0 L,
    solution 0.5 to 20 %. Raises `OutOfRange`. Formula: grams x 100 / percent.
    """
    within(
        "strength of the solution",
        solution_percent,
        "%",
        at_least=0.5,
        at_most=20,
        mend="50 g made up to one litre is 5 %, the usual strength.",
    )
    return lysozyme_g(dose_mg_per_l, volume_l) * 100 / solution_percent


@calculator(
    "room_under_lysozyme_limit",
    result="lysozyme that the limit still allows; below 0 it is passed",
    formula="limit_mg_per_l - given_mg_per_l",
)
def room_under_lysozyme_limit(
    given_mg_per_l: MilligramsPerLitre, limit_mg_per_l: MilligramsPerLitre
) -> MilligramsPerLitre:
    """Lysozyme that may still be given before a limit is met, all doses to must and wine counted. In mg/L.

    Range: given 0 to 2000 mg/L, limit above 0 and at most 1000 mg/L. Raises `OutOfRange`.
    Source of the counting: OIV Code II.3.4.12 and II.2.2.6, must and wine together.
    """
    within("lysozyme given", given_mg_per_l, "mg/L", at_least=0, at_most=2000, mend="Give 0 when none was.")
    within(
        "limit", limit_mg_per_l, "mg/L", more_than=0, at_most=1000, mend="Give the limit of your law in mg/L."
    )
    return limit_mg_per_l - given_mg_per_l


@dataclass(frozen=True)
class LysozymeAddition:
    """What to add, or why not. Nothing is measured out when it is refused."""

    lysozyme_g: Grams
    solution_ml: Millilitres
    water_percent: Percent
    given_after_mg_per_l: MilligramsPerLitre
    room_left_mg_per_l: MilligramsPerLitre
    refused_because: str


@worksheet("lysozyme_addition", result="the dose for the vessel against the limit")
def lysozyme_addition(
    dose_mg_per_l: MilligramsPerLitre,
    volume_l: Litres,
    limit_mg_per_l: MilligramsPerLitre,
    given_before_mg_per_l: MilligramsPerLitre = 0.0,
    solution_percent: Percent = 5.0,
) -> LysozymeAddition:
    """A dose of lysozyme with its solution, the water that brings, and all doses so far against a limit.

    A dose that would pass the limit is refused: `refused_because` says so and the amounts are 0.
    Range: as for `lysozyme_solution_ml` and `room_under_lysozyme_limit`. Raises `OutOfRange`.
    """
    grams = lysozyme_g(dose_mg_per_l, volume_l)
    solution = lysozyme_solution_ml(dose_mg_per_l, volume_l, solution_percent)
    after = given_before_mg_per_l + dose_mg_per_l
    room_before = room_under_lysozyme_limit(given_before_mg_per_l, limit_mg_per_l)
    refusal = _refusal(after, room_before, limit_mg_per_l)
    if refusal:
        grams = solution = 0.0
    return LysozymeAddition(
        lysozyme_g=grams,
        solution_ml=solution,
        water_percent=solution / (10 * volume_l),
        given_after_mg_per_l=after,
        room_left_mg_per_l=limit_mg_per_l - after,
        refused_because=refusal,
    )


def _refusal(after: float, room_before: float, limit_mg_per_l: float) -> str:
    if after <= limit_mg_per_l:
        return ""
    return (
        f"All doses together would be {after:g} mg/L, over the limit of {limit_mg_per_l:g}. "
        f"{max(0.0, room_before):g} mg/L may still be given."
    )


def _dose(value: float) -> float:
    return within(
        "dose", value, "mg/L", more_than=0, at_most=1000, mend="Check the unit: 25 g/hL is 250 mg/L."
    )
