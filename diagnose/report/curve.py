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
    low, high = _bounds([value for _, value in curve.points])
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
    still = (Tick(across(curve.still_from), "stands still"),) if curve.still_from is not None else ()
    return Drawing(
        title=title,
        description=f"{title}, over days since {begun}. The latest readings: {said}.",
        across=f"days since {begun}",
        points=tuple(Point(across(day), up(value), False, curve.shown[at]) for at, (day, value) in drawn),
        across_ticks=tuple(Tick(across(day), str(day)) for day in days),
        up_ticks=tuple(Tick(up(value), label) for value, label in _ticks(low, high)),
        limit=None,
        marks=(*marks, *still),
        top=_TOP,
    )


def _bounds(values: list[float]) -> tuple[float, float]:
    """The round numbers just below the lowest and above the highest."""
    step = _step(min(values), max(values))
    low, high = math.floor(min(values) / step) * step, math.ceil(max(values) / step) * step
    return low, high if high > low else low + step


def _step(low: float, high: float) -> float:
    """A round number that divides what lies between into a few parts."""
    rough = max((high - low) / _UP_TICKS, max(abs(high), 1e-9) * 1e-4)
    size = float(10.0 ** math.floor(math.log10(rough)))
    return next(size * factor for factor in (1, 2, 5, 10) if size * factor >= rough * (1 - 1e-9))


def _ticks(low: float, high: float) -> list[tuple[float, str]]:
    step = _step(low, high)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    count = math.floor((high - low) / step + 1e-6)
    return [(low + number * step, f"{low + number * step:.{places}f}") for number in range(count + 1)]
