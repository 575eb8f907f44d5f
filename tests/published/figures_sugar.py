"""Scales of must, potential alcohol and added sugar, and the hydrometer's temperature, against printed figures."""

from __future__ import annotations

from checks import Check
from diagnose.calculators import hydrometer
from diagnose.calculators.sugar import added, potential, scales

USDA = "USDA, File Code 135-A-50, sucrose conversion table, as quoted"
CHEN = "NBS Circular C440 as given by Chen C.S. (University of Florida), weight in air per US gallon"
WEIN_PLUS = "wein.plus encyclopaedia, must-weight units"
ARTICLE = "encyclopaedia article on Brix: Plato = 260.4 - 260.4 / SG, good to 0.02 below about 20"
ASBC = "from memory: polynomial of the ASBC for Plato, worked at this gravity"
BAUME = "from memory: Baumé scale for heavy liquids at this gravity, handbook tables"
IFV = "IFV (French vine and wine institute), Mutage des vins blancs doux"
DAVIS = (
    "University of California Davis, Viticulture & Enology, fermentation management guide, Normal start: "
    "becoming sluggish"
)
LEXICON = "German wine lexicon pages (Gilbert formula); German Wikipedia, Oechsle"
BORDEAUX = "Bordeaux glossary: 17 g/L for 1 % vol"
MUST = "from memory: German must table, sugar by Oechsle"
DRY_EXTRACT = "from memory: OIV-MA-AS2-03B, table of total dry extract by the gravity of the residue"
HYDROMETER = "from memory: NBS C440 / AOAC table of temperature corrections to Brix hydrometers"
BREWING = "19th-century brewing book, TIB Hannover scan, saccharometer set at 17.5 C"
MOSTWAAGE = "German encyclopaedia copy, Mostwaage: 1 Oechsle for each 3.5 C, instrument set at 20 C"

CUBIC_AT_0 = "the fitted cubic is up to 0.00002 off the table near 0 Brix"

_USDA_CELLS = (
    (0.0, 1.0),
    (0.1, 1.00039),
    (0.2, 1.00078),
    (0.3, 1.00117),
    (3.8, 1.0149),
    (3.9, 1.01529),
    (4.0, 1.01569),
    (4.1, 1.01609),
    (7.6, 1.03017),
    (7.7, 1.03058),
    (7.8, 1.03098),
    (7.9, 1.03139),
)
_CHEN_LB_PER_GAL = ((1, 8.354), (2, 8.387), (3, 8.419), (4, 8.452), (5, 8.486))
_G_PER_L = 453.59237 / 3.785411784
_OIV_EXTRACT = (
    (1.001, 2.6),
    (1.002, 5.1),
    (1.003, 7.7),
    (1.005, 12.9),
    (1.007, 18.0),
    (1.008, 20.6),
    (1.010, 25.8),
    (1.020, 51.7),
    (1.040, 103.7),
)
_HYDROMETER_BRIX = (0, 5, 10, 15, 20, 25, 30)
_HYDROMETER_CELLS = {
    0: (-0.3, -0.49, -0.65, -0.77, -0.89, -0.99, -1.08),
    5: (-0.36, -0.47, -0.56, -0.65, -0.73, -0.8, -0.86),
    10: (-0.32, -0.38, -0.43, -0.48, -0.52, -0.57, -0.6),
    15: (-0.2, -0.22, -0.24, -0.26, -0.28, -0.3, -0.32),
    18: (-0.09, -0.1, -0.1, -0.11, -0.12, -0.13, -0.13),
    22: (0.1, 0.1, 0.11, 0.12, 0.12, 0.13, 0.14),
    25: (0.27, 0.28, 0.3, 0.31, 0.32, 0.34, 0.35),
    28: (0.46, 0.47, 0.49, 0.51, 0.54, 0.56, 0.58),
    30: (0.61, 0.62, 0.63, 0.66, 0.68, 0.71, 0.73),
    35: (0.99, 1.01, 1.02, 1.06, 1.1, 1.13, 1.16),
}
_BREWING_CELLS = (
    (10.0, -0.25),
    (12.5, -0.17),
    (15.0, -0.09),
    (20.0, 0.09),
    (22.5, 0.2),
    (25.0, 0.32),
    (30.0, 0.6),
)


