"""A log of readings as rates per day, each with its noise."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from ..amounts import (
    CelsiusDifference,
    Days,
    GravityPoints,
    GravityPointsPerDay,
    PlainNumber,
    Readings,
    SpecificGravity,
    within,
)
from ..registry import worksheet
from .pace import BOTH_ENDS, READING_SPREAD, gravity_reading, spread_of_reading

Log: TypeAlias = tuple[tuple[float, float], ...]
"""Days and gravities, the days rising."""

GRAVITY_PER_C = 0.0002
"""Change of the gravity for each C that a sample was warmer or colder than thought: 0.206 kg/m3 per K for water
at 20 C, OIML R22 (1975)."""

FEW_READINGS = 3
"""With fewer on the line than this nothing tells whether the readings agree with it."""


@dataclass(frozen=True)
class LogLine:
    """One reading of the log against the one before it."""

    day: Days
    gravity: SpecificGravity
    fall_points: GravityPoints
    fall_points_per_day: GravityPointsPerDay
    spread_points_per_day: GravityPointsPerDay
    falls: bool
    """Whether the fall is larger than the noise of the two readings."""
    says: str


@worksheet("gravity_log", result="each reading against the one before")
def gravity_log(
    readings: Readings,
    reading_spread: SpecificGravity = READING_SPREAD,
    temperature_spread_c: CelsiusDifference = 0.0,
) -> tuple[LogLine, ...]:
    """A log of gravities as rates per day, with the noise of each, one line for each reading.

    `temperature_spread_c` is how far the sample may have been from the temperature that it was corrected for.
    Range: two or more readings 0.97 to 1.2, days rising; spread above 0 and at most 0.01; temperature spread 0 to
    20 C; raises `OutOfRange`. Formula: noise of a difference = spread x square root of 2 (JCGM 100:2008, 5.1.2).
    """
    log = log_of(readings)
    counts = 1000 * BOTH_ENDS * noise_of(reading_spread, temperature_spread_c)
    lines = [LogLine(log[0][0], log[0][1], 0.0, 0.0, 0.0, False, "first reading")]
    for (day0, gravity0), (day1, gravity1) in pairwise(log):
        days, fall = day1 - day0, 1000 * (gravity0 - gravity1)
        lines.append(
            LogLine(day1, gravity1, fall, fall / days, counts / days, fall > counts, _change(fall, counts))
        )
    return tuple(lines)


def _change(fall: float, counts: float) -> str:
    if fall > counts:
        return "falls"
    if fall < -counts:
        return "rises: read again at the marked temperature, free of gas and well mixed"
    return "no fall beyond the noise"


@dataclass(frozen=True)
class FallRate:
    """A straight line through the readings, by least squares."""

    readings: PlainNumber
    days: Days
    fall_points_per_day: GravityPointsPerDay
    spread_points_per_day: GravityPointsPerDay
    scatter_points: GravityPoints
    """How far the readings stray from the line, as a standard deviation; 0 when there are only two."""
    falls: bool
    few: bool
    says: str


@worksheet("fall_rate", result="fall per day through all the readings")
def fall_rate(
    readings: Readings,
    reading_spread: SpecificGravity = READING_SPREAD,
    temperature_spread_c: CelsiusDifference = 0.0,
) -> FallRate:
    """The fall in a day that fits all the readings best, with its noise.

    The noise comes from the spread of a reading, or from the scatter about the line where that is larger, as
    when the line is really a curve. Range: two or more readings 0.97 to 1.2, days rising; spread above 0 and at
    most 0.01; temperature spread 0 to 20 C; raises `OutOfRange`. Formula: least squares; spread of the slope =
    noise / square root of the sum of squared days from their mean, noise = the larger of the reading spread and
    twice the scatter (JCGM 100:2008, H.3, for the standard deviations).
    """
    return rate(log_of(readings), noise_of(reading_spread, temperature_spread_c))


@dataclass(frozen=True)
class StraightLine:
    """The line of least squares through a log, in gravity a day, and how far each reading strays from it."""

    slope: float
    across: float
    """Sum of the squared days from their mean."""
    strays: tuple[float, ...]


def straight_line(log: Log) -> StraightLine:
    """The line of least squares. Two readings or more, on different days."""
    mean_day = sum(day for day, _ in log) / len(log)
    mean_gravity = sum(gravity for _, gravity in log) / len(log)
    across = sum((day - mean_day) ** 2 for day, _ in log)
    slope = sum((day - mean_day) * (gravity - mean_gravity) for day, gravity in log) / across
    strays = tuple(gravity - mean_gravity - slope * (day - mean_day) for day, gravity in log)
    return StraightLine(slope, across, strays)


def rate(log: Log, noise: float) -> FallRate:
    """The fall in a day through a log whose readings have a noise."""
    line = straight_line(log)
    count = len(log)
    scatter = math.sqrt(sum(stray**2 for stray in line.strays) / (count - 2)) if count > 2 else 0.0
    spread = 1000 * max(noise, 2 * scatter) / math.sqrt(line.across)
    fall = 0.0 - 1000 * line.slope
    return FallRate(
        readings=float(count),
        days=log[-1][0] - log[0][0],
        fall_points_per_day=fall,
        spread_points_per_day=spread,
        scatter_points=1000 * scatter,
        falls=fall > spread,
        few=count < FEW_READINGS,
        says=_rate_words(fall, spread, count),
    )


def _rate_words(fall: float, spread: float, count: int) -> str:
    pace = f"{fall:.1f} ± {spread:.1f} points a day from {count} readings"
    if fall > spread:
        words = f"The gravity falls: {pace}."
    elif fall < -spread:
        words = (
            f"The gravity rises: {pace}. Read again at the marked temperature, free of gas and well mixed."
        )
    else:
        words = f"No fall beyond the noise: {pace}."
    return words + few_words(count)


def few_words(count: int) -> str:
    """What to add when the readings are few; nothing otherwise."""
    if count >= FEW_READINGS:
        return ""
    return f" {count} readings are few: take at least one more before acting."


def log_of(readings: Readings) -> Log:
    """The readings in order, each in range. Raises `OutOfRange`."""
    log = tuple((float(day), gravity_reading(gravity)) for day, gravity in readings)
    within(
        "number of readings", len(log), "", at_least=2, mend="One reading shows no rate: read again tomorrow."
    )
    within("first day", log[0][0], "", mend="Count days from the first reading.")
    for (day0, _), (day1, _) in pairwise(log):
        within(
            "day of a reading", day1, "", more_than=day0, mend="Put the readings in order, one for each time."
        )
    return log


def noise_of(reading_spread: float, temperature_spread_c: float) -> float:
    """Spread of one gravity: that of the reading, with that of the temperature of the sample."""
    within(
        "temperature spread",
        temperature_spread_c,
        "C",
        at_least=0,
        at_most=20,
        mend="Give 0 if every sample was read at the marked temperature or corrected.",
    )
    return math.hypot(spread_of_reading(reading_spread), GRAVITY_PER_C * temperature_spread_c)
