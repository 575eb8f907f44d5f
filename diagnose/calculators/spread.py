"""Numbers that are not known exactly: what a spread in the inputs does to the result.

A spread is the plus-or-minus that covers a reading nineteen times out of twenty. The effect of each input is
found by working the sum at both of its ends, so curved sums give lopsided ranges; the effects of several
inputs are combined as the square root of the sum of their squares, as for errors that have nothing to do with
one another (JCGM 100:2008, Guide to the expression of uncertainty in measurement, 5.1.2, worked with whole
spreads instead of slopes). Two instruments that are wrong in the same way make a wider range than this.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from .amounts import OutOfRange

Verdict = Literal["below", "above", "straddles"]

_HALVINGS = 30


@dataclass(frozen=True)
class Spread:
    """A value and the plus-or-minus around it, in the unit of the value."""

    value: float
    plus_minus: float = 0.0


@dataclass(frozen=True)
class Range:
    """A result with its low and high end, in one unit."""

    low: float
    value: float
    high: float

    @property
    def exact(self) -> bool:
        """Whether no input had a spread that matters."""
        return self.low == self.high

    def against(self, limit: float) -> Verdict:
        """Where the range lies against a limit; exactly on it is `straddles`, for nothing is decided then."""
        if self.high < limit:
            return "below"
        if self.low > limit:
            return "above"
        return "straddles"


def spread_result(function: Callable[..., float], inputs: Mapping[str, Spread]) -> Range:
    """The result of a sum whose inputs are spread.

    Where an end of an input lies outside what the sum can use, the last value on the way there that it can
    use stands for it. Raises `OutOfRange` when the middle values themselves cannot be used, or a spread is
    below 0.
    """
    for name, spread in inputs.items():
        if not spread.plus_minus >= 0:
            raise OutOfRange(
                f"The spread of {name} is {spread.plus_minus:g}. Give a plus-or-minus of 0 or more."
            )
    middle = {name: spread.value for name, spread in inputs.items()}
    value = function(**middle)
    return combined(
        value,
        (
            [_at(function, middle, name, spread.value + side * spread.plus_minus) for side in (-1, 1)]
            for name, spread in inputs.items()
            if spread.plus_minus
        ),
    )


def range_result(function: Callable[..., float], inputs: Mapping[str, Range]) -> Range:
    """The result of a sum whose inputs are ranges, such as the results of other sums.

    As `spread_result`; the two ends of a range may lie unequally far from its middle. Raises `OutOfRange`.
    """
    middle = {name: given.value for name, given in inputs.items()}
    value = function(**middle)
    return combined(
        value,
        (
            [_at(function, middle, name, end) for end in (given.low, given.high)]
            for name, given in inputs.items()
            if not given.exact
        ),
    )


def combined(value: float, ends: Iterable[Sequence[float]]) -> Range:
    """The range of a result from what each spread input, moved to its ends, makes of it."""
    down = up = 0.0
    for results in ends:
        down += (value - min(*results, value)) ** 2
        up += (max(*results, value) - value) ** 2
    return Range(value - math.sqrt(down), value, value + math.sqrt(up))


def _at(function: Callable[..., float], middle: Mapping[str, float], name: str, end: float) -> float:
    """The result with one input moved to an end, or as far towards it as the sum allows."""
    try:
        return function(**{**middle, name: end})
    except OutOfRange:
        good, bad = middle[name], end
    result = function(**middle)
    for _ in range(_HALVINGS):
        tried = (good + bad) / 2
        try:
            result, good = function(**{**middle, name: tried}), tried
        except OutOfRange:
            bad = tried
    return result


def digits_after_point(range_: Range, most: int = 4) -> int | None:
    """How many decimals the spread leaves meaning in: two digits of the plus-or-minus; None if it is exact."""
    half = (range_.high - range_.low) / 2
    if half <= 0:
        return None
    return max(0, min(most, 1 - math.floor(math.log10(half))))
