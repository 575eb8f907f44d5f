"""Restarts against the published ways: their starters, parts, doses and limits."""

from __future__ import annotations

from checks import Check
from diagnose.calculators.restart.cooling import yeast_cooling
from diagnose.calculators.restart.fitness import restart_fitness
from diagnose.calculators.restart.protocols import restart_at_once, restart_by_doubling, restart_in_steps

DOUBLING = "La Vigne no. 289, 2016, and Vitisphere, 28 Aug 2017: starter of 5 to 15 hL for a tank of 100 hL"
SPARKLING = "Vitisphere, 28 Aug 2017: starter prepared as for sparkling wine, 3 % of the stuck volume"
IFV = "IFV (French vine and wine institute), Mutage des vins blancs doux: 16.83 g/L of sugar make 1 % vol"
STEPS = "from memory: general extension practice for a restart in steps (Zoecklein, Van de Water and others)"
HANDBOOK = "from memory: Ribereau-Gayon and others, Handbook of Enology vol. 1, restart"
AWRI = "AWRI fact sheet, procedure for rescuing a slow or stuck fermentation, March 2020, opening pages"
CUENAT = (
    "Cuenat P. 1997, Revue suisse Vitic. Arboric. Hortic. 29(4), as reproduced: gap of 10 to 12 C at pitching"
)
OIV = "OIV Code of oenological practices II.2.3.4: yeast hulls up to 40 g/hL"
BALANCE = "worked by hand from the balance of mass"
HEAT = "worked by hand from the balance of heat"

# 100 L of 13 % vol with 20 g/L of sugar at 18 C, by the steps:
# starter 2.5 L wine + 2.5 L water: 6.5 % vol, 50 g/L, of which 50 g from the wine and 200 g added.
# It ferments to 25 g/L: 6.5 + 25 / 16.83 = 7.985 % vol.
# + 20 L: (5 x 25 + 20 x 20) / 25 = 21 g/L; (5 x 7.985 + 20 x 13) / 25 = 11.997 % vol; to 10.5 g/L, 12.621 % vol.
# + 20 L: (25 x 10.5 + 20 x 20) / 45 = 14.722 g/L; (25 x 12.621 + 260) / 45 = 12.789; to 7.361 g/L, 13.227 % vol.
# + 57.5 L: (45 x 7.361 + 57.5 x 20) / 102.5 = 14.451 g/L; (45 x 13.227 + 747.5) / 102.5 = 13.100 % vol.
STUCK = (100, 13, 20, 18)


def _fits(what: str, alcohol: float, sugar: float, volatile: float) -> float:
    return float(
        next(line.fits for line in restart_fitness(alcohol, sugar, volatile, 10) if line.what == what)
    )


