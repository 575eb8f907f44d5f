"""Alcohol, extract and the two instruments against printed figures."""

from __future__ import annotations

from checks import Check
from diagnose.calculators import refractometer
from diagnose.calculators.alcohol import extract, mixture, two_gravities

R22 = "OIML R22 (1975); Council Directive 76/766/EEC, annex"
R22_TABLE = "from memory: OIML R22 (1975), table at 20 C"
PERRY = "from memory: Perry's handbook, densities of alcohol in water by mass"
TABARIE = (
    "worked by hand from OIV-MA-AS2-03B, dr = dv - da + 1.000, with its table of dry extract from memory"
)
MODEL = "from memory: table of fermenting must worked from OIV-MA-AS2-03B, OIML R22 and 16.83 g/L for 1 % vol"
DROP = "from memory: common practice, 0.131 % vol a point"
BALLING = "worked by hand from Balling's balance, 2.0665 g of extract to 1 g of alcohol, 1.0665 g lost"
OIV_PRISM = "OIV-MA-AS2-02, Table I"
PRISM_1936 = "from memory: international temperature correction table of 1936 for refractometers"
INDICES = (
    "from memory: refractive indices of alcohol in water (CRC Handbook) and of sucrose (ICUMSA), "
    "read across by hand"
)
COARSE = "the indices of alcohol are printed to 0.0001, which is 0.07 Brix"

_R22_ROWS = (
    (5, 991.06, 3.982),
    (8, 987.16, 6.396),
    (10, 984.71, 8.015),
    (12, 982.35, 9.641),
    (13, 981.21, 10.457),
    (14, 980.08, 11.274),
    (16, 977.87, 12.914),
    (20, 973.56, 16.214),
)
_PERRY_ROWS = {
    10: ((10, 983.93), (15, 983.04), (20, 981.87), (25, 980.43), (30, 978.75)),
    20: ((10, 972.52), (20, 968.64), (30, 963.95)),
}
_PURE_ROW = ((10, 797.84), (15, 793.60), (25, 785.06), (30, 780.75), (35, 776.41), (40, 772.03))
_MODEL_ROWS = {
    1.08: (
        (137.1, 2.72, 1.0586),
        (91.4, 5.43, 1.0373),
        (45.7, 8.15, 1.0163),
        (40, 8.48, 1.0137),
        (30, 9.08, 1.0091),
        (20, 9.67, 1.0045),
        (15, 9.97, 1.0022),
        (10, 10.27, 0.9999),
        (5, 10.56, 0.9977),
        (2, 10.74, 0.9963),
        (0, 10.86, 0.9954),
    ),
    1.09: (
        (157.1, 3.11, 1.0655),
        (104.7, 6.22, 1.0413),
        (52.4, 9.33, 1.0173),
        (40, 10.07, 1.0116),
        (30, 10.66, 1.0071),
        (20, 11.25, 1.0025),
        (15, 11.55, 1.0002),
        (10, 11.85, 0.998),
        (5, 12.14, 0.9957),
        (2, 12.32, 0.9943),
        (0, 12.44, 0.9934),
    ),
    1.1: (
        (177.0, 3.51, 1.0725),
        (118.0, 7.01, 1.0452),
        (59.0, 10.52, 1.0183),
        (40, 11.65, 1.0097),
        (30, 12.24, 1.0051),
        (20, 12.83, 1.0006),
        (15, 13.13, 0.9983),
        (10, 13.43, 0.996),
        (5, 13.73, 0.9938),
        (2, 13.9, 0.9924),
        (0, 14.02, 0.9915),
    ),
    1.11: (
        (197.0, 3.9, 1.0794),
        (131.3, 7.8, 1.0493),
        (65.7, 11.7, 1.0194),
        (40, 13.23, 1.0078),
        (30, 13.82, 1.0032),
        (20, 14.41, 0.9987),
        (15, 14.71, 0.9965),
        (10, 15.01, 0.9942),
        (5, 15.31, 0.9919),
        (2, 15.48, 0.9906),
        (0, 15.6, 0.9897),
    ),
}
_OIV_PRISM_ROWS = {
    5: (-0.82, -0.87, -0.92, -0.95, -0.99),
    8: (-0.69, -0.73, -0.76, -0.79, -0.82),
    10: (-0.59, -0.62, -0.65, -0.67, -0.69),
    12: (-0.49, -0.51, -0.53, -0.55, -0.56),
    14: (-0.38, -0.39, -0.4, -0.42, -0.43),
    15: (-0.32, -0.33, -0.34, -0.35, -0.36),
    16: (-0.26, -0.27, -0.28, -0.28, -0.29),
    17: (-0.2, -0.2, -0.21, -0.21, -0.22),
}
_PRISM_1936_ROWS = {
    22: (0.14, 0.14, 0.15, 0.15, 0.15),
    25: (0.36, 0.37, 0.38, 0.38, 0.39),
    28: (0.6, 0.61, 0.62, 0.63, 0.63),
    30: (0.77, 0.78, 0.79, 0.8, 0.8),
}


