"""Three ways to build a restart, as worksheets: in steps, by doubling, and all at once.

Water and sugar in a starter, and every dose, may be limited or forbidden where the wine is sold: look up local law
and the labels.
"""

from __future__ import annotations

from ..amounts import (
    Celsius,
    CelsiusDifference,
    GramsPerHectolitre,
    GramsPerLitre,
    Litres,
    Percent,
    PercentAlcohol,
    PlainNumber,
    within,
)
from ..registry import worksheet
from .stages import (
    Added,
    Broth,
    RestartStage,
    allowed_fall,
    clean_line,
    dose_g_per_hl,
    doublings,
    equal_parts,
    go_on_words,
    share,
    stage_line,
    stuck_wine,
    taken_up,
    warm,
)

LARGEST_FALL_C = 10.0
"""Largest gap between starter and must at pitching, 10 to 12 C: Cuenat, Revue suisse Vitic. Arboric. Hortic. 29(4),
1997, as reproduced; the smaller end."""

HULLS_G_PER_HL = 30.0
"""Yeast hulls before a restart, 25 to 40 g/hL, from memory. A law may set a limit: the OIV Code of oenological
practices II.2.3.4 allows 40."""


@worksheet("restart_in_steps", result="a restart built up in steps of stuck wine")
def restart_in_steps(
    stuck_wine_l: Litres,
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre,
    wine_temperature_c: Celsius,
    starter_percent: Percent = 5.0,
    wine_in_starter_percent: Percent = 50.0,
    starter_sugar_g_per_l: GramsPerLitre = 50.0,
    step_percent: Percent = 20.0,
    steps: PlainNumber = 2.0,
    go_on_at_percent_of_sugar: Percent = 50.0,
    yeast_g_per_hl: GramsPerHectolitre = 45.0,
    nutrient_g_per_hl: GramsPerHectolitre = 25.0,
    hulls_g_per_hl: GramsPerHectolitre = HULLS_G_PER_HL,
    starter_temperature_c: Celsius = 26.0,
    hold_temperature_c: Celsius = 22.0,
    largest_fall_c: CelsiusDifference = LARGEST_FALL_C,
) -> tuple[RestartStage, ...]:
    """A restart in steps: a starter of wine, water and sugar takes up the stuck wine in parts before the rest.

    Yeast is counted on the whole stuck wine, nutrient on the starter. The starter is made up to its volume with
    water after wine and sugar. At the end of each stage the sugar has fallen to a share of what it was.

    Range: stuck wine above 0 L, of 0 to 17 % vol and above 0 to 200 g/L sugar, at 0 to 40 C; shares above 0 and at
    most 100 % (starter at most 30); 1 to 5 whole steps that leave some wine for the end; doses 0 to 200 g/hL;
    working temperatures 10 to 35 C; raises `OutOfRange`. Formula: balances of volume, sugar, alcohol and heat;
    16.83 g of sugar make 1 % vol in a litre (IFV). Source: the steps and doses are general extension practice, from
    memory (starter 5 % half wine half water at 50 g/L, parts of 20 %, yeast 40 to 50 g/hL, nutrient 25 g/hL); the
    largest fall is Cuenat 1997.
    """
    stuck = stuck_wine(stuck_wine_l, alcohol_percent, sugar_g_per_l, wine_temperature_c)
    going_on = share("sugar at which to go on", go_on_at_percent_of_sugar, at_most=95) / 100
    limit = allowed_fall(largest_fall_c)
    warm("temperature of the starter", starter_temperature_c)
    warm("temperature to hold", hold_temperature_c)
    volume = stuck.volume_l * share("starter", starter_percent, at_most=30) / 100
    taken = volume * share("wine in the starter", wine_in_starter_percent) / 100
    parts = equal_parts(stuck.volume_l, taken, share("step", step_percent), steps)

    wine = stuck.part(taken)
    sugar = max(0.0, _starter_sugar(starter_sugar_g_per_l) * volume - taken * stuck.sugar_g_per_l)
    broth = Broth(
        volume,
        (taken * stuck.sugar_g_per_l + sugar) / volume,
        taken * stuck.alcohol_percent / volume,
        starter_temperature_c,
    )
    added = Added(
        water_l=volume - taken,
        sugar_g=sugar,
        yeast_g=dose_g_per_hl("yeast", yeast_g_per_hl) * stuck.volume_l / 100,
        nutrient_g=dose_g_per_hl("nutrient", nutrient_g_per_hl) * volume / 100,
    )
    lines = [clean_line(stuck, hulls_g_per_hl)]
    lines.append(
        stage_line(
            "starter",
            wine,
            broth,
            going_on * broth.sugar_g_per_l,
            added=added,
            fall_c=0.0,
            says="Make up to the volume with water, where local law lets water and sugar in. Let air in. Add the "
            "rehydrated yeast, cooled towards it. " + go_on_words((1 - going_on) * broth.sugar_g_per_l),
        )
    )
    broth = broth.fermented_to(going_on * broth.sugar_g_per_l)
    return (*lines, *taken_up(stuck, broth, parts, going_on, hold_temperature_c, limit))