def _scale_checks() -> tuple[Check, ...]:
    brix = tuple(
        Check(
            "brix_from_gravity",
            f"SG {sg:.5f}",
            USDA,
            brix,
            lambda sg=sg: scales.brix_from_gravity(sg),
            "Brix",
            0.005,
            CUBIC_AT_0 if brix == 0 else "",
        )
        for brix, sg in _USDA_CELLS
    )
    back = tuple(
        Check(
            "gravity_from_brix",
            f"{brix:g} Brix",
            USDA,
            sg,
            lambda brix=brix: scales.gravity_from_brix(brix),
            "SG",
            0.000025 if brix < 1 else 0.000006,
            CUBIC_AT_0 if brix < 1 else "",
        )
        for brix, sg in _USDA_CELLS
    )
    short = tuple(
        Check(
            "plato_from_gravity",
            f"SG {sg:.3f}",
            ARTICLE,
            260.4 - 260.4 / sg,
            lambda sg=sg: scales.plato_from_gravity(sg),
            "Plato",
            0.025,
            "the short rule itself is good to 0.02 and a little over",
        )
        for sg in (1.01, 1.02, 1.04, 1.06)
    )
    asbc = tuple(
        Check(
            "plato_from_gravity",
            f"SG {sg:.3f}, brewers' polynomial",
            ASBC,
            -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3,
            lambda sg=sg: scales.plato_from_gravity(sg),
            "Plato",
            0.02,
            "Plato and Brix come from two tables that are alike to 0.02",
        )
        for sg in (1.04, 1.08, 1.09, 1.1)
    )
    extract = tuple(
        Check(
            "extract_from_gravity",
            f"{brix} Brix",
            CHEN,
            brix / 100 * pounds * _G_PER_L,
            lambda brix=brix: scales.extract_from_gravity(scales.gravity_from_brix(brix)),
            "g/L",
            0.06,
            "printed weights are in air, 0.1 % less than the mass",
        )
        for brix, pounds in _CHEN_LB_PER_GAL
    )
    dry = tuple(
        Check(
            "extract_from_gravity",
            f"residue of gravity {sg:.3f}",
            DRY_EXTRACT,
            grams,
            lambda sg=sg: scales.extract_from_gravity(sg),
            "g/L",
            0.1,
            "the two tables of sucrose differ by up to 0.1 g/L",
        )
        for sg, grams in _OIV_EXTRACT
    )
    dry_back = tuple(
        Check(
            "gravity_from_extract",
            f"{grams} g/L",
            DRY_EXTRACT,
            sg,
            lambda grams=grams: scales.gravity_from_extract(grams),
            "SG",
            0.00005,
            "0.1 g/L of extract is 0.00004",
        )
        for sg, grams in _OIV_EXTRACT
    )
    return (*brix, *back, *short, *asbc, *extract, *dry, *dry_back)


def _hydrometer_checks() -> tuple[Check, ...]:
    printed = tuple(
        Check(
            "corrected_brix",
            f"{brix} Brix read at {temperature} C",
            HYDROMETER,
            correction,
            lambda brix=brix, t=temperature: hydrometer.corrected_brix(brix, t) - brix,
            "Brix",
            0.025,
            "rounding 0.005; the swelling of sugar is one smooth curve through all cells, 0.02 off at most",
        )
        for temperature, row in _HYDROMETER_CELLS.items()
        for brix, correction in zip(_HYDROMETER_BRIX, row, strict=True)
    )
    brewing = tuple(
        Check(
            "corrected_brix",
            f"10 Balling read at {temperature:g} C, instrument for 17.5 C",
            BREWING,
            correction,
            lambda t=temperature: hydrometer.corrected_brix(10, t, 17.5) - 10,
            "Brix",
            0.09 if temperature < 25 else 0.18,
            "one column for all strengths, set against 10 Brix; at 25 and 30 C the print is below what water alone"
            " makes (0.37 and 0.70)",
        )
        for temperature, correction in _BREWING_CELLS
    )
    return (*printed, *brewing)


