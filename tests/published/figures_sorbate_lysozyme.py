"""Sorbate and lysozyme: printed figures against our sums."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from checks import Check
from diagnose.calculators import lysozyme, sorbate

PEYNAUD = "from memory: Peynaud, Knowing and Making Wine, sorbic acid by alcohol and pH"
NEEDED = {
    10: (150, 175, 200),
    11: (125, 150, 175),
    12: (100, 125, 150),
    13: (75, 100, 125),
    14: (50, 75, 100),
}
UC_DAVIS = "UC Davis Viticulture and Enology, wine microbiology reagent page on sorbic acid"
TECHNILOIRE = "Techniloire (French technical body): 20 g/hL of sorbic acid is 27.5 g/hL of potassium sorbate"
TECHNILOIRE_NOTE = "The print is rounded up: from the molar masses 20 g/hL of acid is 26.8 g/hL of the salt."
MOLAR = "M. Dharmadhikari (Iowa State / Southwest Missouri State), sorbic acid note: 112.13 and 150.22 g/mol"
OIV_SORBIC = "OIV International Code of Oenological Practices, II.3.4.5: at most 200 mg/L"
OIV_LYSOZYME = (
    "OIV International Code of Oenological Practices, II.3.4.12: at most 500 mg/L, must and wine together"
)
BY_HAND_NOTE = "Nothing printed was found for this sum; worked by hand."


def _sorbate() -> Iterator[Check]:
    for alcohol, row in NEEDED.items():
        for ph, printed in zip((3.1, 3.3, 3.5), row, strict=True):
            yield Check(
                "sorbic_acid_needed",
                f"{alcohol} % vol, pH {ph}",
                PEYNAUD,
                printed,
                partial(sorbate.sorbic_acid_needed, alcohol, ph),
                "mg/L",
                0.01,
            )
    yield Check(
        "sorbic_acid_needed",
        "the hardest wine of the table, 10 % vol and pH 3.5, against the fungistatic dose",
        UC_DAVIS,
        200,
        partial(sorbate.sorbic_acid_needed, 10, 3.5),
        "mg/L",
        0.01,
    )
    yield Check(
        "sorbate_addition",
        "acid needed in the hardest wine of the table, against the fungistatic dose",
        UC_DAVIS,
        200,
        lambda: sorbate.sorbate_addition(10, 3.5, 100, 0.8, 300, 0, 0).sorbic_acid_needed_mg_per_l,
        "mg/L",
        0.01,
    )
    yield Check(
        "sorbate_addition",
        "grams for 200 mg/L of acid in 100 L",
        TECHNILOIRE,
        27.5,
        lambda: sorbate.sorbate_addition(10, 3.5, 100, 0.8, 300, 0, 0).potassium_sorbate_g,
        "g",
        0.75,
        TECHNILOIRE_NOTE,
    )
    yield Check(
        "potassium_sorbate_g",
        "200 mg/L of acid in 100 L",
        TECHNILOIRE,
        27.5,
        partial(sorbate.potassium_sorbate_g, 200, 100),
        "g",
        0.75,
        TECHNILOIRE_NOTE,
    )
    yield Check(
        "potassium_sorbate_from_sorbic_acid",
        "112.13 of acid",
        MOLAR,
        150.22,
        partial(sorbate.potassium_sorbate_from_sorbic_acid, 112.13),
        "mg/L",
        0.005,
    )
    yield Check(
        "sorbic_acid_from_potassium_sorbate",
        "150.22 of salt",
        MOLAR,
        112.13,
        partial(sorbate.sorbic_acid_from_potassium_sorbate, 150.22),
        "mg/L",
        0.005,
    )
    yield Check(
        "sorbic_acid_from_potassium_sorbate",
        "250 mg/L of salt is 187 mg/L of acid",
        "L. Eisenman, Stabilizing sweet wines",
        187,
        partial(sorbate.sorbic_acid_from_potassium_sorbate, 250),
        "mg/L",
        0.5,
    )
    yield Check(
        "potassium_sorbate_solution_ml",
        "112.13 mg/L of acid in 10 L is 1.5022 g of salt; 100 g/L holds that in 15.022 mL",
        MOLAR,
        15.022,
        partial(sorbate.potassium_sorbate_solution_ml, 112.13, 10, 100),
        "mL",
        0.001,
    )
    for name, ours in (
        ("sorbic_acid_undissociated_share", partial(sorbate.sorbic_acid_undissociated_share, 4.76)),
        ("sorbic_acid_undissociated", partial(sorbate.sorbic_acid_undissociated, 100, 4.76)),
    ):
        yield Check(
            name,
            "half of it at the pH of the constant, 4.76 (definition of a dissociation constant); 100 mg/L",
            UC_DAVIS,
            50,
            ours,
            "%" if "share" in name else "mg/L",
            0.6,
            "0.005 of the constant, its rounding, is 0.6 % here.",
        )
    yield Check(
        "room_under_sorbic_acid_limit",
        "150 mg/L under 200",
        OIV_SORBIC,
        50,
        partial(sorbate.room_under_sorbic_acid_limit, 150, 200),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )


def _lysozyme() -> Iterator[Check]:
    yield Check(
        "lysozyme_g",
        "500 mg/L, the limit, in 100 L is 50 g",
        OIV_LYSOZYME,
        50,
        partial(lysozyme.lysozyme_g, 500, 100),
        "g",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "lysozyme_solution_ml",
        "50 g in a solution of 50 g/L is a litre",
        OIV_LYSOZYME,
        1000,
        partial(lysozyme.lysozyme_solution_ml, 500, 100),
        "mL",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "room_under_lysozyme_limit",
        "200 mg/L given to the must under 500",
        OIV_LYSOZYME,
        300,
        partial(lysozyme.room_under_lysozyme_limit, 200, 500),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "lysozyme_addition",
        "250 mg/L after 200 to the must, limit 500",
        OIV_LYSOZYME,
        50,
        lambda: lysozyme.lysozyme_addition(250, 100, 500, 200).room_left_mg_per_l,
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )


CHECKS = (*_sorbate(), *_lysozyme())
