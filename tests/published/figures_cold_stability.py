"""Printed figures for bitartrate, calcium tartrate, copper, filters and vessels."""

from __future__ import annotations

from checks import Check
from diagnose.calculators import cold_stability, copper, filterability, vessel

BERG = (
    "Berg & Keefer 1958, quoted as table 12.3 of Ribereau-Gayon, Peynaud, Ribereau-Gayon, Sudraud, Theory and "
    "Practice of Winemaking (Russian edition), meq/L x 0.188177"
)
OFF = "The print breaks its own trend here (misprint); the program keeps the trend."
_COLUMNS = (0, 10, 11, 12, 13, 14, 16)
_PRINTED = {
    -4: (10.6, 5.6, 5.2, 4.8, 4.6, 4.3, 3.7),
    0: (11.9, 6.7, 6.2, 5.9, 5.4, 5.2, 4.6),
    5: (14.1, 8.4, 7.9, 7.4, 7.0, 6.6, 5.9),
    10: (48.4, 11.7, 10.2, 9.6, 9.1, 8.6, 7.8),
    15: (22.2, 13.0, 12.5, 11.9, 11.3, 10.8, 9.7),
    20: (26.1, 16.4, 15.6, 14.7, 14.0, 13.3, 12.0),
    25: (30.1, 18.7, 18.4, 17.0, 16.1, 15.3, 13.8),
}
_MISPRINTS = {(10, 0): 5.7, (10, 10): 0.19, (25, 11): 0.12}
KCL = "Handbook of Enology vol. 2, 3rd ed. (Wiley, 2021), table 1.12: potassium chloride 0.02 mol/L"
ISU = "Dharmadhikari, Iowa State University: copper bench trial, 1 mL of 1 % into 250 mL"
ROMAT = "Romat 2014, Filtration en oenologie, as quoted on a French oenology teaching site"
MAUJEAN = (
    "Maujean et al., in a Portuguese lecture on tartaric instability, worked by hand: 29.90 less gain / 58.30"
)