CHECKS: tuple[Check, ...] = (
    Check(
        "restart_by_doubling",
        "100 hL, smallest starter",
        DOUBLING,
        500,
        lambda: restart_by_doubling(10000, 13, 20, 18, 20, 8, 5)[1].volume_l,
        "L",
        1e-6,
    ),
    Check(
        "restart_by_doubling",
        "100 hL, largest starter",
        DOUBLING,
        1500,
        lambda: restart_by_doubling(10000, 13, 20, 18, 20, 8, 15)[1].volume_l,
        "L",
        1e-6,
    ),
    Check(
        "restart_by_doubling",
        "100 hL, starter as for sparkling wine",
        SPARKLING,
        300,
        lambda: restart_by_doubling(10000, 13, 20, 18, 20, 8, 3)[1].volume_l,
        "L",
        1e-6,
    ),
    Check(
        "restart_by_doubling",
        "10 L starter, 20 g/L, meets 10 L of 20 g/L: alcohol of 8 and 13 % vol",
        BALANCE,
        10.5,
        lambda: restart_by_doubling(*STUCK, 20, 8)[2].alcohol_percent,
        "% vol",
        1e-9,
    ),
    Check(
        "restart_by_doubling",
        "100 L and a starter of 10 L: 10, 20, 40 and the rest of 30 L",
        BALANCE,
        30,
        lambda: restart_by_doubling(*STUCK, 20, 8)[-1].wine_added_l,
        "L",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "wine with 100 g/L left, alcohol it still makes (6 % vol left is 100 g/L)",
        IFV,
        6,
        lambda: restart_in_steps(100, 8, 100, 18)[0].alcohol_when_dry_percent - 8,
        "% vol",
        0.06,
        "printed 100 g/L is 101 rounded",
    ),
    Check(
        "restart_in_steps",
        "wine with 84 g/L left (5 % vol)",
        IFV,
        5,
        lambda: restart_in_steps(100, 8, 84, 18)[0].alcohol_when_dry_percent - 8,
        "% vol",
        0.03,
    ),
    Check(
        "restart_in_steps",
        "wine with 67 g/L left (4 % vol)",
        IFV,
        4,
        lambda: restart_in_steps(100, 8, 67, 18)[0].alcohol_when_dry_percent - 8,
        "% vol",
        0.03,
    ),
    Check(
        "restart_in_steps",
        "100 L, starter of 5 %",
        STEPS,
        5,
        lambda: restart_in_steps(*STUCK)[1].volume_l,
        "L",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "100 L, half of the starter is wine",
        STEPS,
        2.5,
        lambda: restart_in_steps(*STUCK)[1].wine_added_l,
        "L",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "starter of 50 g/L",
        STEPS,
        50,
        lambda: restart_in_steps(*STUCK)[1].sugar_g_per_l,
        "g/L",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "100 L, yeast 40 to 50 g/hL of all the wine",
        STEPS,
        45,
        lambda: restart_in_steps(*STUCK)[1].yeast_g,
        "g",
        5,
        "printed as a range",
    ),
    Check(
        "restart_in_steps",
        "starter of 5 L, nutrient 25 g/hL",
        STEPS,
        1.25,
        lambda: restart_in_steps(*STUCK)[1].nutrient_g,
        "g",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "first part, 20 % of the batch",
        STEPS,
        20,
        lambda: restart_in_steps(*STUCK)[2].wine_added_l,
        "L",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "second part, another 20 %",
        STEPS,
        20,
        lambda: restart_in_steps(*STUCK)[3].wine_added_l,
        "L",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "sugar to weigh out: 250 g less 50 g from the wine",
        BALANCE,
        200,
        lambda: restart_in_steps(*STUCK)[1].sugar_added_g,
        "g",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "first part: sugar",
        BALANCE,
        21,
        lambda: restart_in_steps(*STUCK)[2].sugar_g_per_l,
        "g/L",
        0.001,
    ),
    Check(
        "restart_in_steps",
        "first part: alcohol",
        BALANCE,
        11.997,
        lambda: restart_in_steps(*STUCK)[2].alcohol_percent,
        "% vol",
        0.001,
    ),
    Check(
        "restart_in_steps",
        "second part: sugar",
        BALANCE,
        14.722,
        lambda: restart_in_steps(*STUCK)[3].sugar_g_per_l,
        "g/L",
        0.001,
    ),
    Check(
        "restart_in_steps",
        "second part: alcohol",
        BALANCE,
        12.789,
        lambda: restart_in_steps(*STUCK)[3].alcohol_percent,
        "% vol",
        0.001,
    ),
    Check(
        "restart_in_steps",
        "the rest: sugar",
        BALANCE,
        14.451,
        lambda: restart_in_steps(*STUCK)[4].sugar_g_per_l,
        "g/L",
        0.001,
    ),
    Check(
        "restart_in_steps",
        "the rest: alcohol",
        BALANCE,
        13.100,
        lambda: restart_in_steps(*STUCK)[4].alcohol_percent,
        "% vol",
        0.001,
    ),
    Check(
        "restart_in_steps",
        "first part: 5 L at 22 C and 20 L at 18 C fall by 3.2",
        HEAT,
        3.2,
        lambda: restart_in_steps(*STUCK)[2].temperature_fall_c,
        "C",
        1e-9,
    ),
    Check(
        "restart_in_steps",
        "hulls for 100 L, 40 g/hL",
        OIV,
        40,
        lambda: restart_in_steps(*STUCK, hulls_g_per_hl=40)[0].hulls_g,
        "g",
        1e-9,
    ),
    Check(
        "restart_at_once",
        "starter of 8 to 9 % vol",
        HANDBOOK,
        8.5,
        lambda: restart_at_once(*STUCK)[1].alcohol_percent,
        "% vol",
        0.5,
        "printed as a range",
    ),
    Check(
        "restart_at_once",
        "starter of 15 to 20 g/L",
        HANDBOOK,
        17.5,
        lambda: restart_at_once(*STUCK)[1].sugar_g_per_l,
        "g/L",
        2.5,
        "printed as a range",
    ),
    Check(
        "restart_at_once",
        "100 L, starter of 5 to 10 %",
        HANDBOOK,
        7.5,
        lambda: restart_at_once(*STUCK)[1].volume_l,
        "L",
        2.5,
        "printed as a range",
    ),
    Check(
        "restart_at_once",
        "7.5 L of starter, yeast 20 g/hL",
        HANDBOOK,
        1.5,
        lambda: restart_at_once(*STUCK)[1].yeast_g,
        "g",
        1e-9,
    ),
    Check(
        "restart_at_once",
        "7.5 L of 8.5 % vol from wine of 13: 4.904 L of wine",
        BALANCE,
        4.904,
        lambda: restart_at_once(*STUCK)[1].wine_added_l,
        "L",
        0.001,
    ),
    *(
        Check("restart_fitness", what, AWRI, printed, lambda name=name, of=of: _fits(name, *of), "yes", 0)
        for what, printed, name, of in (
            (
                "12.1 % vol: a rescue culture is called for",
                1,
                "alcohol for a rescue culture",
                (12.1, 20, 0.5),
            ),
            ("12 % vol: it is not", 0, "alcohol for a rescue culture", (12, 20, 0.5)),
            ("5.1 g/L of sugar left: above the 5 of 5 to 10", 1, "sugar left", (13, 5.1, 0.5)),
            ("5 g/L of sugar left: not above", 0, "sugar left", (13, 5, 0.5)),
            ("volatile acidity 1.0 g/L: toxic", 0, "volatile acidity", (13, 20, 1.0)),
            ("volatile acidity 0.9 g/L: not yet", 1, "volatile acidity", (13, 20, 0.9)),
        )
    ),
    Check(
        "yeast_cooling",
        "last gap before pitching",
        CUENAT,
        10,
        lambda: yeast_cooling(1, 38, 18)[-1].gap_c,
        "C",
        1e-9,
    ),
    Check(
        "yeast_cooling",
        "1 L at 38 C into starter of 18 C by two steps of 5: 1/3 L and 2/3 L",
        HEAT,
        2,
        lambda: yeast_cooling(1, 38, 18)[-1].volume_l,
        "L",
        1e-9,
    ),
)
