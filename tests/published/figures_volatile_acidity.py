"""Printed figures for volatile acidity."""

from __future__ import annotations

from checks import Check
from diagnose.calculators import volatile_acidity

EU = (
    "Reg. (EU) 2019/934 Annex I Part C (and Reg. (EC) 606/2009 Annex I C): limits in meq/L and as acetic acid"
)
FRENCH = "The limits of 18 and 20 meq/L (Reg. (EU) 2019/934) as a French glossary prints them, in g/L as sulfuric acid"
SENSORY = (
    "Oenology encyclopedia, spoilage organisms during ageing: where acetic acid is noticed, in both units"
)
US = "27 CFR 4.21(a)(1)(iv), edition of 2019: limit of volatile acidity for red wine, as acetic acid"

CHECKS: tuple[Check, ...] = (
    *(
        Check(
            "va_from_meq",
            f"{meq} meq/L",
            EU,
            grams,
            lambda meq=meq: volatile_acidity.va_from_meq(meq),
            "g/L",
            0.005,
        )
        for meq, grams in ((18, 1.08), (20, 1.20))
    ),
    *(
        Check(
            "va_to_meq",
            f"{grams} g/L",
            EU,
            meq,
            lambda grams=grams: volatile_acidity.va_to_meq(grams),
            "meq/L",
            0.05,
        )
        for meq, grams in ((18, 1.08), (20, 1.20))
    ),
    *(
        Check(
            "va_to_sulfuric",
            f"{meq} meq/L",
            FRENCH,
            grams,
            lambda meq=meq: volatile_acidity.va_to_sulfuric(volatile_acidity.va_from_meq(meq)),
            "g/L as sulfuric",
            0.005,
        )
        for meq, grams in ((18, 0.88), (20, 0.98))
    ),
    Check(
        "va_from_sulfuric",
        "0.7 g/L as sulfuric",
        SENSORY,
        0.86,
        lambda: volatile_acidity.va_from_sulfuric(0.7),
        "g/L",
        0.005,
    ),
    Check(
        "va_against_limit",
        "a red at the limit, 1.4 g/L: no room left",
        US,
        0.0,
        lambda: volatile_acidity.va_against_limit(1.4, 1.4).room_g_per_l,
        "g/L",
        0.0,
    ),
    Check(
        "va_against_limit",
        "a red at the limit of 1.20 g/L, in meq/L",
        EU,
        20,
        lambda: volatile_acidity.va_against_limit(1.2, 1.2).meq_per_l,
        "meq/L",
        0.05,
    ),
    Check(
        "va_against_limit",
        "a white at the limit of 1.08 g/L, as sulfuric",
        FRENCH,
        0.88,
        lambda: volatile_acidity.va_against_limit(1.08, 1.08).as_sulfuric_g_per_l,
        "g/L as sulfuric",
        0.005,
    ),
    Check(
        "fixed_acidity",
        "6.00 g/L with 0.50 g/L volatile: 0.50 / 60.05 x 75.04 is 0.625",
        "worked by hand from the definition of fixed acidity and equivalent masses 60.05 and 75.04",
        5.375,
        lambda: volatile_acidity.fixed_acidity(6.0, 0.5),
        "g/L",
        0.0005,
        "nothing printed at hand; sum written out",
    ),
)
