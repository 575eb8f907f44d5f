"""Printed figures for the sums of fining, dilution and the heat test."""

from __future__ import annotations

from checks import Check
from diagnose.calculators import bentonite, dilution, fining_trial, heat_test, tasting

CFR = "27 CFR 24.246, text of 2015, which prints lb per 1,000 gallons beside g/L"
PURDUE = "Butzke C., Purdue Extension FS-53-W"
LEES = (
    "Tattersall 2001, quoted by Waters & Colby, Proteins, in Wine Chemistry and Biochemistry (2009), p. 223"
)
WRE = "Winemakers Research Exchange, Pinot gris trial 2015, using the Dulau equation"
PRACTICE = "common practice: 50 mL/L of a 5 % slurry is about 2.5 g/L"
BY_HAND = "worked by hand from the balance of mass"
AWRI = "AWRI, Measurement of heat stability of wine: heated sample against its unheated twin"
GALLON = "definition of the pound (453.59237 g) and the US gallon (3.785411784 L)"

ISO_TRIANGLE = "from memory: ISO 4120, triangle test, least number right at 5 %"

CHECKS = (
    *(
        Check(
            "dose_from_lb_per_1000_gal",
            f"{pounds:g} lb/1000 gal",
            CFR,
            printed,
            lambda pounds=pounds: bentonite.dose_from_lb_per_1000_gal(pounds),
            "g/L",
            0.005,
        )
        for pounds, printed in ((25, 3.0), (2, 0.24), (8, 0.96), (3, 0.36), (60, 7.19))
    ),
    *(
        Check(
            "dose_to_lb_per_1000_gal",
            f"{dose:g} g/L",
            CFR,
            printed,
            lambda dose=dose: bentonite.dose_to_lb_per_1000_gal(dose),
            "lb/1000 gal",
            tolerance,
            "The law prints g/L in two or three digits.",
        )
        for dose, printed, tolerance in ((3.0, 25, 0.05), (0.24, 2, 0.05), (0.96, 8, 0.05), (7.19, 60, 0.05))
    ),
    Check(
        "dose_from_g_per_hl",
        "50 to 80 g/hL, low end",
        "Esteruelas et al. 2009 via Winemakers Research Exchange: 50 to 80 g/hL, the same as 0.5 to 0.8 g/L",
        0.5,
        lambda: bentonite.dose_from_g_per_hl(50),
        "g/L",
        0,
    ),
    Check(
        "dose_to_g_per_hl",
        "0.8 g/L",
        "Esteruelas et al. 2009 via Winemakers Research Exchange: 50 to 80 g/hL, the same as 0.5 to 0.8 g/L",
        80,
        lambda: bentonite.dose_to_g_per_hl(0.8),
        "g/hL",
        1e-9,
    ),
    Check(
        "dose_from_slurry_ml",
        "50 mL in a litre, 5 % slurry",
        PRACTICE,
        2.5,
        lambda: bentonite.dose_from_slurry_ml(50, 1, 50),
        "g/L",
        1e-9,
    ),
    Check(
        "slurry_ml_for_dose",
        "2.5 g/L in 3 L, 5 % slurry",
        PRACTICE,
        150,
        lambda: bentonite.slurry_ml_for_dose(2.5, 3, 50),
        "mL",
        1e-9,
    ),
    Check(
        "slurry_g_for_dose",
        "2.5 g/L in 3 L, slurry of 5 g in 100 g",
        BY_HAND + ": 7.5 g of clay is 5 % of 150 g",
        150,
        lambda: bentonite.slurry_g_for_dose(2.5, 3, 5),
        "g",
        1e-9,
    ),
    Check(
        "bentonite_grams",
        "0.5 g/L in 23 L",
        BY_HAND + ": 0.5 x 23",
        11.5,
        lambda: bentonite.bentonite_grams(0.5, 23),
        "g",
        1e-9,
    ),
    Check(
        "slurry_g_per_l_made_up",
        "6 %",
        PURDUE + ": bench slurry of 6 %, 60 g/L",
        60,
        lambda: bentonite.slurry_g_per_l_made_up(6),
        "g/L",
        1e-9,
    ),
    Check(
        "slurry_g_per_l_weighed",
        "5 g of clay and 95 g of water",
        "from memory: clay of 2.5 g/mL, so 5 g take 2 mL and the whole 97 mL",
        50 / 0.97,
        lambda: bentonite.slurry_g_per_l_weighed(5),
        "g/L",
        1e-9,
    ),
    Check(
        "swelling_water_ml",
        "1 kg of clay",
        PURDUE + ", as quoted: at most 16.7 L/kg",
        16700,
        lambda: bentonite.swelling_water_ml(1000),
        "mL",
        1e-6,
    ),
    Check(
        "swelling_water_ml",
        "1 lb of clay",
        PURDUE + ", as quoted: 2 gallons a pound",
        2 * 3785.411784,
        lambda: bentonite.swelling_water_ml(453.59237),
        "mL",
        10,
        "The print rounds 16.7 L/kg to 2 gal/lb.",
    ),
    Check(
        "water_share_percent",
        "0.6 g/L of clay with 16.7 mL/g of water, in 1 L",
        PURDUE + ": 16.7 L/kg; and 27 CFR 24.246: 1 % of water",
        1.0,
        lambda: bentonite.water_share_percent(0.6 * 16.7, 1),
        "%",
        0.005,
    ),
    Check(
        "largest_dose_under_water_limit",
        "6 % slurry, 1 % of water",
        "27 CFR 24.246 (1 %) with the 6 % bench slurry of Purdue FS-53-W, worked by hand",
        0.6,
        lambda: bentonite.largest_dose_under_water_limit(60),
        "g/L",
        1e-9,
    ),
    Check(
        "weakest_slurry_under_water_limit",
        "0.6 g/L, 1 % of water",
        "27 CFR 24.246 (1 %) with the 6 % bench slurry of Purdue FS-53-W, worked by hand",
        60,
        lambda: bentonite.weakest_slurry_under_water_limit(0.6),
        "g/L",
        1e-9,
    ),
    Check(
        "lees_loss_l",
        "100 L, low end",
        LEES,
        5,
        lambda: bentonite.lees_loss_l(100, bentonite.LEES_PERCENT[0]),
        "L",
        1e-9,
    ),
    Check("lees_loss_l", "100 L, high end", LEES, 10, lambda: bentonite.lees_loss_l(100), "L", 1e-9),
    Check(
        "starting_dose_from_heat_test",
        "rise of 100 NTU",
        WRE + ": trial dose 150 g/hL",
        1.5,
        lambda: bentonite.starting_dose_from_heat_test(100),
        "g/L",
        1e-9,
    ),
    *(
        Check(
            "clay_for_protein",
            f"{protein:g} mg/L of protein",
            PURDUE + ": 60 to 1800 mg/L for 10 to 300 mg/L of protein",
            clay,
            lambda protein=protein: bentonite.clay_for_protein(protein),
            "mg/L",
            1e-9,
        )
        for protein, clay in ((10, 60), (300, 1800))
    ),
    Check(
        "turbidity_rise",
        "1.2 NTU before, 3.7 NTU heated",
        AWRI + "; worked by hand",
        2.5,
        lambda: heat_test.turbidity_rise(3.7, 1.2),
        "NTU",
        1e-9,
    ),
    Check(
        "concentration_after_addition",
        "1 mL of 50 g/L in 100 mL",
        BY_HAND + ": 50 / 101",
        50 / 101,
        lambda: dilution.concentration_after_addition(50, 1, 100),
        "g/L",
        1e-12,
    ),
    Check(
        "stock_ml_for_concentration",
        "0.5 g/L in 100 mL from 50 g/L",
        BY_HAND + ": 100 x 0.5 / 49.5",
        50 / 49.5,
        lambda: dilution.stock_ml_for_concentration(0.5, 50, 100),
        "mL",
        1e-12,
    ),
    Check(
        "water_for_dilution_l",
        "10 L of 15 % to 12 %",
        BY_HAND + ": 150 / 12 less 10",
        2.5,
        lambda: dilution.water_for_dilution_l(15, 10, 12),
        "L",
        1e-12,
    ),
    Check(
        "diluted",
        "12.5 % with 1 % of water",
        BY_HAND + ": 12.5 x 23 / 23.23",
        12.5 * 23 / 23.23,
        lambda: dilution.diluted(12.5, 23, 0.23),
        "% vol",
        1e-12,
    ),
    Check(
        "dilution_percent",
        "1 mL in 99 mL",
        BY_HAND,
        1.0,
        lambda: dilution.dilution_percent(1, 99),
        "%",
        1e-12,
    ),
    Check(
        "blend",
        "10 % and 14 %, three to one",
        BY_HAND,
        11,
        lambda: dilution.blend(10, 3, 14, 1),
        "% vol",
        1e-12,
    ),
    Check(
        "blend_share_percent",
        "10 % and 14 % to 11 %",
        "the Pearson square, worked by hand: 3 parts to 1",
        75,
        lambda: dilution.blend_share_percent(10, 14, 11),
        "%",
        1e-12,
    ),
    Check(
        "blend_volume_l",
        "3 L of 10 % with 14 % to 11 %",
        "the Pearson square, worked by hand: 3 parts to 1",
        1,
        lambda: dilution.blend_volume_l(10, 3, 14, 11),
        "L",
        1e-12,
    ),
    Check(
        "blend_volume_for_share_l",
        "20 % of the blend, to 80 L: 20 L in 100 L",
        BY_HAND,
        20,
        lambda: dilution.blend_volume_for_share_l(80, 20),
        "L",
        1e-12,
    ),
    Check(
        "blend_total_for_share_l",
        "20 % of the blend, to 80 L: 20 L in 100 L",
        BY_HAND,
        100,
        lambda: dilution.blend_total_for_share_l(80, 20),
        "L",
        1e-12,
    ),
    Check(
        "guessing_chance_percent",
        "three triangles, all right",
        "worked by hand: 1 in 27",
        100 / 27,
        lambda: tasting.guessing_chance_percent(3, 3),
        "%",
        1e-9,
    ),
    Check(
        "guessing_chance_percent",
        "five pairs, all right",
        "worked by hand: 1 in 32",
        100 / 32,
        lambda: tasting.guessing_chance_percent(5, 5, 2),
        "%",
        1e-9,
    ),
    *(
        Check(
            "right_needed",
            f"{tastings} triangles at 5 %",
            ISO_TRIANGLE,
            printed,
            lambda tastings=tastings: tasting.right_needed(tastings),
            "right",
            1e-9,
        )
        for tastings, printed in ((6, 5), (12, 8), (24, 13), (30, 15))
    ),
    Check(
        "more_tastings_to_settle",
        "one triangle right so far",
        "worked by hand: 1 in 27 is the first below 1 in 20",
        2,
        lambda: tasting.more_tastings_to_settle(1, 1),
        "tastings",
        1e-9,
    ),
    Check(
        "even_ladder",
        "0.2 to 1.0 in five steps, the third",
        "IFV, oenological practice sheet: bentonite (2024), a ladder in even steps; the middle worked by hand",
        0.6,
        lambda: fining_trial.even_ladder_sheet(0.2, 1.0)[2].dose_g_per_l,
        "g/L",
        1e-9,
    ),
    Check(
        "geometric_ladder",
        "0.1 to 1.6 in five steps, the third",
        BY_HAND + ": each twice the one before",
        0.4,
        lambda: fining_trial.geometric_ladder_sheet(0.1, 1.6)[2].dose_g_per_l,
        "g/L",
        1e-9,
    ),
    Check(
        "refined_ladder",
        "0.1 served, the control failed: lowest step",
        BY_HAND + ": a quarter of 0.1",
        0.025,
        lambda: fining_trial.refined_ladder_sheet(0.1)[0].dose_g_per_l,
        "g/L",
        1e-9,
    ),
    *(
        Check(
            "trial_jars",
            f"{dose:g} g/L in 100 mL from a 5 % slurry",
            "arithmetic table of doses: mL of slurry x 50 / mL of sample",
            ml,
            lambda dose=dose: next(
                jar.stock_ml
                for jar in fining_trial.trial_jars(0.25, 1.5, 100, 6)
                if abs(jar.dose_wanted_g_per_l - dose) < 1e-9
            ),
            "mL",
            1e-9,
        )
        for dose, ml in ((0.25, 0.5), (0.5, 1.0), (1.0, 2.0), (1.5, 3.0))
    ),
    Check(
        "dose_for_vessel",
        "0.5 g/L in 23 L from a 5 % slurry: slurry",
        BY_HAND + ": 11.5 g of clay at 50 g/L",
        230,
        lambda: fining_trial.dose_for_vessel(0.5, 23).stock_ml,
        "mL",
        1e-9,
    ),
    Check(
        "dose_for_vessel",
        "the same: water",
        "27 CFR 24.246 (1 %) is just reached, worked by hand",
        1.0,
        lambda: fining_trial.dose_for_vessel(0.5, 23).water_share_percent,
        "%",
        1e-9,
    ),
    Check(
        "grams_for_dose",
        "0.5 g/L in 23 L",
        BY_HAND + ": 0.5 x 23",
        11.5,
        lambda: dilution.grams_for_dose(0.5, 23),
        "g",
        1e-9,
    ),
    Check(
        "share_of_volume_l",
        "5 % of 100 L",
        BY_HAND + ": 100 x 5 / 100",
        5,
        lambda: dilution.share_of_volume_l(100, 5),
        "L",
        1e-9,
    ),
)
