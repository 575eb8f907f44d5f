"""Nitrogen for the yeast, against printed needs and atomic masses."""

from __future__ import annotations

from checks import Check
from diagnose.calculators.nutrients.additions import (
    diammonium_phosphate_for_nitrogen,
    dose_for_nitrogen,
    nitrogen_after_addition,
    nitrogen_from_ammonium_sulfate,
    nitrogen_from_diammonium_phosphate,
    nitrogen_from_dose,
    nutrient_addition,
)
from diagnose.calculators.nutrients.demand import (
    nitrogen_needed,
    nitrogen_needed_base_wine,
    nitrogen_needed_by_alcohol,
    nitrogen_needed_by_brix,
    nitrogen_needed_high_demand,
    nitrogen_needed_low_demand,
    nitrogen_needed_medium_demand,
)
from diagnose.calculators.nutrients.timing import (
    gravity_at_share_fermented,
    nutrient_timing,
    share_fermented_percent,
)

TAILLANDIER = (
    "Taillandier, Ramon-Portugal, Fuster, Strehaiano 2007, effect of ammonium on alcoholic fermentation"
)
FACTORS = (
    "from memory: nitrogen factors of strains, mg per g of sugar, worked out for 24 Brix (236 g/L of sugar)"
)
BRIX_TABLE = "from memory: nitrogen by Brix, usually credited to Bisson & Butzke 2000"
VITISPHERE = "Vitisphere, 12 July 2019, advice for fermenting"
COGNAC = "La Vigne archive, Station viticole de Cognac (C. Roulland)"
LA_VIGNE = "La Vigne archive: 1 g/L of diammonium phosphate gives 210 mg/L of ammonia nitrogen"
MASSES = "worked by hand from atomic masses (N 14.007, diammonium phosphate 132.06 g/mol)"
US_LIMIT = (
    "from memory: 0.96 g/L of diammonium phosphate (27 CFR 24.246) is 204 mg/L of nitrogen, atomic masses"
)
GALLON = "from memory: 1 lb of diammonium phosphate per 1000 US gal, 119.8 mg/L, is 25.4 mg/L of nitrogen"
TABARIE = "from memory: table by Tabarie's relation (OIV-MA-AS2-03B) with the alcohol densities of OIML R22"

MUSTS = {
    1.08: (
        182.8,
        0.9954,
        (
            (137.1, 1.0586),
            (91.4, 1.0373),
            (45.7, 1.0163),
            (40, 1.0137),
            (30, 1.0091),
            (20, 1.0045),
            (10, 0.9999),
        ),
    ),
    1.09: (
        209.4,
        0.9934,
        (
            (157.1, 1.0655),
            (104.7, 1.0413),
            (52.4, 1.0173),
            (40, 1.0116),
            (30, 1.0071),
            (20, 1.0025),
            (10, 0.998),
        ),
    ),
    1.1: (
        236.0,
        0.9915,
        ((177, 1.0725), (118, 1.0452), (59, 1.0183), (40, 1.0097), (30, 1.0051), (20, 1.0006), (10, 0.996)),
    ),
    1.11: (
        262.6,
        0.9897,
        (
            (197, 1.0794),
            (131.3, 1.0493),
            (65.7, 1.0194),
            (40, 1.0078),
            (30, 1.0032),
            (20, 0.9987),
            (10, 0.9942),
        ),
    ),
}
"""Gravity at the start: sugar at the start, gravity when dry, and sugar left with the gravity then."""

