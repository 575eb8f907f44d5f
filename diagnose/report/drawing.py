"""A drawing as points and ticks, and the readings of a trial as one; the drawing itself is a template."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

WIDTH, HEIGHT = 360, 220
"""Narrow as a telephone, so that its words are not shrunk there."""

_LEFT, _RIGHT, _TOP, _BOTTOM = 44, 12, 20, 52
_TICKS = 4


@dataclass(frozen=True)
class Tick:
    """A mark on an axis, at `at` pixels."""

    at: float
    label: str


@dataclass(frozen=True)
class Point:
    """A jar, or a reading of the log: where it lies, whether its dose was chosen, and its reading."""

    x: float
    y: float
    chosen: bool
    label: str


@dataclass(frozen=True)
class Drawing:
    """One kind of reading over the jars or the days, in pixels of a `WIDTH` by `HEIGHT` frame.

    `limit` is a level to reach.
    """

    title: str
    description: str
    across: str
    points: tuple[Point, ...]
    across_ticks: tuple[Tick, ...]
    up_ticks: tuple[Tick, ...]
    limit: Tick | None
    marks: tuple[Tick, ...] = ()
    """Days on which something was done, by number."""
    still: Tick | None = None
    """Where the readings begin to stand still."""
    width: int = WIDTH
    height: int = HEIGHT
    left: int = _LEFT
    right: int = WIDTH - _RIGHT
    top: int = _TOP
    bottom: int = HEIGHT - _BOTTOM


def draw(
    title: str,
    doses: Sequence[str],
    values: Sequence[float | None],
    chosen: int | None,
    *,
    ranks: bool = False,
    limit: tuple[float, str] | None = None,
) -> Drawing | None:
    """Jars evenly spaced, since ladders rise by factors; None where fewer than two were read.

    A rank is drawn with 1 at the top, where the best jar belongs; other readings rise from nought.
    """
    read = [(index, value) for index, value in enumerate(values) if value is not None]
    if len(read) < 2:
        return None
    high = max([value for _, value in read] + ([limit[0]] if limit else []))
    steps = [float(rank) for rank in range(1, int(high) + 1)] if ranks else _even_steps(high)
    low, top = (1.0, max(steps[-1], 2.0)) if ranks else (0.0, steps[-1])

    def across(index: int) -> float:
        return round(_LEFT + (index + 0.5) * (WIDTH - _LEFT - _RIGHT) / len(values), 1)

    def up(value: float) -> float:
        share = (value - low) / (top - low)
        return round(_TOP + (share if ranks else 1 - share) * (HEIGHT - _TOP - _BOTTOM), 1)

    said = "; ".join(f"{doses[index]}: {value:g}" for index, value in read)
    return Drawing(
        title=title,
        description=f"{title}, dose in g/L and reading: {said}.",
        across="dose in g/L",
        points=tuple(Point(across(index), up(value), index == chosen, f"{value:g}") for index, value in read),
        across_ticks=tuple(Tick(across(index), dose) for index, dose in enumerate(doses)),
        up_ticks=tuple(Tick(up(step), f"{step:g}") for step in steps),
        limit=Tick(up(limit[0]), limit[1]) if limit else None,
    )


def _even_steps(high: float) -> list[float]:
    """Round numbers from nought to just above the highest."""
    if high <= 0:
        return [0.0, 1.0]
    rough = high / _TICKS
    size = 10 ** math.floor(math.log10(rough))
    step = next(size * factor for factor in (1, 2, 5, 10) if size * factor >= rough * (1 - 1e-9))
    return [step * number for number in range(math.ceil(high / step - 1e-9) + 1)]
