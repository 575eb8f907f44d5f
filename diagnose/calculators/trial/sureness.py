"""How sure a difference between jars is, beside the spread between equal jars, or by counting blind preferences."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ..amounts import within
from ..tasting import guessing_chance_percent, more_tastings_to_settle

Word = Literal["sure enough", "likely", "a coin toss", "unknown"]

SURE_PERCENT = 5.0
"""Chance by luck up to which a difference is called sure enough (common practice)."""

LIKELY_PERCENT = 25.0
"""Chance by luck up to which it is called likely (judgement of this program)."""

MOST_JARS = 20
"""Where so many equal jars would not settle it, the difference is too small to care about."""


@dataclass(frozen=True)
class Sureness:
    """A word, the chance in percent that luck alone makes so wide a difference, either way, and how many more
    jars of each dose would settle it; None where that is not known. `counted` is of ranks: one person's
    preferences, not a measured spread, and `more` is further pairs, all ranked the same way.
    """

    word: Word
    luck_percent: float | None = None
    more: int | None = None
    counted: bool = False


UNKNOWN = Sureness("unknown")


def student_two_sided(t: float, freedom: int) -> float:
    """The chance that Student's t lies as far from 0 as `t`, on either side.

    Range: freedom 1 or more. Formula: the finite series for whole degrees of freedom, Abramowitz and Stegun,
    Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (from memory). Raises `OutOfRange`.
    """
    within("degrees of freedom", freedom, "", at_least=1, mend="Two equal jars give one.")
    angle = math.atan(abs(t) / math.sqrt(freedom))
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = freedom % 2
    term, total = (cosine if odd else 1.0), 0.0
    for k in range(2 + odd, freedom + 1, 2):
        total += term
        term *= cosine * cosine * (k - 1) / k
    inside = 2 / math.pi * (angle + sine * total) if odd else sine * total
    return min(1.0, max(0.0, 1 - inside))


def beside_the_spread(
    first: Sequence[float], second: Sequence[float], groups: Sequence[Sequence[float]]
) -> Sureness:
    """How sure the difference of two means is; `groups` are all sets of equal jars, whose spread is pooled.

    The spread is taken to be the same at every dose. Equal jars that all read alike show no spread, which is
    less than a proof: the meter may be too coarse. Then it is at most likely, without a figure.
    """
    freedom = sum(len(group) - 1 for group in groups if len(group) > 1)
    if freedom < 1 or not first or not second:
        return UNKNOWN
    gap = abs(statistics.fmean(first) - statistics.fmean(second))
    scatter = math.fsum(statistics.variance(group) * (len(group) - 1) for group in groups if len(group) > 1)
    spread = math.sqrt(scatter / freedom)
    if spread == 0:
        return Sureness("likely" if gap > 0 else "a coin toss")
    luck = _luck(gap, spread, len(first), len(second), freedom)
    more = _more_jars(gap, spread, max(len(first), len(second)), sum(len(group) > 1 for group in groups))
    return Sureness(_word(luck), luck, 0 if luck <= SURE_PERCENT else more)


def by_preference(first: Sequence[float], second: Sequence[float]) -> Sureness:
    """How sure it is that one person ranks the first lower (better) than the second, or the other way round.

    Equal jars are taken in pairs as they were set up; a pair that is ranked alike is left out. Of the rest
    the chance is exact that somebody who finds no difference prefers one of them so often, either way.
    """
    wins = [one < other for one, other in zip(first, second, strict=False) if one != other]
    if min(len(first), len(second)) < 2:
        return UNKNOWN
    if not wins:
        return Sureness("a coin toss", 100.0, counted=True)
    right = max(sum(wins), len(wins) - sum(wins))
    luck = min(100.0, 2 * guessing_chance_percent(right, len(wins), 2))
    more = int(more_tastings_to_settle(right, len(wins), 2, SURE_PERCENT / 2))
    return Sureness(_word(luck), luck, more, counted=True)


def _word(luck_percent: float) -> Word:
    if luck_percent <= SURE_PERCENT:
        return "sure enough"
    return "likely" if luck_percent <= LIKELY_PERCENT else "a coin toss"


def _luck(gap: float, spread: float, first: int, second: int, freedom: int) -> float:
    return 100 * student_two_sided(gap / (spread * math.sqrt(1 / first + 1 / second)), freedom)


def _more_jars(gap: float, spread: float, now: int, groups: int) -> int | None:
    """How many more equal jars of each dose would settle it, if gap and spread stay as they are."""
    for jars in range(now + 1, MOST_JARS + 1):
        if _luck(gap, spread, jars, jars, groups * (jars - 1)) <= SURE_PERCENT:
            return jars - now
    return None
