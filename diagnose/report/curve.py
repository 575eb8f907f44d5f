"""Readings over days as a drawing, with what was done and where it stands still."""

from __future__ import annotations

import math

from diagnose.logbook.told import Curve, Done, LogTold

from .drawing import HEIGHT, WIDTH, Drawing, Point, Tick

_LEFT, _RIGHT, _TOP, _BOTTOM = 56, 16, 28, 52
_UP_TICKS, _ACROSS_TICKS = 4, 8
MOST_DRAWN = 400
"""Points of a curve that are drawn; of more every second, third or so is left out."""


def draw_log(log: LogTold) -> tuple[Drawing, ...]:
    """A drawing of each thing that was read twice or more."""
    length = max([row for curve in log.curves for row, _ in curve.points] + [done.at for done in log.done])
    return tuple(_draw(curve, log.done, length, log.begun) for curve in log.curves if len(curve.points) > 1)


def _draw(curve: Curve, done: tuple[Done, ...], length: float, begun: str) -> Drawing:
    steps = _steps([value for _, value in curve.points])
    low, high = steps[0], steps[-1]
    span = length or 1.0

    def across(day: float) -> float:
        return round(_LEFT + day / span * (WIDTH - _LEFT - _RIGHT), 1)

    def up(value: float) -> float:
        return round(_TOP + (high - value) / (high - low) * (HEIGHT - _TOP - _BOTTOM), 1)

    every = math.ceil(len(curve.points) / MOST_DRAWN)
    drawn = list(enumerate(curve.points))[::-1][::every][::-1]
    days = range(0, math.floor(span) + 1, max(1, math.ceil(span / _ACROSS_TICKS)))
    title = f"{curve.title}, {curve.unit}" if curve.unit else curve.title
    said = "; ".join(
        f"day {day:.3g}: {shown}"
        for (day, _), shown in zip(curve.points[-12:], curve.shown[-12:], strict=True)
    )
    marks = [Tick(across(one.at), str(number)) for number, one in enumerate(done, 1)]
    still = None if curve.still_from is None else Tick(across(curve.still_from), "stands still")
    stands = "" if curve.still_from is None else f" It stands still from day {curve.still_from:.3g}."
    return Drawing(
        title=title,
        description=f"{title}, over days since {begun}. The latest readings: {said}.{stands}",
        across=f"days since {begun}",
        points=tuple(Point(across(day), up(value), False, curve.shown[at]) for at, (day, value) in drawn),
        across_ticks=tuple(Tick(across(day), str(day)) for day in days),
        up_ticks=tuple(Tick(up(value), f"{value:.{_places(steps)}f}") for value in steps),
        limit=None,
        marks=tuple(marks),
        still=still,
        top=_TOP,
    )


def _steps(values: list[float]) -> list[float]:
    """Round numbers from just below the lowest to just above the highest."""
    low, high = min(values), max(values)
    rough = max((high - low) / _UP_TICKS, max(abs(high), abs(low), 1e-3) * 1e-4)
    size = float(10.0 ** math.floor(math.log10(rough)))
    step = next(size * factor for factor in (1, 2, 5, 10) if size * factor >= rough * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [number * step for number in range(first, max(last, first + 1) + 1)]


def _places(steps: list[float]) -> int:
    """Decimals that tell neighbouring steps apart."""
    return max(0, -math.floor(math.log10(steps[1] - steps[0]) + 1e-9))