@worksheet("restart_by_doubling", result="a restart in which the starter doubles with stuck wine")
def restart_by_doubling(
    stuck_wine_l: Litres,
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre,
    wine_temperature_c: Celsius,
    starter_sugar_g_per_l: GramsPerLitre,
    starter_alcohol_percent: PercentAlcohol,
    starter_percent: Percent = 10.0,
    go_on_at_percent_of_sugar: Percent = 50.0,
    yeast_g_per_hl: GramsPerHectolitre = 45.0,
    nutrient_g_per_hl: GramsPerHectolitre = 25.0,
    hulls_g_per_hl: GramsPerHectolitre = HULLS_G_PER_HL,
    hold_temperature_c: Celsius = 20.0,
    largest_fall_c: CelsiusDifference = LARGEST_FALL_C,
) -> tuple[RestartStage, ...]:
    """A restart by doubling: a working starter of must or sugar takes up its own volume of stuck wine each time.

    The starter is made apart, from fresh must or from sugar, water and nutrient; its sugar and alcohol are those at
    the moment it first meets the wine. Yeast is counted on the whole stuck wine, nutrient on the starter.

    Range: stuck wine above 0 L, of 0 to 17 % vol and above 0 to 200 g/L sugar, at 0 to 40 C; starter 1 to 50 % of it,
    0 to 250 g/L sugar, 0 to 17 % vol; doses 0 to 200 g/hL; holding at 10 to 35 C; raises
    `OutOfRange`. Formula: balances of volume, sugar, alcohol and heat; 16.83 g of sugar make 1 % vol in a litre
    (IFV). Source: starter of 5 to 15 % of the stuck volume, La Vigne no. 289, 2016, and Vitisphere, 28 Aug 2017
    (which gives 3 % for a starter prepared as for sparkling wine); the doses are from memory.
    """
    stuck = stuck_wine(stuck_wine_l, alcohol_percent, sugar_g_per_l, wine_temperature_c)
    going_on = share("sugar at which to go on", go_on_at_percent_of_sugar, at_most=95) / 100
    limit = allowed_fall(largest_fall_c)
    warm("temperature to hold", hold_temperature_c)
    within("starter", starter_percent, "%", at_least=1, at_most=50, mend="5 to 15 % is published.")
    within(
        "starter's sugar",
        starter_sugar_g_per_l,
        "g/L",
        at_least=0,
        at_most=250,
        mend="Measure it when it joins.",
    )
    within(
        "starter's alcohol", starter_alcohol_percent, "% vol", at_least=0, at_most=17, mend="0 in fresh must."
    )
    volume = stuck.volume_l * starter_percent / 100
    broth = Broth(volume, starter_sugar_g_per_l, starter_alcohol_percent, hold_temperature_c)
    added = Added(
        yeast_g=dose_g_per_hl("yeast", yeast_g_per_hl) * stuck.volume_l / 100,
        nutrient_g=dose_g_per_hl("nutrient", nutrient_g_per_hl) * volume / 100,
    )
    lines = (
        clean_line(stuck, hulls_g_per_hl),
        stage_line(
            "starter",
            stuck.part(0.0),
            broth,
            broth.sugar_g_per_l,
            added=added,
            fall_c=0.0,
            says="Made apart and working: while it still has its sugar, go on at once.",
        ),
    )
    return (
        *lines,
        *taken_up(stuck, broth, doublings(volume, stuck.volume_l), going_on, hold_temperature_c, limit),
    )