CHECKS: tuple[Check, ...] = (
    *_scale_checks(),
    *_hydrometer_checks(),
    Check(
        "gravity_from_plato", "4 Plato", USDA, 1.01569, lambda: scales.gravity_from_plato(4), "SG", 0.000006
    ),
    Check(
        "oechsle_from_gravity",
        "1.0835",
        WEIN_PLUS,
        83.5,
        lambda: scales.oechsle_from_gravity(1.0835),
        "Oe",
        0.05,
    ),
    Check(
        "gravity_from_oechsle",
        "83.5",
        WEIN_PLUS,
        1.0835,
        lambda: scales.gravity_from_oechsle(83.5),
        "SG",
        0.00005,
    ),
    Check("oechsle_from_kmw", "17 KMW", WEIN_PLUS, 83.5, lambda: scales.oechsle_from_kmw(17), "Oe", 0.05),
    Check(
        "kmw_from_oechsle", "83.5 Oechsle", WEIN_PLUS, 17, lambda: scales.kmw_from_oechsle(83.5), "KMW", 0.05
    ),
    *(
        Check(
            "baume_from_gravity",
            f"{kmw} KMW",
            f"{WEIN_PLUS}: Baumé = KMW / 1.53",
            kmw / 1.53,
            lambda kmw=kmw: scales.baume_from_gravity(1 + scales.oechsle_from_kmw(kmw) / 1000),
            "Be",
            0.1,
            "KMW / 1.53 is a straight rule through a curved scale",
        )
        for kmw in (15, 17, 20)
    ),
    Check(
        "baume_from_gravity", "SG 1.0741", BAUME, 10, lambda: scales.baume_from_gravity(1.0741), "Be", 0.006
    ),
    Check(
        "gravity_from_baume", "10 Baumé", BAUME, 1.0741, lambda: scales.gravity_from_baume(10), "SG", 0.00005
    ),
    Check(
        "gravity_from_baume", "20 Baumé", BAUME, 1.16, lambda: scales.gravity_from_baume(20), "SG", 0.00005
    ),
    *(
        Check(
            "must_sugar",
            f"{oe} Oechsle",
            MUST,
            grams,
            lambda oe=oe: potential.must_sugar(1 + oe / 1000),
            "g/L",
            1,
        )
        for oe, grams in ((60, 130), (70, 156), (80, 183), (90, 209), (100, 236))
    ),
    Check(
        "must_scales",
        "1.0835 on the Klosterneuburg scale",
        WEIN_PLUS,
        17,
        lambda: potential.must_scales(1.0835).klosterneuburg,
        "KMW",
        0.05,
    ),
    *(
        Check(
            "potential_alcohol",
            f"{grams} g/L",
            IFV,
            percent,
            lambda g=grams: potential.potential_alcohol(g),
            "% vol",
            0.06,
            "the grams are printed whole, and 101 as 100",
        )
        for percent, grams in ((6, 100), (5, 84), (4, 67))
    ),
    *(
        Check(
            "sugar_for_alcohol",
            f"{percent} % vol",
            IFV,
            grams,
            lambda p=percent: potential.sugar_for_alcohol(p),
            "g/L",
            1,
            "printed whole, and 101 as 100",
        )
        for percent, grams in ((6, 100), (5, 84), (4, 67))
    ),
    *(
        Check(
            "potential_alcohol_from_gravity",
            f"{oe} Oechsle",
            LEXICON,
            percent,
            lambda oe=oe: potential.potential_alcohol_from_gravity(1 + oe / 1000),
            "% vol",
            0.3,
            "the German pages count about 17.1 to 17.3 g/L for 1 % vol, the official figure here is 16.83",
        )
        for oe, percent in ((76, 10.0), (80, 10.6), (100, 13.8))
    ),
    Check(
        "potential_alcohol_from_brix",
        "24 Brix, to plan with",
        DAVIS,
        14.4,
        lambda: potential.potential_alcohol_from_brix(24),
        "% vol",
        0.05,
    ),
    Check(
        "potential_alcohol_from_brix",
        "24 Brix, at most",
        DAVIS,
        15.6,
        lambda: potential.potential_alcohol_from_brix(24, 0.65),
        "% vol",
        0.05,
    ),
    Check(
        "sugar_to_add",
        "100 L from 11 to 12 % vol, room of the sugar left out",
        BORDEAUX,
        1700,
        lambda: added.sugar_to_add(100, 11, 12, sugar_volume_l_per_kg=0),
        "g",
        0.5,
    ),
    Check(
        "sugar_to_add",
        "100 L from 10 to 12 % vol",
        "worked by hand from the balance of alcohol and volume",
        3892.3,
        lambda: added.sugar_to_add(100, 10, 12),
        "g",
        0.1,
        "hand sum: 3892.3 g make 228.96 L % vol and 2.4132 L; (1000 + 228.96) / 102.4132 = 12.000",
    ),
    Check(
        "potential_alcohol_after_sugar",
        "100 L of 10 % vol with 3892.3 g",
        "worked by hand from the balance of alcohol and volume",
        12.0,
        lambda: added.potential_alcohol_after_sugar(100, 10, 3892.3),
        "% vol",
        0.001,
        "hand sum: (1000 + 228.96) / 102.4132",
    ),
    Check(
        "volume_after_sugar",
        "50 g in 950 g of water",
        CHEN,
        1 / (8.486 * _G_PER_L / 1000),
        lambda: added.volume_after_sugar(0.95 / (8.322 * _G_PER_L / 1000), 50),
        "L",
        0.0003,
        "0.62 L/kg suits must of 10 to 30 Brix; at 5 Brix the print gives 0.615, and rounds it to 0.002",
    ),
    Check(
        "corrected_gravity",
        "80 Oechsle read at 25 C",
        MOSTWAAGE,
        5 / 3.5,
        lambda: 1000 * (hydrometer.corrected_gravity(1.08, 25) - 1.08),
        "Oe",
        0.1,
        "one straight rule for all musts and temperatures",
    ),
    Check(
        "corrected_gravity",
        "10 % alcohol by mass read at 10 C",
        "from memory: Perry's handbook, density 0.98393 at 10 C and 0.98187 at 20 C; glass 25e-6 for each C",
        0.98187 / 0.9982,
        lambda: hydrometer.corrected_gravity(0.98393 / 1.00025 / 0.9982, 10, 20, 12.44),
        "SG",
        0.00003,
        "R22 and the handbook differ by 0.02 kg/m3",
    ),
    Check(
        "gravity_at_20_c",
        "water at 15 C in an instrument for 15 C",
        "definition: water reads 1.000 at its temperature",
        1.0,
        lambda: hydrometer.gravity_at_20_c(1.0, 15, 15),
        "SG",
        1e-9,
    ),
    Check(
        "gravity_at_20_c",
        "20 Brix read at 25 C",
        HYDROMETER,
        1.08442,
        lambda: hydrometer.gravity_at_20_c(scales.gravity_from_brix(20), 25),
        "SG",
        0.0001,
        "20.32 Brix by the table, which is SG 1.0844 between the 1.08297 and 1.08744 of 20 and 21 Brix",
    ),
)