def _mixture_checks() -> tuple[Check, ...]:
    density = tuple(
        Check(
            "alcohol_density",
            f"{v} % vol",
            R22_TABLE,
            rho,
            lambda v=v: mixture.alcohol_density(v),
            "kg/m3",
            0.006,
        )
        for v, rho, _ in _R22_ROWS
    )
    by_mass = tuple(
        Check(
            "alcohol_by_mass",
            f"{v} % vol",
            R22_TABLE,
            m,
            lambda v=v: mixture.alcohol_by_mass(v),
            "% mass",
            0.0006,
        )
        for v, _, m in _R22_ROWS
    )
    by_volume = tuple(
        Check(
            "alcohol_by_volume",
            f"{m} % by mass",
            R22_TABLE,
            v,
            lambda m=m: mixture.alcohol_by_volume(m),
            "% vol",
            0.0007,
        )
        for v, _, m in _R22_ROWS
    )
    warm = tuple(
        Check(
            "alcohol_density",
            f"{m} % by mass at {t} C",
            PERRY,
            rho,
            lambda m=m, t=t: mixture.alcohol_density(mixture.alcohol_by_volume(m), t),
            "kg/m3",
            0.05,
            "older measurements than those behind R22",
        )
        for m, row in _PERRY_ROWS.items()
        for t, rho in row
    )
    pure = tuple(
        Check(
            "alcohol_density",
            f"pure alcohol at {t} C",
            PERRY,
            rho,
            lambda t=t: mixture.alcohol_density(100, t),
            "kg/m3",
            0.15,
            "older measurements than those behind R22: at 20 C they lie 0.1 apart",
        )
        for t, rho in _PURE_ROW
    )
    return (*density, *by_mass, *by_volume, *warm, *pure)


def _ferment_checks() -> tuple[Check, ...]:
    rounded = "the gravity is printed to 0.0001, which is 0.02 % vol or 0.2 g/L"
    rows = [(start, *row) for start, table in _MODEL_ROWS.items() for row in table]
    alcohol = tuple(
        Check(
            "alcohol_by_sugar_balance",
            f"{start} to {now}",
            MODEL,
            percent,
            lambda a=start, b=now: two_gravities.alcohol_by_sugar_balance(a, b),
            "% vol",
            0.025,
            rounded,
        )
        for start, _, percent, now in rows
    )
    sugar = tuple(
        Check(
            "sugar_left_in_ferment",
            f"{start} to {now}",
            MODEL,
            grams,
            lambda a=start, b=now: two_gravities.sugar_left_in_ferment(a, b),
            "g/L",
            0.3,
            rounded,
        )
        for start, grams, _, now in rows
    )
    dry = tuple(
        Check(
            "gravity_when_dry",
            f"start {start}",
            MODEL,
            table[-1][2],
            lambda a=start: two_gravities.gravity_when_dry(a),
            "SG",
            0.0001,
        )
        for start, table in _MODEL_ROWS.items()
    )
    return (*alcohol, *sugar, *dry)


def _prism_checks() -> tuple[Check, ...]:
    tables = ((OIV_PRISM, _OIV_PRISM_ROWS), (PRISM_1936, _PRISM_1936_ROWS))
    return tuple(
        Check(
            "corrected_refractometer",
            f"{brix} % read at {t} C",
            source,
            correction,
            lambda b=brix, t=t: refractometer.corrected_refractometer(b, t) - b,
            "Brix",
            0.013,
            "rounding 0.005; one smooth curve through both tables, 0.008 off at most",
        )
        for source, table in tables
        for t, row in table.items()
        for brix, correction in zip((10, 15, 20, 25, 30), row, strict=True)
    )


