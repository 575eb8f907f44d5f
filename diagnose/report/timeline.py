"""The days of a plan as a drawing: a line for each step, from its beginning to the last look."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from diagnose.planning.whole import PlannedStep, WholePlan
from diagnose.present.timeline import date_words

from .drawing import WIDTH, Tick

_LEFT, _RIGHT, _TOP, _ROW = 34, 16, 30, 28


@dataclass(frozen=True)
class Line:
    """A step, in pixels: its number, where it begins, the looks, and where its line ends."""

    label: str
    y: float
    start: float
    looks: tuple[float, ...]
    end: float
    open: bool
    """Whether no day to look can be named; the line then runs to the edge."""


@dataclass(frozen=True)
class Timeline:
    """The drawing of all steps, in pixels."""

    description: str
    first: Tick
    last: Tick | None
    """None where everything falls on one day."""
    lines: tuple[Line, ...]
    height: int
    width: int = WIDTH
    top: int = _TOP


def draw_days(plan: WholePlan, said: str) -> Timeline | None:
    """The days of the steps; None where there is no step. `said` tells the same in words."""
    if not plan.steps:
        return None
    days = (plan.ends - plan.begins).days
    right = WIDTH - _RIGHT

    def across(day: date) -> float:
        return round(_LEFT + (day - plan.begins).days / (days or 1) * (right - _LEFT), 1)

    def line(number: int, step: PlannedStep) -> Line:
        looks = tuple(across(day) for day in step.checks)
        end = looks[-1] if looks else float(right)
        y = _TOP + (number - 0.5) * _ROW
        return Line(f"{number}.", y, across(step.start), looks, end, not looks)

    return Timeline(
        description=said,
        first=Tick(_LEFT, date_words(plan.begins)),
        last=Tick(right, date_words(plan.ends)) if days else None,
        lines=tuple(line(number, step) for number, step in enumerate(plan.steps, 1)),
        height=_TOP + _ROW * len(plan.steps) + 8,
    )