CHECKS = (
    *(
        Check(
            "bitartrate_solubility",
            f"{temperature} C, {alcohol} % vol",
            BERG,
            printed * 0.188177,
            lambda temperature=temperature, alcohol=alcohol: cold_stability.bitartrate_solubility(
                temperature, alcohol
            ),
            "g/L",
            _MISPRINTS.get((temperature, alcohol), 0.001),
            OFF if (temperature, alcohol) in _MISPRINTS else "",
        )
        for temperature, row in _PRINTED.items()
        for alcohol, printed in zip(_COLUMNS, row, strict=True)
    ),
    Check(
        "bitartrate_solubility",
        "20 C, 100 g/L of alcohol (12.7 % vol)",
        "Genevois 1934, Ann. Brass. Distil. 32:310 (Paul and Bohnen), quoted in a Russian oenology text",
        2.58,
        lambda: cold_stability.bitartrate_solubility(20, 12.7),
        "g/L",
        0.12,
        "Another worker's figure, at an ordinary temperature that is not said; agreement within 5 %.",
    ),
    Check(
        "bitartrate_percent",
        "pH of the largest share, at 0 to 12 % vol",
        "AWRI, KHT deposits and cold stability: 3.6 to 3.7",
        3.65,
        lambda: max((cold_stability.bitartrate_percent(n / 100, 12), n / 100) for n in range(300, 450))[1],
        "pH",
        0.1,
        "Ours is half the sum of the two pKs in wine of 12 % vol.",
    ),
    Check(
        "bitartrate_percent",
        "at the largest",
        "Waterhouse, Sacks & Jeffery, Understanding Wine Chemistry (2016), ch. 26.1: 50 to 70 % over the pH of wine",
        60,
        lambda: max(cold_stability.bitartrate_percent(n / 100, 12) for n in range(300, 450)),
        "%",
        10,
        "The print is a range, 50 to 70 %; its middle stands here and its half is allowed.",
    ),
    Check(
        "bitartrate_product",
        "potassium 1000 mg/L, tartaric acid 2.0 g/L, share of bitartrate as ours at pH 3.50",
        "worked by hand from the definition: 1000/39098 x 2.0/150.09 x share",
        1e5 * 1000 / 39098 * 2.0 / 150.09 * cold_stability.bitartrate_percent(3.5) / 100,
        lambda: cold_stability.bitartrate_product(1000, 2.0, 3.5),
        "1e-5",
        0.01,
    ),
    Check(
        "largest_bitartrate_drop",
        "a wine that holds just what water and alcohol hold",
        "worked by hand: nothing can fall from a solution that is just full",
        0.0,
        lambda: cold_stability.largest_bitartrate_drop(
            _full := cold_stability.bitartrate_solubility(0, 12) / 188.177 * 39098.3,
            _full / 39098.3 * 150.087 / (cold_stability.bitartrate_percent(3.5, 12) / 100),
            3.5,
            0,
            12,
        ),
        "g/L",
        0.01,
    ),
    Check(
        "saturation_temperature_at_20_c",
        "gain of 293 uS/cm",
        "Wuerdig et al. 1982, in a Portuguese lecture on tartaric instability, worked by hand: 20 less gain / 29.30",
        10.0,
        lambda: cold_stability.saturation_temperature_at_20_c(293),
        "C",
        0.005,
    ),
    Check(
        "saturation_temperature_at_30_c",
        "gain of 583 uS/cm",
        MAUJEAN,
        19.9,
        lambda: cold_stability.saturation_temperature_at_30_c(583),
        "C",
        0.005,
    ),
    Check(
        "saturation_temperature_at_30_c",
        "gain of 1000 uS/cm",
        MAUJEAN,
        12.75,
        lambda: cold_stability.saturation_temperature_at_30_c(1000),
        "C",
        0.005,
    ),
    Check(
        "crystals_fall_below",
        "saturation 8 C at 12.5 % vol",
        "Maujean et al. 1985 in Handbook of Enology vol. 2 (2021): stable at -4 C",
        -4,
        lambda: cold_stability.crystals_fall_below(8),
        "C",
        1e-9,
    ),
    Check(
        "conductivity_drop_percent",
        "2000 to 1900 uS/cm",
        "Handbook of Enology vol. 2 (2021), section 1.6.2: above 5 % is unstable; worked by hand",
        5,
        lambda: cold_stability.conductivity_drop_percent(2000, 1900),
        "%",
        1e-9,
    ),
    Check(
        "conductivity_verdict",
        "2000 to 1899 uS/cm: unstable is 1",
        "Handbook of Enology vol. 2 (2021), section 1.6.2",
        1,
        lambda: float(cold_stability.conductivity_verdict(2000, 1899).verdict == "unstable"),
        "yes",
        0,
    ),
    *(
        Check(
            "conductivity_at",
            f"2500 uS/cm at 20 C, at {temperature} C",
            KCL,
            printed,
            lambda temperature=temperature: cold_stability.conductivity_at(2500, 20, temperature),
            "uS/cm",
            8,
            "A straight line through a table that bends a little.",
        )
        for temperature, printed in zip(
            range(15, 26), (2242, 2293, 2347, 2398, 2451, 2500, 2551, 2604, 2659, 2710, 2769), strict=True
        )
    ),
    Check(
        "bitartrate_seed_g",
        "1 L",
        "Rhein & Neradt 1979, cited by Dharmadhikari, Iowa State University Extension",
        4,
        lambda: cold_stability.bitartrate_seed_g(1),
        "g",
        1e-9,
    ),
    Check(
        "calcium_tartrate_verdict",
        "white at its limit of 26 C: room left",
        "Vallee, J. Int. Sci. Vigne Vin 1995: 26 to 27 C for white and pink",
        0,
        lambda: cold_stability.calcium_tartrate_verdict(26).room_c,
        "C",
        1,
    ),
    *(
        Check(
            "copper_in_jar",
            f"{ml:g} mL in 100 mL",
            ISU,
            ppm,
            lambda ml=ml: copper.copper_in_jar(ml),
            "mg/L",
            0.005,
            "The print rounds 0.102 mg/L for each mL to 0.1.",
        )
        for ml, ppm in ((0, 0), (0.5, 0.05), (1.0, 0.1), (1.5, 0.15), (2.0, 0.2))
    ),
    Check(
        "copper_from_sulfate",
        "1 g/hL of the salt",
        "OIV II.3.5.8 (1 g/hL) with 25.4 % copper, NPIC technical fact sheet, worked by hand",
        2.54,
        lambda: copper.copper_from_sulfate(10),
        "mg/L",
        0.005,
    ),
    Check(
        "copper_sulfate_g",
        "0.254 mg/L in 1000 L",
        "25.4 % copper, NPIC technical fact sheet, worked by hand",
        1.0,
        lambda: copper.copper_sulfate_g(0.254, 1000),
        "g",
        1e-9,
    ),
    Check(
        "copper_left",
        "0.2 and 0.3 mg/L",
        "worked by hand from the balance of mass",
        0.5,
        lambda: copper.copper_left(0.2, 0.3),
        "mg/L",
        1e-12,
    ),
    Check(
        "clogging_index",
        "100 s and 225 s",
        "from memory: T400 less twice T200, French practice, worked by hand",
        25,
        lambda: filterability.clogging_index(100, 225),
        "s",
        1e-9,
    ),
    Check(
        "filterability_index",
        "50, 100, 152 and 206 s",
        "from memory: French practice, worked by hand: 54 less 50",
        4,
        lambda: filterability.filterability_index(50, 100, 152, 206),
        "s",
        1e-9,
    ),
    *(
        Check(
            "filterability_class",
            f"index {index:g}: {verdict} is 1",
            ROMAT,
            1,
            lambda index=index, verdict=verdict: float(
                filterability.filterability_class(100, 200 + index).verdict.startswith(verdict)
            ),
            "yes",
            0,
        )
        for index, verdict in ((24, "easy"), (26, "fair"), (75, "poor"), (101, "not filterable"))
    ),
    Check(
        "cylinder_volume_l",
        "60 cm wide, 100 cm high",
        "worked by hand: 0.09 x 3.14159 x 1 m3",
        282.743,
        lambda: vessel.cylinder_volume_l(60, 100),
        "L",
        0.001,
    ),
    Check(
        "lying_cylinder_volume_l",
        "60 cm wide, 100 cm long, half full",
        "worked by hand: half of the cylinder",
        141.372,
        lambda: vessel.lying_cylinder_volume_l(60, 100, 30),
        "L",
        0.001,
    ),
    Check(
        "barrel_volume_l",
        "ends as wide as the belly: 60 cm, 100 cm long",
        "worked by hand: a barrel without a belly is a cylinder",
        235.619 * 1.2,
        lambda: vessel.barrel_volume_l(60, 60, 100),
        "L",
        0.001,
    ),
    Check(
        "headspace_l",
        "225 L with 220 L of wine",
        "worked by hand",
        5,
        lambda: vessel.headspace_l(225, 220),
        "L",
        1e-12,
    ),
    Check(
        "headspace_oxygen",
        "1 L of air over 1 L of wine at 20 C",
        "from memory: air holds 279 mg/L of oxygen at 20 C",
        279,
        lambda: vessel.headspace_oxygen(1, 1, 20),
        "mg/L",
        1,
    ),
    *(
        Check(
            "so2_lost_to_oxygen",
            f"{oxygen:g} mg/L",
            "Danilewicz & Standing 2018 (AJEV): 2 molecules of sulfur dioxide for one of oxygen, 4 by weight",
            so2,
            lambda oxygen=oxygen: vessel.so2_lost_to_oxygen(oxygen),
            "mg/L",
            1e-9,
        )
        for oxygen, so2 in ((6, 24), (8, 32))
    ),
    Check("top_up_bottles", "3 L", "worked by hand", 4, lambda: vessel.top_up_bottles(3), "bottles", 1e-12),
)
