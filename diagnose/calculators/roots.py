"""Where a sum that only rises, or only falls, comes to nothing."""

from __future__ import annotations

from collections.abc import Callable

from .amounts import OutOfRange


def bisect(function: Callable[[float], float], low: float, high: float, tolerance: float) -> float:
    """The number between `low` and `high` at which the function is 0, to within the tolerance.

    Raises `OutOfRange` when the function has the same sign at both ends.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0 or at_high == 0:
        return low if at_low == 0 else high
    if at_low * at_high > 0:
        raise OutOfRange(f"There is no answer between {low:g} and {high:g}. Check the inputs for a slip.")
    while high - low > tolerance:
        middle = (low + high) / 2
        at_middle = function(middle)
        if (at_middle > 0) == (at_high > 0):
            high = middle
        else:
            low = middle
    return (low + high) / 2
