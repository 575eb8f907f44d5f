"""Gravity readings turned into rates and verdicts, against printed regressions and printed lines."""

from __future__ import annotations

from math import sqrt

from checks import Check
from diagnose.calculators.ferment_log.pace import (
    days_to_gravity,
    days_to_see_a_fall,
    fall_per_day,
    gravity_points_for_sugar,
    smallest_fall_that_counts,
    sugar_for_gravity_points,
)
from diagnose.calculators.ferment_log.rates import fall_rate, gravity_log
from diagnose.calculators.ferment_log.verdict import ferment_verdict
from figures_nutrients import MUSTS, TABARIE

ANSCOMBE = (
    "from memory: Anscombe 1973, Graphs in statistical analysis, Am. Statistician 27(1):17-21, first set"
)
GUM = "from memory: JCGM 100:2008, Guide to the expression of uncertainty in measurement, H.3, table H.6"
PAMBIANCHI = "Pambianchi D., Modern Home Winemaking, author's own web extract"
SQUARES = "worked by hand from the law that independent errors add as squares (JCGM 100:2008, 5.1.2)"
BY_HAND = "worked by hand from the definition of a rate"

_ANSCOMBE_X = (4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14)
_ANSCOMBE_Y = (4.26, 5.68, 7.24, 4.82, 6.95, 8.81, 8.04, 8.33, 10.84, 7.58, 9.96)
ANSCOMBE_LOG = tuple((x, 1.1 - y / 1000) for x, y in zip(_ANSCOMBE_X, _ANSCOMBE_Y, strict=True))
"""Their y as points of fall below 1.100."""

_GUM_T = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
_GUM_B = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
GUM_LOG = tuple((t, 1.0 - b / 10) for t, b in zip(_GUM_T, _GUM_B, strict=True))
"""Their corrections of a thermometer in C as tenths of gravity, so that 0.001 C is 0.1 points."""


def _is(verdict: str, points_a_day: float, gravity: float) -> float:
    """1 when five exact daily readings that end at a gravity get this verdict at 22 C."""
    log = [(day, gravity + points_a_day * (4 - day) / 1000) for day in range(5)]
    return float(ferment_verdict(log, 22, reading_spread=0.0001).verdict == verdict)


def _stuck_after(hours: float) -> float:
    log = [(0, 1.040), (1, 1.020), (1 + hours / 24, 1.020)]
    return float(ferment_verdict(log, 22, reading_spread=0.0001).verdict == "stuck")


CHECKS: tuple[Check, ...] = (
    Check(
        "fall_rate",
        "first set of four, slope",
        ANSCOMBE,
        0.5,
        lambda: fall_rate(ANSCOMBE_LOG).fall_points_per_day,
        "points/day",
        0.0005,
    ),
    Check(
        "fall_rate",
        "first set of four, standard error of the slope",
        ANSCOMBE,
        0.118,
        lambda: fall_rate(ANSCOMBE_LOG, 0.0001).spread_points_per_day / 2,
        "points/day",
        0.0005,
        "our spread is two standard deviations",
    ),
    Check(
        "fall_rate",
        "calibration of a thermometer, slope 0.002 18",
        GUM,
        0.218,
        lambda: fall_rate(GUM_LOG).fall_points_per_day,
        "points/day",
        0.0005,
    ),
    Check(
        "fall_rate",
        "calibration of a thermometer, standard uncertainty of the slope 0.000 67",
        GUM,
        0.067,
        lambda: fall_rate(GUM_LOG, 0.0001).spread_points_per_day / 2,
        "points/day",
        0.0005,
        "our spread is two standard deviations",
    ),
    Check(
        "fall_rate",
        "calibration of a thermometer, standard deviation of the fit 0.003 5",
        GUM,
        0.35,
        lambda: fall_rate(GUM_LOG).scatter_points,
        "points",
        0.005,
    ),
    *(
        Check(
            "ferment_verdict",
            f"{fall} points a day ending at {gravity}: {verdict}",
            PAMBIANCHI,
            1,
            lambda v=verdict, f=fall, g=gravity: _is(v, f, g),
            "yes",
            0,
        )
        for verdict, fall, gravity in (
            ("sluggish", 4.8, 1.020),
            ("normal", 5.2, 1.020),
            ("sluggish", 4.8, 1.006),
            ("sluggish", 1.8, 1.004),
            ("normal", 2.2, 1.004),
            ("normal", 4.8, 1.004),
        )
    ),
    Check(
        "ferment_verdict",
        "no change of density for 24 hours: stuck",
        PAMBIANCHI,
        1,
        lambda: _stuck_after(24),
        "yes",
        0,
    ),
    Check(
        "ferment_verdict",
        "no change of density for 20 hours: not yet stuck",
        PAMBIANCHI,
        0,
        lambda: _stuck_after(20),
        "yes",
        0,
    ),
    Check(
        "smallest_fall_that_counts",
        "spread 0.001: 1.414 points",
        SQUARES,
        sqrt(2),
        lambda: smallest_fall_that_counts(0.001),
        "points",
        1e-9,
    ),
    Check(
        "days_to_see_a_fall",
        "2 points a day, spread 0.001: 0.707 days",
        SQUARES,
        0.7071,
        lambda: days_to_see_a_fall(2, 0.001),
        "days",
        0.0001,
    ),
    Check(
        "gravity_log",
        "noise of a rate over half a day, spread 0.001: 2.83 points a day",
        SQUARES,
        2.828,
        lambda: gravity_log([(0, 1.05), (0.5, 1.04)])[1].spread_points_per_day,
        "points/day",
        0.001,
    ),
    Check(
        "gravity_log",
        "1.050 to 1.040 in half a day: 20 points a day",
        BY_HAND,
        20,
        lambda: gravity_log([(0, 1.05), (0.5, 1.04)])[1].fall_points_per_day,
        "points/day",
        1e-9,
    ),
    Check(
        "fall_per_day",
        "1.090 to 1.060 in 3 days: 10 points a day",
        BY_HAND,
        10,
        lambda: fall_per_day(1.09, 1.06, 3),
        "points/day",
        1e-9,
    ),
    Check(
        "days_to_gravity",
        "1.030 to 0.995 at 7 points a day: 5 days",
        BY_HAND,
        5,
        lambda: days_to_gravity(1.03, 0.995, 7),
        "days",
        1e-9,
    ),
    *(
        Check(
            "gravity_points_for_sugar",
            f"must of {start}, {sugar - left:.1f} g/L fermented",
            TABARIE,
            1000 * (start - gravity),
            lambda gone=sugar - left: gravity_points_for_sugar(gone),
            "points",
            0.012 * 1000 * (start - gravity),
            "one factor for all musts: 1.2 % between musts of 1.080 and 1.110",
        )
        for start, (sugar, _, points) in MUSTS.items()
        for left, gravity in points
    ),
    *(
        Check(
            "sugar_for_gravity_points",
            f"must of {start} at {gravity}",
            TABARIE,
            sugar - left,
            lambda fall=1000 * (start - gravity): sugar_for_gravity_points(fall),
            "g/L",
            0.012 * (sugar - left),
            "one factor for all musts: 1.2 % between musts of 1.080 and 1.110",
        )
        for start, (sugar, _, points) in MUSTS.items()
        for left, gravity in points
    ),
)
