"""Figures as text: shares with their intervals, percentiles, ratios and tables."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence

Cells = Sequence[object]


def table(head: Cells, lines: Iterable[Cells]) -> list[str]:
    """A table in Markdown, the numbers to the right."""
    rule = ["---", *["---:"] * (len(head) - 1)]
    return [f"| {' | '.join(map(str, row))} |" for row in (head, rule, *lines)] + [""]


def share(hits: int, of: int) -> str:
    """A share in percent, with the interval that holds it 95 times in 100 (Wilson's)."""
    if not of:
        return "none to count"
    low, high = wilson(hits, of)
    return f"{100 * hits / of:.0f} % ({100 * low:.0f} to {100 * high:.0f})"


def wilson(hits: int, of: int) -> tuple[float, float]:
    """The ends of Wilson's interval for a share, at 95 %."""
    z, found = 1.96, hits / of
    middle = (found + z * z / (2 * of)) / (1 + z * z / of)
    half = z / (1 + z * z / of) * math.sqrt(found * (1 - found) / of + z * z / (4 * of * of))
    return max(0.0, middle - half), min(1.0, middle + half)


def percentile(values: Sequence[float], part: float) -> float:
    """The value that this part of all values does not exceed."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, math.ceil(part * len(ordered)) - 1)]


def mean(values: Sequence[float]) -> str:
    """A mean with one decimal."""
    return f"{statistics.fmean(values):.1f}" if values else "-"


def median(values: Sequence[float]) -> str:
    """A median with one decimal; endless when more than half of the values are."""
    if not values:
        return "-"
    found = statistics.median(values)
    return "not reached" if math.isinf(found) else f"{found:.1f}"


def met(value: float | None, goal: float) -> str:
    """Whether a figure keeps a goal that it must not exceed."""
    return "not measured" if value is None else ("yes" if value <= goal else "**no**")
