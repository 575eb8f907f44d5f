"""How a ferment stands by its log."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import (
    Celsius,
    CelsiusDifference,
    Days,
    GravityPointsPerDay,
    PlainNumber,
    Readings,
    SpecificGravity,
    within,
)
from ..registry import worksheet
from .pace import BOTH_ENDS, READING_SPREAD, gravity_reading
from .rates import FallRate, Log, few_words, log_of, noise_of, rate, straight_line

STUCK_AFTER_DAYS = 1.0
"""A ferment without change of density for 24 hours is stuck: Pambianchi, Modern Home Winemaking. Others wait two
days (common practice)."""

SLUGGISH_ABOVE_POINTS = 5.0
SLUGGISH_BELOW_POINTS = 2.0
LINES_CHANGE_AT = 1.005
"""A fall smaller than 5 points a day above 1.005, or 2 below, is sluggish where the temperature is favourable:
Pambianchi, Modern Home Winemaking; that it is meant by the day follows from its 24 hours."""

DRY_GRAVITY = 0.996
"""Dry wines read 0.990 to 0.996, from memory. Only a sugar test proves dryness."""

COLDEST_C = 17.0
HOTTEST_C = 30.0
"""Least temperature for white and red, greatest for red (22 for white): Cuenat, Revue suisse Vitic.
Arboric. Hortic. 29(4), 1997."""


@dataclass(frozen=True)
class FermentVerdict:
    """How a ferment stands, and the line it was judged by."""

    verdict: str
    """normal, between normal and sluggish, sluggish, still working slowly, stuck, standing still, finished, rising
    or cannot say yet."""
    gravity: SpecificGravity
    readings_used: PlainNumber
    days_used: Days
    fall_points_per_day: GravityPointsPerDay
    spread_points_per_day: GravityPointsPerDay
    sluggish_under_points_per_day: GravityPointsPerDay
    few: bool
    says: str
    temperature: str


@worksheet("ferment_verdict", result="normal, sluggish, stuck, finished or still working")
def ferment_verdict(
    readings: Readings,
    must_temperature_c: Celsius,
    reading_spread: SpecificGravity = READING_SPREAD,
    temperature_spread_c: CelsiusDifference = 0.0,
    stuck_after_days: Days = STUCK_AFTER_DAYS,
    dry_gravity: SpecificGravity = DRY_GRAVITY,
    lines_change_at: SpecificGravity = LINES_CHANGE_AT,
    sluggish_above_points_per_day: GravityPointsPerDay = SLUGGISH_ABOVE_POINTS,
    sluggish_below_points_per_day: GravityPointsPerDay = SLUGGISH_BELOW_POINTS,
    coldest_c: Celsius = COLDEST_C,
    hottest_c: Celsius = HOTTEST_C,
) -> FermentVerdict:
    """How a ferment stands by its log: normal, sluggish, stuck, finished or still working slowly.

    Judged is the present stretch: the longest run of latest readings of which none strays from one straight line
    by more than its spread, or, where the later half of its days or more is level, that level. A fall counts when
    it is larger than its spread. It is normal or sluggish only when it lies clear of the line by its spread.
    Without a fall the ferment is stuck or finished only when even the most that the noise could hide is under the
    line and the stretch is long enough. In the cold a slow fall is not called sluggish but still working slowly.

    Range: two or more readings 0.97 to 1.2, days rising; must -5 to 50 C; spread above 0 and at most 0.01;
    temperature spread 0 to 20 C; waiting time 0.5 to 60 days; lines above 0 and at most 100 points a day; raises
    `OutOfRange`. Source: lines of 5 and 2 points a day about 1.005 and 24 hours without change, Pambianchi,
    Modern Home Winemaking; 17 and 30 C, Cuenat, Revue suisse Vitic. Arboric. Hortic. 29(4), 1997; the gravity
    of a dry wine is from memory.
    """
    log = log_of(readings)
    within("must", must_temperature_c, "C", at_least=-5, at_most=50, mend="Measure it in the liquid, in C.")
    within("waiting time", stuck_after_days, "days", at_least=0.5, at_most=60, mend="One or two is usual.")
    gravity = log[-1][1]
    line = _line(
        sluggish_above_points_per_day
        if gravity > gravity_reading(lines_change_at)
        else sluggish_below_points_per_day
    )
    noise = noise_of(reading_spread, temperature_spread_c)
    stretch = present_stretch(log, noise)
    pace = rate(stretch, noise)
    verdict = _verdict(
        pace,
        line,
        dry=gravity <= gravity_reading(dry_gravity),
        cold=must_temperature_c < coldest_c,
        fell_before=max(reading for _, reading in log) - gravity > BOTH_ENDS * noise,
        stuck_after_days=stuck_after_days,
    )
    return FermentVerdict(
        verdict=verdict,
        gravity=gravity,
        readings_used=pace.readings,
        days_used=pace.days,
        fall_points_per_day=pace.fall_points_per_day,
        spread_points_per_day=pace.spread_points_per_day,
        sluggish_under_points_per_day=line,
        few=pace.few,
        says=_MEANING[verdict] + few_words(len(stretch)),
        temperature=_temperature_words(must_temperature_c, coldest_c, hottest_c),
    )


def present_stretch(log: Log, noise: float) -> Log:
    """The longest run of latest readings that lie on one straight line within their noise.

    Where it falls and yet its later half or more is level, that level: the end of a fall and the standstill after it
    often lie on one line within the noise, and a ferment that stands would be called slow.
    """
    line = _on_one_line(log, noise)
    pace = rate(line, noise)
    if abs(pace.fall_points_per_day) <= pace.spread_points_per_day:
        return line
    still = level(line, noise)
    long_enough = len(still) > 2 and 2 * (still[-1][0] - still[0][0]) >= line[-1][0] - line[0][0]
    return still if long_enough else line


def _on_one_line(log: Log, noise: float) -> Log:
    for start in range(len(log) - 2):
        if all(abs(stray) <= noise for stray in straight_line(log[start:]).strays):
            return log[start:]
    return log[-2:]


def level(log: Log, noise: float) -> Log:
    """The latest readings that differ by less than one of them is known."""
    low = high = log[-1][1]
    for start in range(len(log) - 1, -1, -1):
        low, high = min(low, log[start][1]), max(high, log[start][1])
        if high - low >= noise * (1 - 1e-9):
            return log[start + 1 :]
    return log


def _verdict(
    pace: FallRate, line: float, *, dry: bool, cold: bool, fell_before: bool, stuck_after_days: float
) -> str:
    least = pace.fall_points_per_day - pace.spread_points_per_day
    most = pace.fall_points_per_day + pace.spread_points_per_day
    if least > 0:
        return _falling(least, most, line, dry=dry, cold=cold)
    if most < 0:
        return "rising"
    if most >= line or pace.days < stuck_after_days * (1 - 1e-9):
        return "cannot say yet"
    if dry:
        return "finished"
    return "stuck" if fell_before else "standing still"


def _falling(least: float, most: float, line: float, *, dry: bool, cold: bool) -> str:
    if dry:
        return "still working slowly"
    if least >= line:
        return "normal"
    if most < line:
        return "still working slowly" if cold else "sluggish"
    return "between normal and sluggish"


_MEANING = {
    "normal": "It falls at least as fast as it should.",
    "between normal and sluggish": "It falls, but the readings cannot tell whether fast enough. Read on.",
    "sluggish": "It falls, but too slowly for its gravity and temperature.",
    "still working slowly": "It falls slowly, and that is no fault here: it is cold or at its end. Read on.",
    "stuck": "It fell before and falls no more, with the gravity above that of a dry wine. Make sure by a sugar "
    "test before any treatment.",
    "standing still": "The log shows no fall at all. If the yeast went in within the last two days it may still "
    "be starting; otherwise it is stuck, or was before the log began.",
    "finished": "It falls no more, at the gravity of a dry wine. Only a sugar test proves that it is dry.",
    "rising": "A ferment does not rise: read again at the marked temperature, free of gas and well mixed.",
    "cannot say yet": "No fall beyond the noise, but a fall could be hidden in it. Wait longer and read again.",
}


def _temperature_words(must_c: float, coldest_c: float, hottest_c: float) -> str:
    if must_c < coldest_c:
        return f"{must_c:g} C is colder than {coldest_c:g}: warm it slowly before judging the yeast."
    if must_c > hottest_c:
        return f"{must_c:g} C is hotter than {hottest_c:g}: heat itself slows and kills yeast. Cool it first."
    return f"{must_c:g} C is favourable."


def _line(value: float) -> float:
    return within("line", value, "points a day", more_than=0, at_most=100, mend="5 and 2 are published.")