CHECKS: tuple[Check, ...] = (
    *_mixture_checks(),
    *_ferment_checks(),
    *_prism_checks(),
    Check(
        "alcohol_density",
        "pure alcohol at 20 C, by which % vol is defined",
        R22,
        789.24,
        lambda: mixture.alcohol_density(100),
        "kg/m3",
        0.005,
    ),
    Check(
        "alcohol_density", "water at 20 C", R22, 998.20123, lambda: mixture.alcohol_density(0), "kg/m3", 1e-9
    ),
    Check(
        "alcohol_gravity", "12 % vol", R22_TABLE, 0.98413, lambda: mixture.alcohol_gravity(12), "SG", 0.000006
    ),
    Check(
        "alcohol_gravity", "14 % vol", R22_TABLE, 0.98185, lambda: mixture.alcohol_gravity(14), "SG", 0.000006
    ),
    Check(
        "alcohol_from_distillate_gravity",
        "0.98413",
        R22_TABLE,
        12,
        lambda: mixture.alcohol_from_distillate_gravity(0.98413),
        "% vol",
        0.005,
    ),
    Check(
        "alcohol_from_boiled_sample",
        "wine 0.9920, boiled 1.00787",
        TABARIE,
        12,
        lambda: mixture.alcohol_from_boiled_sample(0.992, 1.00787),
        "% vol",
        0.005,
        "0.9920 - 1.00787 + 1 = 0.98413, which is 12 % vol",
    ),
    Check(
        "true_extract",
        "0.9920 with 12 % vol",
        TABARIE,
        20.26,
        lambda: extract.true_extract(0.992, 12),
        "g/L",
        0.1,
        "between 18.0 at 1.007 and 20.6 at 1.008",
    ),
    Check(
        "extract_hidden_by_alcohol",
        "1.0020 with 12 % vol",
        TABARIE,
        41.0,
        lambda: extract.extract_hidden_by_alcohol(1.002, 12),
        "g/L",
        0.15,
        "dr = 1.01787 is 46.15, between 43.9 at 1.017 and 46.5 at 1.018; less 5.1 at 1.002",
    ),
    Check(
        "sugar_in_wine",
        "0.9920 with 12 % vol, 18 g/L besides sugar",
        TABARIE,
        2.26,
        lambda: extract.sugar_in_wine(0.992, 12, 18),
        "g/L",
        0.1,
    ),
    Check(
        "wine_gravity",
        "12 % vol and 20.6 g/L",
        TABARIE,
        0.99213,
        lambda: extract.wine_gravity(12, 20.6),
        "SG",
        0.00005,
        "0.98413 + 1.008 - 1",
    ),
    Check(
        "wine_density",
        "12 % vol, 2.6 g/L sugar, 18 g/L else",
        TABARIE,
        990.336,
        lambda: extract.wine_density(12, 2.6, 18),
        "kg/m3",
        0.05,
        "982.35 + 8 / 1.00180",
    ),
    Check(
        "density_without_so2",
        "1 g/L of sulfur dioxide",
        "OIV-MA-AS2-01A: 0.0006 g/mL for each g/L",
        1049.4,
        lambda: extract.density_without_so2(1050, 1000),
        "kg/m3",
        1e-9,
    ),
    Check(
        "alcohol_by_gravity_drop",
        "1.090 to 1.002",
        DROP,
        11.5,
        lambda: two_gravities.alcohol_by_gravity_drop(1.09, 1.002),
        "% vol",
        0.05,
    ),
    Check(
        "alcohol_by_balling",
        "100 g of 20 Brix that made 8 g of alcohol",
        BALLING,
        11.071,
        lambda: two_gravities.alcohol_by_balling(1.08297, 1.00085),
        "% vol",
        0.01,
        "91.468 g are left with 8.746 % alcohol and 3.791 % extract, so 0.214 Brix apparent; "
        "8.746 x 1.00085 x 998.2 / 789.24",
    ),
    Check(
        "alcohol_from_two_gravities",
        "1.090 to 0.9934, sugar balance",
        MODEL,
        12.44,
        lambda: two_gravities.alcohol_from_two_gravities(1.09, 0.9934)[0].alcohol_percent,
        "% vol",
        0.025,
    ),
    Check(
        "refractometer_reading",
        "6.27 % vol, no extract",
        INDICES,
        2.07,
        lambda: refractometer.refractometer_reading(6.27, 0),
        "Brix",
        0.07,
        COARSE,
    ),
    Check(
        "refractometer_reading",
        "12.44 % vol, no extract",
        INDICES,
        4.48,
        lambda: refractometer.refractometer_reading(12.44, 0),
        "Brix",
        0.07,
        COARSE,
    ),
    *(
        Check(
            "refractometer_reading",
            f"{grams} g/L of sucrose, no alcohol",
            INDICES,
            brix,
            lambda g=grams: refractometer.refractometer_reading(0, g),
            "Brix",
            0.02,
        )
        for brix, grams in ((5, 50.9), (10, 103.8), (20, 216.2), (24, 263.7))
    ),
    Check(
        "refractometer_reading",
        "12.44 % vol and 20 g/L",
        INDICES,
        6.39,
        lambda: refractometer.refractometer_reading(12.44, 20),
        "Brix",
        0.1,
        COARSE,
    ),
    Check(
        "alcohol_with_refractometer",
        "gravity 0.9914, refractometer 6.39",
        INDICES,
        12.44,
        lambda: refractometer.alcohol_with_refractometer(0.9914, 6.39),
        "% vol",
        0.15,
        COARSE,
    ),
    Check(
        "extract_with_refractometer",
        "gravity 0.9914, refractometer 6.39",
        INDICES,
        20,
        lambda: refractometer.extract_with_refractometer(0.9914, 6.39),
        "g/L",
        0.4,
        COARSE,
    ),
    Check(
        "hydrometer_with_refractometer",
        "gravity 0.9914, refractometer 6.39, 18 g/L besides sugar",
        INDICES,
        2,
        lambda: refractometer.hydrometer_with_refractometer(0.9914, 6.39, 18).sugar_g_per_l,
        "g/L",
        0.4,
        COARSE,
    ),
)