CHECKS: tuple[Check, ...] = (
    Check(
        "nitrogen_needed",
        "236 g/L of sugar, 0.62 mg/g, the least of four strains",
        TAILLANDIER,
        146,
        lambda: nitrogen_needed(236, 0.62),
        "mg/L",
        0.5,
        "the factor is printed; the product for 236 g/L is a hand multiplication",
    ),
    Check(
        "nitrogen_needed",
        "236 g/L of sugar, 0.91 mg/g, the most of four strains",
        TAILLANDIER,
        215,
        lambda: nitrogen_needed(236, 0.91),
        "mg/L",
        0.5,
        "the factor is printed; the product for 236 g/L is a hand multiplication",
    ),
    Check(
        "nitrogen_needed_low_demand",
        "24 Brix, 236 g/L",
        FACTORS,
        180,
        lambda: nitrogen_needed_low_demand(236),
        "mg/L",
        5,
        "given as about 180, to the nearest ten",
    ),
    Check(
        "nitrogen_needed_medium_demand",
        "24 Brix, 236 g/L",
        FACTORS,
        212,
        lambda: nitrogen_needed_medium_demand(236),
        "mg/L",
        0.5,
    ),
    Check(
        "nitrogen_needed_high_demand",
        "24 Brix, 236 g/L",
        FACTORS,
        295,
        lambda: nitrogen_needed_high_demand(236),
        "mg/L",
        0.5,
    ),
    *(
        Check(
            "nitrogen_needed_by_brix",
            f"{brix} Brix",
            BRIX_TABLE,
            needed,
            lambda brix=brix: nitrogen_needed_by_brix(brix),
            "mg/L",
            0.01,
        )
        for brix, needed in ((21, 200), (23, 250), (25, 300), (27, 350))
    ),
    *(
        Check(
            "nitrogen_needed_by_alcohol",
            f"{alcohol} % vol",
            VITISPHERE,
            needed,
            lambda alcohol=alcohol: nitrogen_needed_by_alcohol(alcohol),
            "mg/L",
            0.01,
        )
        for alcohol, needed in ((12, 150), (14, 210))
    ),
    *(
        Check(
            "nitrogen_needed_base_wine",
            f"{alcohol} % vol",
            COGNAC,
            needed,
            lambda alcohol=alcohol: nitrogen_needed_base_wine(alcohol),
            "mg/L",
            0.01,
        )
        for alcohol, needed in ((8.5, 60), (9.5, 80), (11, 100))
    ),
    Check(
        "nitrogen_from_diammonium_phosphate",
        "1 g/L",
        LA_VIGNE,
        210,
        lambda: nitrogen_from_diammonium_phosphate(1),
        "mg/L",
        5,
        "printed to the nearest ten",
    ),
    *(
        Check(
            "nitrogen_from_diammonium_phosphate",
            f"{dose:g} g/hL",
            MASSES,
            nitrogen,
            lambda dose=dose: nitrogen_from_diammonium_phosphate(dose / 100),
            "mg/L",
            0.006 * nitrogen,
            "worked with 21.2 % and rounded; no print of the table was seen",
        )
        for dose, nitrogen in ((5, 10.6), (10, 21.2), (20, 42.4), (30, 63.6), (50, 106), (100, 212))
    ),
    Check(
        "nitrogen_from_diammonium_phosphate",
        "0.96 g/L",
        US_LIMIT,
        204,
        lambda: nitrogen_from_diammonium_phosphate(0.96),
        "mg/L",
        0.5,
    ),
    Check(
        "diammonium_phosphate_for_nitrogen",
        "210 mg/L",
        LA_VIGNE,
        1,
        lambda: diammonium_phosphate_for_nitrogen(210),
        "g/L",
        0.025,
        "the print rounds 212 to 210, and its last digit is a ten",
    ),
    Check(
        "nitrogen_from_dose",
        "0.1198 g/L at 21.2 %",
        GALLON,
        25.4,
        lambda: nitrogen_from_dose(0.1198, 21.2),
        "mg/L",
        0.05,
    ),
    Check(
        "dose_for_nitrogen",
        "25.4 mg/L at 21.2 %",
        GALLON,
        0.1198,
        lambda: dose_for_nitrogen(25.4, 21.2),
        "g/L",
        0.0003,
    ),
    Check(
        "nitrogen_from_ammonium_sulfate",
        "1 g/L",
        "worked by hand from atomic masses (two N of 14.007 in 132.14 g/mol)",
        212,
        lambda: nitrogen_from_ammonium_sulfate(1),
        "mg/L",
        0.5,
    ),
    Check(
        "nitrogen_after_addition",
        "120 mg/L and 0.731 g/L of diammonium phosphate",
        MASSES,
        275,
        lambda: nitrogen_after_addition(120, 0.731),
        "mg/L",
        0.5,
    ),
    Check(
        "nutrient_addition",
        "20 L with 120 mg/L that needs 275 (24 Brix): diammonium phosphate by weight",
        MASSES,
        14.6,
        lambda: nutrient_addition(120, 275, 20, 1.0).weigh_out_g,
        "g",
        0.05,
    ),
    Check(
        "nutrient_addition",
        "the same must under 0.3 g/L, nitrogen still lacking: 155 less 63.6",
        MASSES,
        91.4,
        lambda: nutrient_addition(120, 275, 20, 0.3).still_lacking_mg_per_l,
        "mg/L",
        0.05,
    ),
    *(
        Check(
            "gravity_at_share_fermented",
            f"must of {start}, {left} of {sugar} g/L left",
            TABARIE,
            gravity,
            lambda start=start, dry=dry, sugar=sugar, left=left: gravity_at_share_fermented(
                start, 100 * (1 - left / sugar), dry
            ),
            "SG",
            0.0006,
            "the fall is a straight line to within 0.6 points",
        )
        for start, (sugar, dry, points) in MUSTS.items()
        for left, gravity in points
    ),
    *(
        Check(
            "share_fermented_percent",
            f"must of {start} at {gravity}",
            TABARIE,
            100 * (1 - left / sugar),
            lambda start=start, dry=dry, gravity=gravity: share_fermented_percent(start, gravity, dry),
            "%",
            0.7,
            "0.6 points of some 90 of fall",
        )
        for start, (sugar, dry, points) in MUSTS.items()
        for left, gravity in points
    ),
    Check(
        "nutrient_timing",
        "must of 1.090, half the sugar fermented (104.7 of 209.4 g/L left)",
        TABARIE,
        1.0413,
        lambda: nutrient_timing(1.09, 1.08, 0.9934).last_ammonium_gravity,
        "SG",
        0.0006,
        "the fall is a straight line to within 0.6 points",
    ),
)
