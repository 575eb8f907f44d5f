"""What the pressure means for the bottle."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import Bar, Celsius, GramsPerLitre, Millilitres, PercentAlcohol, within
from ..registry import worksheet
from .overpressure import BOTTLE_ML, HEADSPACE_ML, START_G_PER_L, bottle_overpressure, gas_of
from .solubility import ATMOSPHERE_BAR

STILL_DESIGN_BAR = 1.0
"""Overpressure that still-wine bottles are designed for at 20 C, at most: CETIE Guide 1."""

DESIGN_C = 20.0
"""Temperature at which that design pressure is stated."""

CORK_MOVES_BAR = 1.5
GLASS_BURSTS_BAR = 6.0
"""From memory, not confirmed: corks begin to move at 1.5 bar; new still bottles burst at 6 to 12. No published burst
figure for still-wine bottles was found, so the lowest is taken."""

GLASS_SHARE = 1 / 3
"""Share of the strength of new glass that may be leant on: scratched glass bursts far below it. Gives the 2 bar above
which unplanned gas counts as a danger of bursting; common practice, from memory."""


@dataclass(frozen=True)
class BottleVerdict:
    """The pressure in a bottle, now and warm, against what bottle and closure stand."""

    gas_g_per_l: GramsPerLitre
    overpressure_bar: Bar
    overpressure_at_20_c_bar: Bar
    warmest_c: Celsius
    overpressure_when_warm_bar: Bar
    design_bar: Bar
    danger_from_bar: Bar
    verdict: str
    """safe, doubtful or dangerous."""
    range_known: bool
    """False when the warmest is outside the 10 to 30 C that the solubility is published for, or when the pressure is
    beyond the design and the strength of the glass is not known."""
    treat_as: str
    closure: str
    glass: str


@worksheet("bottle_verdict", result="whether the gas is safe in this bottle")
def bottle_verdict(
    wine_c: Celsius,
    alcohol_percent: PercentAlcohol,
    sugar_fermented_g_per_l: GramsPerLitre,
    malic_fermented_g_per_l: GramsPerLitre = 0.0,
    start_g_per_l: GramsPerLitre = START_G_PER_L,
    headspace_ml: Millilitres = HEADSPACE_ML,
    bottle_ml: Millilitres = BOTTLE_ML,
    sealed_air_bar: Bar = ATMOSPHERE_BAR,
    warmest_c: Celsius = 30.0,
    design_bar: Bar = STILL_DESIGN_BAR,
    closure_moves_bar: Bar = CORK_MOVES_BAR,
    glass_bursts_bar: Bar = GLASS_BURSTS_BAR,
) -> BottleVerdict:
    """The overpressure in a bottle, now and at the warmest it may get, and whether the bottle is made for it.

    Dangerous: when warm it reaches where the closure moves, or a third of what bursts new glass, whichever is less.
    Else safe when at 20 C it stays within the design, and doubtful when beyond. Give all sugar that could ferment.
    Give 0 for the strength of glass when it is not known: then all beyond the design is dangerous.
    Range: as in `bottle_overpressure`; warmest at least `wine_c`; design above 0 and at most 10 bar, closure from the
    design to 40 bar, glass 0 to 40 bar and, if not 0, at least three times the design; raises `OutOfRange`.
    Source of the defaults: design 1 bar at 20 C, CETIE Guide 1; cork and glass from memory, not confirmed.
    """
    within(
        "warmest", warmest_c, "C", at_least=wine_c, at_most=45, mend="Give the warmest the bottle may get."
    )
    danger = _danger(design_bar, closure_moves_bar, glass_bursts_bar)
    gas = gas_of(sugar_fermented_g_per_l, malic_fermented_g_per_l, start_g_per_l)

    def at(temperature_c: float) -> float:
        return bottle_overpressure(
            temperature_c, alcohol_percent, sugar_fermented_g_per_l, malic_fermented_g_per_l,
            start_g_per_l, headspace_ml, bottle_ml, sealed_air_bar,
        )  # fmt: skip

    warm = at(warmest_c)
    beyond = at(DESIGN_C) > design_bar
    blind = beyond and glass_bursts_bar == 0
    verdict = "dangerous" if warm >= danger or blind else "doubtful" if beyond else "safe"
    known = 10 <= warmest_c <= 30 and not blind
    return BottleVerdict(
        gas_g_per_l=gas,
        overpressure_bar=at(wine_c),
        overpressure_at_20_c_bar=at(DESIGN_C),
        warmest_c=warmest_c,
        overpressure_when_warm_bar=warm,
        design_bar=design_bar,
        danger_from_bar=danger,
        verdict=verdict,
        range_known=known,
        treat_as=f"treat as {verdict}" if known else "treat as dangerous",
        closure=_closure(warm, beyond, closure_moves_bar),
        glass=_glass(warm, beyond, glass_bursts_bar),
    )


def _danger(design: float, closure_moves: float, glass_bursts: float) -> float:
    """Pressure from which a bottle counts as dangerous."""
    within("design pressure", design, "bar", more_than=0, at_most=10, mend="1 for still wine, CETIE Guide 1.")
    within(
        "pressure that moves the closure",
        closure_moves,
        "bar",
        at_least=design,
        at_most=40,
        mend="It cannot be less than the design.",
    )
    strength = "strength of the glass"
    within(strength, glass_bursts, "bar", at_least=0, at_most=40, mend="Give 0 when it is not known.")
    if glass_bursts == 0:
        return closure_moves
    mend = "A third of it must cover the design; lower the design."
    within(strength, glass_bursts, "bar", at_least=design / GLASS_SHARE, mend=mend)
    return min(closure_moves, GLASS_SHARE * glass_bursts)


def _closure(warm: float, beyond: bool, moves: float) -> str:
    if warm >= moves:
        return f"It may move or come out, from {moves:g} bar. That it lets gas go is not to be relied on."
    return "Beyond its design; it may leak." if beyond else "Within what it is designed for."


def _glass(warm: float, beyond: bool, bursts: float) -> str:
    if 0 < bursts <= warm:
        return f"At or above the {bursts:g} bar that bursts new glass: expect it to burst."
    if bursts and warm >= GLASS_SHARE * bursts:
        return f"Above a third of the {bursts:g} bar that bursts new glass: it may burst when knocked, moved or warmed."
    if beyond and bursts == 0:
        return "Its strength is not known: it may burst at any pressure beyond its design."
    return (
        "Beyond its design; a scratched or knocked bottle may burst."
        if beyond
        else "Within what it is designed for."
    )
