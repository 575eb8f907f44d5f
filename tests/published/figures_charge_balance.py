"""Printed figures for the charge balance: standard buffers, dissociation constants, direction of the pH."""

from __future__ import annotations

from collections.abc import Callable

from checks import Check
from diagnose.calculators.charge_balance import additions, balance, buffering, constants, losses

PRENESTI = (
    "Prenesti, Berto, Toso, Daniele, Acid-base chemistry of white wine, Sci. World J. 2012:249041, table 4"
)
AWRI = "Australian Wine Research Institute, Ask the AWRI: KHT deposits and cold stability"
WATERHOUSE = "Waterhouse, Sacks, Jeffery, Understanding Wine Chemistry (Wiley, 2016), ch. 26.1"
DARTIGUENAVE = (
    "Dartiguenave et al. 2000, in Ribéreau-Gayon, Glories, Maujean, Dubourdieu, Handbook of Enology vol. 2, 3rd ed. "
    "(Wiley, 2021): buffer capacity of single acids in water"
)
VIRGINIA = (
    "Virginia Winemakers Research Exchange, Blenheim 2021 Cabernet Franc, timing and amount of tartaric acid"
)
STANDARDS = "from memory: primary pH standards of the US National Bureau of Standards at 25 C"
APPROXIMATE = "from memory: CRC Handbook of Chemistry and Physics, approximate pH of acids of 0.1 eq/L"
MODEL = "from memory: a separate charge-balance model with the same constants in water, worked out for a collection"
HAND = "worked by hand from the law of mass action and molar masses"

_WATER = {"alcohol_percent": 0.0, "ionic_strength_mol_per_l": 0.0}
_WHITE = (2.5, 2.0, 0.3, 0.2, 0.3, 0.6)
"""The wine of the separate model: tartaric, malic, lactic, citric, acetic, succinic acid in g/L."""


def _concentration_constants(acid: str, alcohol: float, strength: float) -> tuple[float, ...]:
    """The constants with hydrogen as a concentration too, as Prenesti et al. print them."""
    rows = constants.acid_constants(alcohol, strength)
    activity = constants.pks("acetic", 0, 0)[0] - constants.pks("acetic", 0, strength)[0]
    return tuple(row.pk - activity for row in rows if row.acid == acid)


def _cumulative(acid: str, steps: int, alcohol: float, strength: float) -> Callable[[], float]:
    """Log beta of so many hydrogens, the last lost counted first."""
    return lambda: sum(_concentration_constants(acid, alcohol, strength)[-steps:])


_PRENESTI = (
    ("lactic", 1, ((3.70, 3.87), (3.66, 3.83))),
    ("succinic", 1, ((5.319, 5.49), (5.24, 5.39))),
    ("succinic", 2, ((9.347, 9.68), (9.23, 9.59))),
)


def _nearest(acid_grams: tuple[float, ...], printed: float) -> float:
    """The buffer capacity nearest to the print between pH 3.5 and 4.0."""
    found = (buffering.buffer_capacity(3.5 + step / 100, *acid_grams, **_WATER) for step in range(51))
    return min(found, key=lambda value: abs(value - printed))


_BUFFERS = (
    ("tartaric", 0, 150.09, 0.71, 0.29, 5.0),
    ("malic", 1, 134.09, 0.56, 0.43, 4.6),
    ("succinic", 5, 118.09, 0.56, -0.0138, 4.7),
    ("citric", 3, 192.12, 0.57, 0.73, 3.7),
)
_NO_PH = (
    "the pH of the measurement is not in what was read: the check is that our value reaches the printed one between "
    "pH 3.5 and 4.0"
)


def _only(place: int, grams: float) -> tuple[float, ...]:
    return tuple(grams if each == place else 0.0 for each in range(6))


def _sign(number: float) -> float:
    return (number > 0) - (number < 0)


