"""What a blind tasting by one person can show: the exact chance that right answers were only guesses."""

from __future__ import annotations

import math

from .amounts import OutOfRange, Percent, PlainNumber, within
from .registry import calculator

_MOST_TASTINGS = 500


def _whole(what: str, value: float, low: int, high: int, mend: str) -> int:
    within(what, value, "", at_least=low, at_most=high, mend=mend)
    if value != int(value):
        raise OutOfRange(f"The {what} is {value:g}; it must be a whole number. {mend}")
    return int(value)


def _tastings(value: float) -> int:
    return _whole("number of tastings", value, 1, _MOST_TASTINGS, "Count each blind tasting once.")


def _glasses(value: float) -> int:
    return _whole("number of glasses", value, 2, 10, "2 for a pair, 3 for a triangle.")


def _level(value: float) -> float:
    return within("level", value, "%", more_than=0, at_most=50, mend="5 % is usual.")


def _by_luck(right: int, tastings: int, glasses: int) -> float:
    """The share of guessers who have at least so many right; in whole numbers, so that nothing is rounded."""
    ways = sum(math.comb(tastings, k) * (glasses - 1) ** (tastings - k) for k in range(right, tastings + 1))
    return float(ways / glasses**tastings)


@calculator(
    "guessing_chance_percent",
    result="chance of doing as well by guessing",
    formula="100 x sum over k from right to n of C(n, k) (1/g)^k (1 - 1/g)^(n - k)",
)
def guessing_chance_percent(right: PlainNumber, tastings: PlainNumber, glasses: PlainNumber = 3) -> Percent:
    """Chance that a person who tastes no difference has at least so many right, in percent.

    Each tasting has one right glass among `glasses`: 3 in a triangle, 2 in a pair where one glass is known
    to have more. It says nothing of other tasters: one nose was asked, however often.
    Range: 1 to 500 tastings, right from 0 to all of them, 2 to 10 glasses, all whole.
    Formula: the exact upper tail of the binomial distribution. Raises `OutOfRange`.
    """
    count = _tastings(tastings)
    hits = _whole("number right", right, 0, count, "There cannot be more right than were tasted.")
    return 100 * _by_luck(hits, count, _glasses(glasses))


@calculator(
    "right_needed",
    result="right answers needed",
    formula="least r with guessing chance of r among n at or below the level",
)
def right_needed(
    tastings: PlainNumber, glasses: PlainNumber = 3, level_percent: Percent = 5.0
) -> PlainNumber:
    """The least number right that guessing reaches no more often than the level allows.

    Range: 1 to 500 tastings, 2 to 10 glasses, whole; level above 0 and at most 50 %.
    Formula: the critical number of the exact binomial distribution.
    Raises `OutOfRange` where even all right could be luck.
    """
    count, of, level = _tastings(tastings), _glasses(glasses), _level(level_percent)
    for right in range(count + 1):
        if 100 * _by_luck(right, count, of) <= level:
            return float(right)
    raise OutOfRange(
        f"With {count} tastings of {of} glasses even all right could be luck, more often than {level:g} %. "
        "Taste more often."
    )


@calculator(
    "more_tastings_to_settle",
    result="more tastings, all right, that would settle it",
    formula="least m with guessing chance of right + m among n + m at or below the level",
)
def more_tastings_to_settle(
    right: PlainNumber, tastings: PlainNumber, glasses: PlainNumber = 3, level_percent: Percent = 5.0
) -> PlainNumber:
    """How many more tastings, every one of them right, would make luck unlikely; 0 when it is already.

    The least there can be: a miss among them asks for more. Fix the number before tasting, since tasting on
    until it suits makes luck likelier than the level says.
    Range: as for `guessing_chance_percent`; level above 0 and at most 50 %.
    Formula: the exact binomial distribution. Raises `OutOfRange`, also where 500 tastings would not do.
    """
    count, of, level = _tastings(tastings), _glasses(glasses), _level(level_percent)
    hits = _whole("number right", right, 0, count, "There cannot be more right than were tasted.")
    for more in range(_MOST_TASTINGS - count + 1):
        if 100 * _by_luck(hits + more, count + more, of) <= level:
            return float(more)
    raise OutOfRange(
        f"{hits} right of {count} would not be settled by {_MOST_TASTINGS} tastings in all. "
        "Take it that you taste no difference."
    )
