"""Sulfur dioxide: printed tables against our sums."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from checks import Check
from diagnose.calculators.so2 import additions, binding, constant, molecular, plan

OIV = (
    "OIV, Compendium of International Methods of Wine and Must Analysis, OIV-MA-AS323-04C "
    "Sulfur dioxide (molecular method), Type IV, Table 1"
)
TEMPERATURES = (20, 25, 30, 35, 40)
TABLE_1 = {
    0: (1.798, 2.0, 2.219, 2.334, 2.493),
    5: (1.897, 2.098, 2.299, 2.397, 2.527),
    10: (1.997, 2.198, 2.394, 2.488, 2.606),
    15: (2.099, 2.301, 2.503, 2.607, 2.728),
}
TABLE_1_MEMORY = {20: (2.203, 2.406, 2.628, 2.754, 2.895)}
TABLE_2_MEMORY = {
    0: (1.723, 1.925, 2.143, 2.257, 2.416),
    5: (1.819, 2.02, 2.22, 2.317, 2.446),
    10: (1.916, 2.116, 2.311, 2.405, 2.522),
    15: (2.014, 2.216, 2.417, 2.52, 2.64),
    20: (2.114, 2.317, 2.538, 2.663, 2.803),
}

UC = (
    "University of California Cooperative Extension, Enology Briefs I (no. 1), Feb/Mar 1982, as adapted in a later "
    "teaching handout"
)
UC_1982: dict[float, tuple[float, float | None, float]] = {
    2.9: (7.5, None, 7),
    2.95: (6.6, 12, 7),
    3.0: (6.1, 13, 8),
    3.05: (5.3, 15, 9),
    3.1: (4.9, 16, 10),
    3.15: (4.3, 19, 12),
    3.2: (3.9, 21, 13),
    3.25: (3.4, 23, 15),
    3.3: (3.1, 26, 16),
    3.35: (2.7, 29, 18),
    3.4: (2.5, 32, 20),
    3.45: (2.2, 37, 23),
    3.5: (2.0, 40, 25),
    3.55: (1.8, 46, 29),
    3.6: (1.6, 50, 31),
    3.65: (1.4, 57, 36),
    3.7: (1.3, 63, 39),
    3.75: (1.1, 72, 45),
    3.8: (1.0, 79, 49),
    3.85: (0.9, 91, 57),
    3.9: (0.8, 99, 62),
    3.95: (0.7, 114, 71),
    4.0: (0.7, 125, 78),
}
"""pH: percent molecular, free for 0.8, free for 0.5 mg/L molecular; one cell is unreadable in the copy."""
UC_NOTE = (
    "The half-step rows are printed up to 3 mg/L higher than the form behind the whole tenths gives, and their "
    "percentages low; whole tenths are rounded, mostly upward."
)

CSU = "Colorado State University Enology Program (S. Menke), SO2, Acid, Sorbate Considerations"
CSU_GRAMS_PER_GALLON = {
    1: 0.0064,
    10: 0.064,
    20: 0.1281,
    25: 0.1601,
    30: 0.1921,
    50: 0.3202,
    75: 0.4803,
    100: 0.6404,
}
PRACTICAL = (
    "Practical Winery & Vineyard, in Wines & Vines, January 2014, article on SO2 management: 57.6 % SO2"
)
AUSTRIA = "Austria, Federal wine treatment ordinance, section 3: 95 % of salt is at least 54.7 % SO2"
WIKI = "Wikilivres, Oenologie, chapter on sulfur dioxide (open textbook, French)"
WIKI_NOTE = (
    "The pH of the printed table is not stated where it was read; 3.0 is assumed, and 20 C where no temperature is "
    "given. The figures lie within 0.06 pH of ours, which is 14 % of a share."
)
BY_DEFINITION = f"{OIV}: at the pH of the constant, half is molecular (definition of a dissociation constant)"
BY_HAND = "worked by hand from the definition of "
BY_HAND_NOTE = "Nothing printed was found for this sum."


def _constants() -> Iterator[Check]:
    for table, source, tolerance, ionic, note in (
        (TABLE_1, OIV, 0.0005, 0.0, "At ionic strength 0 the constant is that of Table 1."),
        (TABLE_1_MEMORY, f"from memory: {OIV}, row 20 % vol", 0.0005, 0.0, ""),
        (
            TABLE_2_MEMORY,
            f"from memory: {OIV.replace('Table 1', 'Table 2')}",
            0.0015,
            0.038,
            "Ours comes from Table 1 and the theory of Debye and Hueckel; the printed table is rounded twice.",
        ),
    ):
        for alcohol, row in table.items():
            for temperature, printed in zip(TEMPERATURES, row, strict=True):
                yield Check(
                    "so2_constant",
                    f"{alcohol} % vol, {temperature} C, ionic strength {ionic:g}",
                    source,
                    printed,
                    partial(constant.so2_constant, alcohol, temperature, ionic),
                    "pK",
                    tolerance,
                    note,
                )


def _half() -> Iterator[Check]:
    """The cells of Table 1 that are a pH of wine: there free is twice the molecular."""
    for alcohol, row in TABLE_1.items():
        for temperature, pk in zip(TEMPERATURES, row, strict=True):
            if pk < molecular.LOWEST_PH:
                continue
            wine = (alcohol, temperature, 0.0)
            what = f"{alcohol} % vol, {temperature} C, ionic strength 0"
            yield Check(
                "molecular_so2_share",
                f"pH {pk}, {what}",
                BY_DEFINITION,
                50,
                partial(molecular.molecular_so2_share, pk, *wine),
                "%",
                0.06,
                "0.0005 of the constant, its rounding, is 0.06 % here.",
            )
            yield Check(
                "molecular_so2",
                f"10 mg/L free at pH {pk}, {what}",
                BY_DEFINITION,
                5,
                partial(molecular.molecular_so2, 10, pk, *wine),
                "mg/L",
                0.006,
            )
            yield Check(
                "free_so2_for_molecular",
                f"5 mg/L molecular at pH {pk}, {what}",
                BY_DEFINITION,
                10,
                partial(molecular.free_so2_for_molecular, 5, pk, *wine),
                "mg/L",
                0.012,
            )
            yield Check(
                "ph_for_free_so2",
                f"10 mg/L free for 5 molecular, {what}",
                BY_DEFINITION,
                pk,
                partial(molecular.ph_for_free_so2, 10, 5, *wine),
                "pH",
                0.0005,
            )
            yield Check(
                "ph_fall_for_free_so2",
                f"from pH 3.5, 10 mg/L free for 5 molecular, {what}",
                BY_DEFINITION,
                3.5 - pk,
                partial(molecular.ph_fall_for_free_so2, 3.5, 10, 5, *wine),
                "pH",
                0.0005,
            )


def _textbook() -> Iterator[Check]:
    for alcohol, temperature, printed in ((0, 20, 4.88), (20, 20, 10.95), (10, 18, 7.36), (10, 38, 25.55)):
        yield Check(
            "molecular_so2_share",
            f"{alcohol} % vol, {temperature} C",
            WIKI,
            printed,
            partial(molecular.molecular_so2_share, 3.0, alcohol, temperature),
            "%",
            0.14 * printed,
            WIKI_NOTE,
        )


def _uc_table() -> Iterator[Check]:
    for ph, (percent, for_08, for_05) in UC_1982.items():
        tenth = round(ph * 10, 6) == round(ph * 10)
        yield Check(
            "molecular_so2_share_plain",
            f"pH {ph}",
            UC,
            percent,
            partial(molecular.molecular_so2_share_plain, ph),
            "%",
            0.065 if tenth else 0.2,
            UC_NOTE + " At 4.0 the print has 0.7 for 0.64.",
        )
        for target, free in ((0.8, for_08), (0.5, for_05)):
            if free is None:
                continue
            slack = 0.65 if tenth else 3.0
            yield Check(
                "free_so2_for_molecular_plain",
                f"{target} mg/L molecular at pH {ph}",
                UC,
                free,
                partial(molecular.free_so2_for_molecular_plain, target, ph),
                "mg/L",
                slack,
                UC_NOTE,
            )
            yield Check(
                "molecular_so2_plain",
                f"{free} mg/L free at pH {ph}",
                UC,
                target,
                partial(molecular.molecular_so2_plain, free, ph),
                "mg/L",
                target * slack / (free - slack),
                UC_NOTE + " The slack in the free, carried to the molecular.",
            )
            yield Check(
                "ph_for_free_so2_plain",
                f"{free} mg/L free for {target} molecular",
                UC,
                ph,
                partial(molecular.ph_for_free_so2_plain, free, target),
                "pH",
                0.03 if free > 20 else 0.05,
                UC_NOTE + " Half a mg/L of 8 is 0.03 pH.",
            )
            yield Check(
                "so2_addition",
                f"free needed for {target} at pH {ph}",
                UC,
                free,
                partial(_planned_free, target, ph),
                "mg/L",
                slack,
                UC_NOTE,
            )
    yield Check(
        "ph_fall_for_free_so2_plain",
        "pH 3.8, free 40 for 0.8 molecular: the table has 40 at 3.5",
        UC,
        0.3,
        partial(molecular.ph_fall_for_free_so2_plain, 3.8, 40, 0.8),
        "pH",
        0.01,
        "40 is rounded from 39.98.",
    )
    yield Check(
        "ph_fall_for_free_so2_plain",
        "pH 4.0, free 50 for 0.8 molecular: the table has 50 at 3.6",
        UC,
        0.4,
        partial(molecular.ph_fall_for_free_so2_plain, 4.0, 50, 0.8),
        "pH",
        0.01,
        "50 is rounded from 50.1.",
    )


def _planned_free(target: float, ph: float) -> float:
    """The plain line of the worksheet, the total still far under the limit."""
    _, plain = plan.so2_addition(target, 10, 30, ph, 12, 100, 2000)
    return plain.free_needed_mg_per_l


def _shares_in_print() -> Iterator[Check]:
    source = "J. Ting, Winemakers Research Exchange (Virginia), SO2 chemistry in a nutshell"
    for ph, printed, tolerance in ((3.0, 5.6, 0.05), (4.0, 0.585, 0.001)):
        yield Check(
            "molecular_so2_share_plain",
            f"pH {ph}, constant 1.77",
            source,
            printed,
            partial(molecular.molecular_so2_share_plain, ph, 1.77),
            "%",
            tolerance,
            "The print does not name its constant; both of its figures give 1.77.",
        )


def _powders() -> Iterator[Check]:
    for so2, printed in CSU_GRAMS_PER_GALLON.items():
        yield Check(
            "potassium_metabisulfite_g",
            f"{so2} mg/L in a US gallon",
            CSU,
            printed,
            partial(additions.potassium_metabisulfite_g, so2, 3.785411784),
            "g",
            0.03 * printed,
            "The printed table counts 3.72 L to the gallon and 58.1 % SO2 in the salt, more than pure salt holds.",
        )
    yield Check(
        "potassium_metabisulfite_g",
        "57.6 mg/L in 1 L is 0.1 g",
        PRACTICAL,
        0.1,
        partial(additions.potassium_metabisulfite_g, 57.6, 1),
        "g",
        0.0001,
    )
    yield Check(
        "so2_from_potassium_metabisulfite",
        "1 g in 1 L",
        PRACTICAL,
        576,
        partial(additions.so2_from_potassium_metabisulfite, 1, 1),
        "mg/L",
        0.5,
    )
    yield Check(
        "so2_from_potassium_metabisulfite",
        "1 g of 95 % in 1 L",
        AUSTRIA,
        547,
        partial(additions.so2_from_potassium_metabisulfite, 1, 1, 95),
        "mg/L",
        0.5,
    )
    yield Check(
        "powder_strength",
        "1 g in 1 L raised the total by 547 mg/L",
        AUSTRIA,
        95,
        partial(additions.powder_strength, 20, 567, 1, 1),
        "%",
        0.1,
    )
    yield Check(
        "potassium_metabisulfite_solution_ml",
        "57.6 mg/L in 10 L by a 10 % solution, 57.6 g SO2 in the litre",
        PRACTICAL,
        10,
        partial(additions.potassium_metabisulfite_solution_ml, 57.6, 10),
        "mL",
        0.01,
    )
    molar = "worked by hand from molar masses: Na2S2O5 190.09, SO2 64.06, so 0.674 g SO2 in a gram"
    yield Check(
        "sodium_metabisulfite_g",
        "50 mg/L in 100 L: 5 g SO2 / 0.674",
        molar,
        7.418,
        partial(additions.sodium_metabisulfite_g, 50, 100),
        "g",
        0.006,
        BY_HAND_NOTE + " Rounding of 0.674.",
    )
    yield Check(
        "so2_from_sodium_metabisulfite",
        "10 g in 100 L: 10 x 0.674 x 10",
        molar,
        67.4,
        partial(additions.so2_from_sodium_metabisulfite, 10, 100),
        "mg/L",
        0.05,
        BY_HAND_NOTE,
    )
    yield Check(
        "so2_water_ml",
        "30 mg/L in 100 L is 3 g; water of 60 g/L holds that in 50 mL",
        BY_HAND + "g/L",
        50,
        partial(additions.so2_water_ml, 30, 100, 60),
        "mL",
        1e-9,
        BY_HAND_NOTE,
    )


def _totals() -> Iterator[Check]:
    yield Check(
        "total_so2_after_addition",
        "90 and 30",
        BY_HAND + "total sulfur dioxide: free and bound",
        120,
        partial(additions.total_so2_after_addition, 90, 30),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "room_under_so2_limit",
        "total 310 under 350, the limit of 27 CFR 4.22(b)(1)",
        BY_HAND + "a limit",
        40,
        partial(additions.room_under_so2_limit, 310, 350),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "bound_so2",
        "total 120, free 25",
        BY_HAND + "bound sulfur dioxide: total less free",
        95,
        partial(binding.bound_so2, 120, 25),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )


def _binding() -> Iterator[Check]:
    molar = (
        "worked by hand from molar masses 64.06 and 44.05, one to one (adduct: Coetzee, Buica and du Toit 2018, "
        "S. Afr. J. Enol. Vitic. 39(2))"
    )
    yield Check(
        "so2_bound_by_acetaldehyde",
        "50 mg/L",
        molar,
        72.7,
        partial(binding.so2_bound_by_acetaldehyde, 50),
        "mg/L",
        0.05,
        BY_HAND_NOTE,
    )
    yield Check(
        "acetaldehyde_share_of_bound_so2",
        "50 mg/L, total 130, free 39.1: 72.7 of 90.9",
        molar,
        80,
        partial(binding.acetaldehyde_share_of_bound_so2, 50, 130, 39.1),
        "%",
        0.05,
        BY_HAND_NOTE + " 80 % is the share that the Winemakers Research Exchange prints for whites.",
    )
    yield Check(
        "share_staying_free",
        "30 added, free from 10 to 31: 21 of 30",
        BY_HAND + "a share",
        70,
        partial(binding.share_staying_free, 30, 10, 31),
        "%",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "addition_to_raise_free_so2",
        "20 more free, a third binds: 20 / (2/3)",
        BY_HAND + "the rule of thirds (common practice)",
        30,
        partial(binding.addition_to_raise_free_so2, 20),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "free_so2_after_addition",
        "10 free, 30 added, a third binds",
        BY_HAND + "the rule of thirds (common practice)",
        30,
        partial(binding.free_so2_after_addition, 10, 30),
        "mg/L",
        1e-9,
        BY_HAND_NOTE,
    )
    yield Check(
        "so2_measure_again",
        "48 hours of rest before the reading",
        "EU Regulation (EEC) 2676/90, annex, rapid iodine method, note 4",
        2,
        lambda: binding.so2_measure_again()[0].day,
        "days",
        0,
    )


CHECKS = (
    *_constants(),
    *_half(),
    *_textbook(),
    *_uc_table(),
    *_shares_in_print(),
    *_powders(),
    *_totals(),
    *_binding(),
)