CHECKS: tuple[Check, ...] = (
    Check(
        "ph_from_acids",
        "potassium hydrogen tartrate, saturated: 0.034 mol/L",
        STANDARDS,
        3.557,
        lambda: balance.ph_from_acids(
            34.1, 34.1 * 0.150086, 0, alcohol_percent=0, ionic_strength_mol_per_l=0.04
        ),
        "pH",
        0.015,
        "our constants have two decimals and differ by 0.05 from book to book",
    ),
    Check(
        "ph_from_acids",
        "potassium dihydrogen citrate, 0.05 mol/kg",
        STANDARDS,
        3.776,
        lambda: balance.ph_from_acids(
            50, 0, 0, citric_g_per_l=9.606, alcohol_percent=0, ionic_strength_mol_per_l=0.052
        ),
        "pH",
        0.015,
        "our constants have two decimals and differ by 0.05 from book to book",
    ),
    *(
        Check(
            "ph_from_acids",
            f"{name} acid, 0.1 eq/L",
            APPROXIMATE,
            printed,
            lambda place=place, grams=grams: balance.ph_from_acids(
                0, *_only(place, grams), alcohol_percent=0, ionic_strength_mol_per_l=0.005
            ),
            "pH",
            0.2,
            "the table calls itself approximate; malic and citric acid are off by 0.14 to 0.17, the others by less "
            "than 0.07",
        )
        for name, place, grams, printed in (
            ("tartaric", 0, 7.504, 2.2),
            ("malic", 1, 6.704, 2.2),
            ("lactic", 2, 9.008, 2.4),
            ("citric", 3, 6.404, 2.2),
            ("acetic", 4, 6.005, 2.9),
            ("succinic", 5, 5.904, 2.7),
        )
    ),
    Check(
        "cation_excess",
        "potassium dihydrogen citrate, 0.05 mol/kg, pH 3.776: its potassium",
        STANDARDS,
        50,
        lambda: balance.cation_excess(
            3.776, 0, 0, citric_g_per_l=9.606, alcohol_percent=0, ionic_strength_mol_per_l=0.052
        ),
        "meq/L",
        0.5,
        "0.015 pH at about 27 meq/L per pH",
    ),
    Check(
        "cation_excess",
        "potassium hydrogen tartrate, saturated, pH 3.557: its potassium",
        STANDARDS,
        34.1,
        lambda: balance.cation_excess(
            3.557, 34.1 * 0.150086, 0, alcohol_percent=0, ionic_strength_mol_per_l=0.04
        ),
        "meq/L",
        0.5,
        "0.015 pH at about 27 meq/L per pH",
    ),
    *(
        Check(
            "acid_constants",
            f"{acid} acid, log beta {steps}, ionic strength {strength}, alcohol {alcohol} %",
            PRENESTI,
            printed,
            _cumulative(acid, steps, alcohol, strength),
            "pK",
            0.05,
            "measured in potassium chloride; ours start from remembered constants in water, and one rise with "
            "alcohol stands for all; hydrogen taken as a concentration for this check",
        )
        for acid, steps, table in _PRENESTI
        for strength, row in zip((0.05, 0.1), table, strict=True)
        for alcohol, printed in zip((0, 12), row, strict=True)
    ),
    Check(
        "activity_coefficient",
        "sodium chloride, 0.1 mol/L, mean of both ions",
        "from memory: CRC Handbook of Chemistry and Physics, mean activity coefficients at 25 C",
        0.778,
        lambda: constants.activity_coefficient(0.1),
        "",
        0.01,
        "the Davies equation knows no single salt; potassium chloride has 0.770",
    ),
    Check(
        "pivot_ph",
        "pH of most bitartrate, wine",
        AWRI,
        3.65,
        constants.pivot_ph,
        "pH",
        0.05,
        "printed as 3.6 to 3.7",
    ),
    Check(
        "pivot_ph",
        "pH of most bitartrate, wine",
        WATERHOUSE,
        3.65,
        constants.pivot_ph,
        "pH",
        0.05,
        "printed as around 3.65",
    ),
    *(
        Check(
            "tartrate_species",
            f"bitartrate of all tartrate at pH {ph}",
            WATERHOUSE,
            60,
            lambda ph=ph: constants.tartrate_species(ph).bitartrate_percent,
            "%",
            10,
            "printed as 50 to 70 % over the pH of wine",
        )
        for ph in (3.2, 3.4, 3.6, 3.8)
    ),
    *(
        Check(
            "tartrate_species",
            f"{what} at pH 3.50 in water, constants 3.04 and 4.37",
            HAND,
            printed,
            lambda field=field: getattr(constants.tartrate_species(3.5, 0, 0), field),
            "%",
            0.05,
        )
        for what, field, printed in (
            ("free acid", "tartaric_acid_percent", 23.4),
            ("bitartrate", "bitartrate_percent", 67.5),
            ("tartrate", "tartrate_percent", 9.1),
        )
    ),
    *(
        Check(
            "strong_ion_difference",
            what,
            HAND,
            printed,
            ours,
            "meq/L",
            0.01,
            "nothing printed at hand; sum written out",
        )
        for what, printed, ours in (
            (
                "1 g/L bitartrate brings 208 mg/L potassium, 5.31 meq/L",
                5.32,
                lambda: balance.strong_ion_difference(208),
            ),
            (
                "mg/L: K 1000, Na 20, Ca 80, Mg 90, sulfate 400, chloride 50: 25.58 + 0.87 + 3.99 + 7.41 - 8.33 - 1.41",
                28.11,
                lambda: balance.strong_ion_difference(1000, 20, 80, 90, 0, 400, 50),
            ),
        )
    ),
    *(
        Check(
            "buffer_capacity",
            f"{acid} acid, 1 g/L in water",
            DARTIGUENAVE,
            printed,
            lambda place=place, printed=printed: _nearest(_only(place, 1.0), printed),
            "meq/L per pH",
            0.05,
            _NO_PH,
        )
        for acid, place, _, _, _, printed in _BUFFERS
    ),
    *(
        Check(
            "buffer_capacity",
            f"{acid} acid, 40 mmol/L in water: {slope} x 40 + {start}",
            DARTIGUENAVE,
            slope * 40 + start,
            lambda place=place, molar=molar, printed=slope * 40 + start: _nearest(
                _only(place, 0.04 * molar), printed
            ),
            "meq/L per pH",
            0.5,
            _NO_PH + "; slopes printed to two digits are worth 0.2 here",
        )
        for acid, place, molar, slope, start, _ in _BUFFERS
    ),
    Check(
        "buffer_capacity",
        "a white of six acids at pH 3.30, in water",
        MODEL,
        25.4,
        lambda: buffering.buffer_capacity(3.30, *_WHITE, **_WATER),
        "meq/L per pH",
        0.05,
    ),
    Check(
        "measured_buffer_capacity",
        "2 mL of 0.1 mol/L on 50 mL raise the pH by 0.10: 0.2 mmol / 0.05 L / 0.1",
        "worked by hand from the definition of buffer capacity",
        40,
        lambda: buffering.measured_buffer_capacity(2, 0.1, 50, 0.10),
        "meq/L per pH",
        1e-9,
        "nothing printed at hand; sum written out",
    ),
    Check(
        "ph_after_tartaric_by_buffer",
        "1.5009 g/L (10 mmol/L) in water at pH 4.37, its second pK, buffering 40: 4.37 - 10 x 0.9771 x 1.5 / 40",
        "worked by hand from mass action: at its second pK half of what left the first form has two charges",
        4.0036,
        lambda: buffering.ph_after_tartaric_by_buffer(4.37, 1.5009, 40, 0, 0),
        "pH",
        0.0005,
        "nothing printed at hand; the first form is 1 / (1 + 2 x 10^1.33) = 0.0229 of the acid",
    ),
    Check(
        "ph_after_tartaric_by_buffer",
        "0.86 g/L after malolactic from pH 3.95, buffering 40",
        VIRGINIA,
        3.69,
        lambda: buffering.ph_after_tartaric_by_buffer(3.95, 0.86),
        "pH",
        0.1,
        "the wine moved 0.26, ours 0.17: its buffering was not measured, and 27 instead of 40 would give the print",
    ),
    *(
        Check(
            "ph_after_bitartrate",
            f"a white of six acids from pH {start}, 1 g/L dropped, in water",
            MODEL,
            end,
            lambda start=start: losses.ph_after_bitartrate(start, 1, *_WHITE, **_WATER),
            "pH",
            tolerance,
            "same constants, another program; the first row is kept to two decimals",
        )
        for start, end, tolerance in (
            (3.2, 3.11, 0.005),
            (3.5, 3.466, 0.0006),
            (3.65, 3.641, 0.0006),
            (3.8, 3.815, 0.0006),
            (4.0, 4.048, 0.0006),
        )
    ),
    *(
        Check(
            "ph_after_bitartrate",
            f"direction of the pH from {start}: -1 falls, 1 rises",
            AWRI,
            direction,
            lambda start=start: _sign(losses.ph_after_bitartrate(start, 1, *_WHITE) - start),
            "",
            0,
            "printed as falling below and rising above 3.6 to 3.7",
        )
        for start, direction in ((3.2, -1), (3.4, -1), (3.6, -1), (3.7, 1), (3.8, 1), (4.0, 1))
    ),
    *(
        Check(
            "bitartrate_effect",
            f"direction of the pH from {start}: -1 falls, 1 rises",
            AWRI,
            direction,
            lambda start=start: _sign(losses.bitartrate_effect(start, 1, *_WHITE).ph_change),
            "",
            0,
            "printed as falling below and rising above 3.6 to 3.7",
        )
        for start, direction in ((3.4, -1), (3.8, 1))
    ),
    Check(
        "bitartrate_effect",
        "fall of acidity for 1 g/L dropped",
        "worked by hand from one acid hydrogen in each bitartrate: 75.04 / 188.18",
        0.399,
        lambda: (
            -losses.bitartrate_effect(3.5, 1, *_WHITE).ta_after_g_per_l
            + losses.bitartrate_effect(3.5, 1, *_WHITE).ta_before_g_per_l
        ),
        "g/L",
        0.0005,
    ),
    Check(
        "ph_after_malolactic",
        "rise from pH 3.40 with 3 g/L malic acid turned",
        "from memory: rise of 0.1 to 0.3 in malolactic fermentation",
        0.2,
        lambda: losses.ph_after_malolactic(3.40, 2.5, 3.0, 0.1, 0.2, 0.3, 0.6) - 3.40,
        "pH",
        0.1,
        "printed figures are ranges",
    ),
    Check(
        "malolactic_effect",
        "lactic acid from 3 g/L malic acid: 3 x 90.08 / 134.09",
        "worked by hand from one lactic acid for each malic acid",
        2.015,
        lambda: losses.malolactic_effect(3.40, 2.5, 3.0, 0.1, 0.2, 0.3, 0.6).lactic_made_g_per_l,
        "g/L",
        0.0005,
        "nothing printed at hand; sum written out",
    ),
    *(
        Check(
            "ph_after_acid",
            f"a white of six acids from pH 3.30, {grams:g} g/L tartaric acid, in water",
            MODEL,
            end,
            lambda grams=grams: additions.ph_after_acid(
                3.30, *_WHITE, tartaric_added_g_per_l=grams, **_WATER
            ),
            "pH",
            0.001,
            "same constants, another program; the free hydrogen and molar masses are its own",
        )
        for grams, end in ((0.5, 3.213), (1.0, 3.139), (2.0, 3.017))
    ),
    *(
        Check(
            "tartaric_for_ph",
            f"a white of six acids from pH 3.30 to {end}, 1 L, in water",
            MODEL,
            grams,
            lambda end=end: additions.tartaric_for_ph(3.30, end, 1, *_WHITE, **_WATER),
            "g",
            0.01,
            "half of the last digit of the pH is 0.004 g",
        )
        for grams, end in ((0.5, 3.213), (1.0, 3.139), (2.0, 3.017))
    ),
    Check(
        "ph_after_deacidification",
        "a white of six acids from pH 3.30, 1 g/L potassium bicarbonate, nothing falling, in water",
        MODEL,
        3.683,
        lambda: additions.ph_after_deacidification(3.30, *_WHITE, potassium_bicarbonate_g_per_l=1, **_WATER),
        "pH",
        0.001,
        "same constants, another program; the free hydrogen and molar masses are its own",
    ),
    Check(
        "potassium_bicarbonate_for_ph",
        "a white of six acids from pH 3.30 to 3.683, 1 L, in water",
        MODEL,
        1.0,
        lambda: additions.potassium_bicarbonate_for_ph(3.30, 3.683, 1, *_WHITE, **_WATER),
        "g",
        0.003,
        "half of the last digit of the pH is 0.0013 g",
    ),
    Check(
        "ta_from_acids",
        "potassium hydrogen tartrate, 0.0341 mol/L, pH 3.557: one hydrogen each, 34.1 meq/L x 75.04",
        HAND,
        2.559,
        lambda: balance.ta_from_acids(
            3.557, 34.1 * 0.150086, 0, alcohol_percent=0, ionic_strength_mol_per_l=0.04
        ),
        "g/L",
        0.03,
        "the pH of the standard, from memory, is 0.01 off ours: 0.02 g/L",
    ),
)