@worksheet("restart_at_once", result="a restart with one weak starter added to all the wine")
def restart_at_once(
    stuck_wine_l: Litres,
    alcohol_percent: PercentAlcohol,
    sugar_g_per_l: GramsPerLitre,
    wine_temperature_c: Celsius,
    starter_percent: Percent = 7.5,
    starter_alcohol_percent: PercentAlcohol = 8.5,
    starter_sugar_g_per_l: GramsPerLitre = 17.5,
    add_at_sugar_g_per_l: GramsPerLitre = 2.0,
    yeast_g_per_hl: GramsPerHectolitre = 20.0,
    nutrient_g_per_hl: GramsPerHectolitre = 0.0,
    hulls_g_per_hl: GramsPerHectolitre = HULLS_G_PER_HL,
    hold_temperature_c: Celsius = 22.0,
    largest_fall_c: CelsiusDifference = LARGEST_FALL_C,
) -> tuple[RestartStage, ...]:
    """A restart at once: stuck wine thinned with water and sweetened ferments nearly dry, then joins all the rest.

    Yeast and nutrient are counted on the starter. Where the wine has no more alcohol than the starter should, no water
    goes in.

    Range: stuck wine above 0 L, of 0 to 17 % vol and above 0 to 200 g/L sugar, at 0 to 40 C; starter above 0 to 30 %,
    3 to 12 % vol, sugar 5 to 150 g/L and joined at 0 g/L to less than that; doses 0 to 200 g/hL; holding
    at 10 to 35 C; raises `OutOfRange`. Formula: balances of volume, sugar, alcohol and heat; 16.83 g of sugar make
    1 % vol in a litre (IFV). Source: from memory, the Bordeaux way of Ribereau-Gayon and others, Handbook of Enology
    vol. 1 (starter of 8 to 9 % vol and 15 to 20 g/L with 20 g/hL of yeast, added nearly dry at 5 to 10 %).
    """
    stuck = stuck_wine(stuck_wine_l, alcohol_percent, sugar_g_per_l, wine_temperature_c)
    limit = allowed_fall(largest_fall_c)
    warm("temperature to hold", hold_temperature_c)
    within(
        "starter's alcohol", starter_alcohol_percent, "% vol", at_least=3, at_most=12, mend="8 to 9 is usual."
    )
    target = _starter_sugar(starter_sugar_g_per_l)
    within("sugar to join at", add_at_sugar_g_per_l, "g/L", at_least=0, at_most=target, mend="Nearly dry: 2.")
    volume = stuck.volume_l * share("starter", starter_percent, at_most=30) / 100
    taken = volume * min(1.0, starter_alcohol_percent / max(stuck.alcohol_percent, 1e-9))
    sugar = max(0.0, target * volume - taken * stuck.sugar_g_per_l)
    broth = Broth(
        volume,
        (taken * stuck.sugar_g_per_l + sugar) / volume,
        taken * stuck.alcohol_percent / volume,
        hold_temperature_c,
    )
    added = Added(
        water_l=volume - taken,
        sugar_g=sugar,
        yeast_g=dose_g_per_hl("yeast", yeast_g_per_hl) * volume / 100,
        nutrient_g=dose_g_per_hl("nutrient", nutrient_g_per_hl) * volume / 100,
    )
    starter = stage_line(
        "starter",
        stuck.part(taken),
        broth,
        add_at_sugar_g_per_l,
        added=added,
        fall_c=0.0,
        says="Water and sugar only where local law lets them in. Let air in. Join it to the wine while it still "
        f"works, at {add_at_sugar_g_per_l:g} g/L of sugar.",
    )
    broth = broth.fermented_to(add_at_sugar_g_per_l)
    rest = (stuck.volume_l - taken,)
    return (
        clean_line(stuck, hulls_g_per_hl),
        starter,
        *taken_up(stuck, broth, rest, 0.0, hold_temperature_c, limit),
    )


def _starter_sugar(value: float) -> float:
    return within("starter's sugar", value, "g/L", at_least=5, at_most=150, mend="50 g/L is near 5 Brix.")
