"""Printed figures for titratable acidity: units, titration, raising and lowering it."""

from __future__ import annotations

from checks import Check
from diagnose.calculators.acid import additions, deacidification, losses, titration, units

HANDBOOK = (
    "Ribéreau-Gayon, Glories, Maujean, Dubourdieu, Handbook of Enology vol. 2, 3rd ed. (Wiley, 2021), "
    "section 1.4.3"
)
VIRGINIA = (
    "Virginia Winemakers Research Exchange, Blenheim 2021 Cabernet Franc, timing and amount of tartaric acid"
)
OIV_CEILING = "OIV Code of Oenological Practices, annex: maximum acceptable limits (acidification)"
EU_LEAST_TA = "Reg. (EU) 1308/2013 Annex VII Part II, least total acidity of wine"
EU_ACID = (
    "from memory: Reg. (EU) 1308/2013 Annex VIII Part I, acidification and deacidification, g/L and meq/L"
)
FACTORS = "from memory: factors between acid units as laboratory tables print them"
HAND = "worked by hand from the definition of the equivalent: "

_IN_MEQ = (
    (3.5, 46.6, 0.05, EU_LEAST_TA, ""),
    (4.0, 54.0, 0.75, OIV_CEILING, "the annex rounds 54 meq/L, which is 4.05 g/L, down to 4 g/L"),
    (1.5, 20.0, 0.05, EU_ACID, ""),
    (2.5, 33.3, 0.05, EU_ACID, ""),
    (1.0, 13.3, 0.05, EU_ACID, ""),
    (4.0, 53.3, 0.05, EU_ACID, ""),
)

_FACTORS = (
    ("ta_to_sulfuric", units.ta_to_sulfuric, 0.6535, "1 g/L tartaric as sulfuric"),
    ("ta_to_malic", units.ta_to_malic, 0.8934, "1 g/L tartaric as malic"),
    ("ta_to_citric", units.ta_to_citric, 0.8534, "1 g/L tartaric as citric"),
    ("ta_from_sulfuric", units.ta_from_sulfuric, 1.5303, "1 g/L sulfuric as tartaric"),
    ("ta_from_malic", units.ta_from_malic, 1.1193, "1 g/L malic as tartaric"),
)

_SHEET = {line.acid: line for line in additions.acids_for_ta(2.0, 20.0)}
_DEACID = {line.salt: line for line in deacidification.deacidifiers_for_ta(2.0, 100.0)}
_PLAN = deacidification.double_salt_plan(12, 8, 100)

CHECKS: tuple[Check, ...] = (
    *(
        Check(
            "ta_to_meq",
            f"{g:g} g/L as tartaric",
            source,
            meq,
            lambda g=g: units.ta_to_meq(g),
            "meq/L",
            tol,
            note,
        )
        for g, meq, tol, source, note in _IN_MEQ
    ),
    *(
        Check(
            "ta_from_meq",
            f"{meq:g} meq/L",
            source,
            g,
            lambda meq=meq: units.ta_from_meq(meq),
            "g/L",
            0.06,
            note,
        )
        for g, meq, _, source, note in _IN_MEQ
    ),
    *(
        Check(
            name,
            what,
            FACTORS,
            printed,
            lambda sum_=sum_: sum_(1.0),
            "g/L",
            0.0002,
            "tables round the equivalent of sulfuric acid to 49.04",
        )
        for name, sum_, printed, what in _FACTORS
    ),
    Check(
        "ta_from_citric",
        "the equivalent of citric acid, 64.04 g/L, as tartaric: 75.04",
        "from memory: equivalent masses of citric (64.04) and tartaric acid (75.04)",
        75.04,
        lambda: units.ta_from_citric(64.04),
        "g/L",
        0.01,
    ),
    Check(
        "ta_to_percent", "6.5 g/L", HAND + "g in 100 mL", 0.65, lambda: units.ta_to_percent(6.5), "%", 1e-9
    ),
    Check(
        "ta_from_percent",
        "0.65 %",
        HAND + "g in 100 mL",
        6.5,
        lambda: units.ta_from_percent(0.65),
        "g/L",
        1e-9,
    ),
    Check(
        "ta_in_all_units",
        "3.5 g/L as tartaric in meq/L",
        EU_LEAST_TA,
        46.6,
        lambda: units.ta_in_all_units(3.5).meq_per_l,
        "meq/L",
        0.05,
    ),
    Check(
        "ta_in_all_units",
        "1 g/L as tartaric, as sulfuric",
        FACTORS,
        0.6535,
        lambda: units.ta_in_all_units(1.0).as_sulfuric_g_per_l,
        "g/L",
        0.0002,
    ),
    Check(
        "ta_from_titration",
        "8.00 mL of 0.1 mol/L on 10 mL: 0.8 mmol is 0.06003 g of tartaric acid",
        HAND + "0.0008 mol x 75.04 g/eq / 0.010 L",
        6.00,
        lambda: titration.ta_from_titration(8.0, 0.1, 10.0),
        "g/L",
        0.005,
        "nothing printed at hand; sum written out",
    ),
    Check(
        "ta_from_titration",
        "each mL of 0.1 mol/L on 7.5 mL counts as 1 g/L",
        "from memory: the 7.5 mL sample on which 1 mL of 0.1 N hydroxide reads as 1 g/L",
        1.0,
        lambda: titration.ta_from_titration(1.0, 0.1, 7.5),
        "g/L",
        0.005,
    ),
    Check(
        "titrant_strength_from_phthalate",
        "0.4084 g takes 20.00 mL",
        HAND + "0.4084 g / 204.22 g/mol is 2.000 mmol, in 20.00 mL",
        0.1000,
        lambda: titration.titrant_strength_from_phthalate(0.4084, 20.0),
        "mol/L",
        0.00005,
        "nothing printed at hand; molar mass from memory",
    ),
    Check(
        "tartaric_for_ta",
        "4.05 g/L rise is 54 meq/L: grams for 1 hL",
        OIV_CEILING,
        400,
        lambda: additions.tartaric_for_ta(units.ta_from_meq(54), 100),
        "g",
        6,
        "the annex rounds 4.05 g/L down to 4",
    ),
    *(
        Check(
            name,
            f"rise of 1 g/L as tartaric in 1 L with {name.partition('_')[0]} acid",
            FACTORS,
            printed,
            ours,
            "g",
            0.0002,
        )
        for name, printed, ours in (
            ("malic_for_ta", 0.8934, lambda: additions.malic_for_ta(1, 1)),
            ("citric_for_ta", 0.8534, lambda: additions.citric_for_ta(1, 1)),
            ("lactic_for_ta", 1.2003, lambda: additions.lactic_for_ta(1, 1, 100)),
        )
    ),
    *(
        Check(
            "acids_for_ta",
            f"rise of 2 g/L in 20 L with {acid} acid",
            FACTORS,
            40 * factor,
            lambda acid=acid: _SHEET[acid].grams,
            "g",
            0.01,
        )
        for acid, factor in (("tartaric", 1.0), ("malic", 0.8934), ("citric", 0.8534), ("lactic", 1.2003))
    ),
    Check(
        "ph_after_tartaric_by_rule",
        "2 g/L at crush from pH 3.97, fall 0.13 a g/L",
        VIRGINIA,
        3.71,
        lambda: additions.ph_after_tartaric_by_rule(3.97, 2, 0.13),
        "pH",
        0.02,
        "two lots read 3.69 and 3.73",
    ),
    Check(
        "ph_after_tartaric_by_rule",
        "0.86 g/L after malolactic from pH 3.95, fall 0.30 a g/L",
        VIRGINIA,
        3.69,
        lambda: additions.ph_after_tartaric_by_rule(3.95, 0.86, 0.30),
        "pH",
        0.005,
    ),
    Check(
        "tartaric_for_ph_by_rule",
        "pH 3.95 to 3.69, fall 0.30 a g/L, for 1 L",
        VIRGINIA,
        0.86,
        lambda: additions.tartaric_for_ph_by_rule(3.95, 3.69, 1, 0.30),
        "g",
        0.02,
        "0.30 is printed to two digits, which is 0.015 g",
    ),
    Check(
        "ta_drop_by_potassium_bicarbonate",
        "1 g/L, as sulfuric",
        HANDBOOK,
        0.49,
        lambda: units.ta_to_sulfuric(deacidification.ta_drop_by_potassium_bicarbonate(1.0)),
        "g/L as sulfuric",
        0.005,
    ),
    Check(
        "ta_drop_by_calcium_carbonate",
        "1 g/L, as sulfuric",
        HANDBOOK,
        0.98,
        lambda: units.ta_to_sulfuric(deacidification.ta_drop_by_calcium_carbonate(1.0)),
        "g/L as sulfuric",
        0.005,
    ),
    Check(
        "ta_drop_by_potassium_carbonate",
        "0.921 g/L, all potassium staying",
        "from memory: dose of potassium carbonate for 1 g/L, by stoichiometry",
        1.0,
        lambda: deacidification.ta_drop_by_potassium_carbonate(0.921),
        "g/L",
        0.001,
        "the Handbook prints no figure for this salt in what was read",
    ),
    Check(
        "potassium_bicarbonate_for_ta",
        "0.49 g/L as sulfuric off 1 hL",
        HANDBOOK,
        100,
        lambda: deacidification.potassium_bicarbonate_for_ta(units.ta_from_sulfuric(0.49), 100),
        "g",
        1,
        "0.49 is printed to two digits: 1 %",
    ),
    Check(
        "potassium_bicarbonate_for_ta",
        "1 g/L off 1 L, all potassium falling as bitartrate",
        "worked by hand from the reactions in AWRI, Deacidification: bitartrate that falls takes a second hydrogen",
        0.667,
        lambda: deacidification.potassium_bicarbonate_for_ta(1, 1, 100),
        "g",
        0.0005,
    ),
    Check(
        "calcium_carbonate_for_ta",
        "0.98 g/L as sulfuric off 1 hL",
        HANDBOOK,
        100,
        lambda: deacidification.calcium_carbonate_for_ta(units.ta_from_sulfuric(0.98), 100),
        "g",
        0.5,
        "0.98 is printed to two digits: 0.5 %",
    ),
    Check(
        "calcium_carbonate_for_ta",
        "0.1 % of acidity off 1 US gallon",
        "from memory: trade rule of 2.5 g to the US gallon",
        2.5,
        lambda: deacidification.calcium_carbonate_for_ta(units.ta_from_percent(0.1), 3.785411784),
        "g",
        0.05,
    ),
    Check(
        "potassium_carbonate_for_ta",
        "1 g/L off 1 L, no potassium falling",
        "worked by hand from K2CO3 + 2 H+: 138.2 / 2 / 75.04",
        0.921,
        lambda: deacidification.potassium_carbonate_for_ta(1, 1),
        "g",
        0.0005,
        "nothing printed at hand for this salt",
    ),
    Check(
        "potassium_carbonate_for_ta",
        "1 g/L off 1 L, all potassium falling",
        "worked by hand from K2CO3 + 2 H+ and two bitartrates: 138.2 / 4 / 75.04",
        0.460,
        lambda: deacidification.potassium_carbonate_for_ta(1, 1, 100),
        "g",
        0.0005,
        "nothing printed at hand for this salt",
    ),
    Check(
        "deacidifiers_for_ta",
        "2 g/L off 1 hL with potassium bicarbonate, none falling: 2 / 0.75",
        HANDBOOK,
        267,
        lambda: _DEACID["potassium bicarbonate"].most_grams,
        "g",
        3,
        "0.49 g/L as sulfuric, printed to two digits, is 0.75 g/L as tartaric",
    ),
    Check(
        "deacidifiers_for_ta",
        "2 g/L off 1 hL with calcium carbonate: 2 / 1.50",
        HANDBOOK,
        133.3,
        lambda: _DEACID["calcium carbonate"].least_grams,
        "g",
        0.7,
        "0.98 g/L as sulfuric, printed to two digits, is 1.50 g/L as tartaric",
    ),
    Check(
        "double_salt_share_percent",
        "12 to 8 g/L: (12 - 8) / (12 - 2)",
        "from memory: volume share of the double-salt method with 2 g/L left in the treated part",
        40,
        lambda: deacidification.double_salt_share_percent(12, 8),
        "%",
        1e-9,
    ),
    Check(
        "double_salt_plan",
        "pH to stay above",
        "AWRI, Deacidification (frequently asked questions), citing Ribéreau-Gayon et al. 2006",
        4.5,
        lambda: _PLAN.keep_ph_above,
        "pH",
        0,
    ),
    Check(
        "double_salt_plan",
        "calcium carbonate for 12 to 8 g/L in 100 L: 0.67 x 4 x 100",
        "from memory: 0.67 g of calcium carbonate for each g of acidity in the double-salt method",
        268,
        lambda: _PLAN.calcium_carbonate_g,
        "g",
        2,
        "0.67 is printed to two digits: 0.7 %",
    ),
    Check(
        "ta_after_bitartrate",
        "1 g/L dropped from 7 g/L",
        "worked by hand from one acid hydrogen in each bitartrate: 75.04 / 188.18",
        6.601,
        lambda: losses.ta_after_bitartrate(7, 1),
        "g/L",
        0.0005,
        "nothing printed at hand; sum written out",
    ),
    Check(
        "bitartrate_from_ta_drop",
        "1 g/L of acidity",
        "worked by hand from one acid hydrogen in each bitartrate: 188.18 / 75.04",
        2.51,
        lambda: losses.bitartrate_from_ta_drop(1),
        "g/L",
        0.005,
        "nothing printed at hand; sum written out",
    ),
    Check(
        "ta_after_malolactic",
        "3 g/L malic turned in a wine of 8 g/L: loses 3 / 134.09 eq, 75.04 g each",
        "worked by hand from one hydrogen lost by each malic acid",
        6.321,
        lambda: losses.ta_after_malolactic(8, 3),
        "g/L",
        0.0005,
        "nothing printed at hand; sum written out",
    ),
)
