"""A plan drawn as a line for each step, in signs that need no colour and no special letters; or told in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from diagnose.planning.whole import PlannedStep, WholePlan

START, WAITING, LOOK, OPEN = "#", "-", "o", ">"
LEGEND = "# begin   - wait   o look whether it worked   > no day can be named"
SHORT_LEGEND = "# begin  - wait  o look  > no day known"
LEAST_LINE = 20
"""Signs a line needs at least to tell days apart."""


def timeline(plan: WholePlan, names: Sequence[str], width: int) -> tuple[str, ...]:
    """The lines of the drawing, none wider than `width`: a scale, one line for each step, and what the signs mean.

    One sign is one day, or as many days as it takes to fit. Where two fall on one sign, the beginning counts most,
    then the look.
    """
    days = (plan.ends - plan.begins).days + 1
    # A sign for each day is worth a shorter name, but not a name that nobody can tell.
    longest = max(map(len, names), default=0) + 5
    label = min(longest, max(width * 2 // 5, width - 2 - max(days, LEAST_LINE)))
    room = width - label - 2
    per_sign = -(-days // room)
    lines = [f"{' ' * label}{_scale(plan.begins, plan.ends, -(-days // per_sign))}"]
    for number, (step, name) in enumerate(zip(plan.steps, names, strict=True), 1):
        head = f"{number:>2}. {_cut(name, label - 5)}"
        lines.append(f"{head:<{label}}{_line(plan.begins, step, per_sign)}".rstrip())
    if per_sign > 1:
        lines.append(f"One sign is {per_sign} days.")
    lines.append(LEGEND if len(LEGEND) <= width else SHORT_LEGEND)
    return tuple(lines)


def timeline_words(plan: WholePlan, names: Sequence[str]) -> tuple[str, ...]:
    """The days of each step in a sentence."""
    told = [f"From {day_words(plan.begins)} to {day_words(plan.ends)}."]
    for number, (step, name) in enumerate(zip(plan.steps, names, strict=True), 1):
        looks = " and ".join(map(day_words, dict.fromkeys(step.checks))) or "on no day that can be named"
        told.append(f"{number}. {name}: begin {day_words(step.start)}, look whether it worked {looks}.")
    return tuple(told)


def day_words(day: date) -> str:
    """A day as it stands in a calendar on the wall, in any language of the machine."""
    return f"{_DAYS[day.weekday()]} {date_words(day)}"


def date_words(day: date) -> str:
    """A day without the day of the week."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _scale(begins: date, ends: date, signs: int) -> str:
    first, last = date_words(begins), date_words(ends)
    gap = signs - len(first) - len(last)
    return f"{first}{' ' * gap}{last}" if gap > 0 else first


def _line(begins: date, step: PlannedStep, per_sign: int) -> str:
    def at(day: date) -> int:
        return (day - begins).days // per_sign

    last = at(max([step.start, *step.checks]))
    signs = [" "] * (last + 1)
    for place in range(at(step.start), last):
        signs[place] = WAITING
    for day in step.checks:
        signs[at(day)] = LOOK
    signs[at(step.start)] = START
    return "".join(signs) + (OPEN if not step.checks else "")


def _cut(name: str, room: int) -> str:
    return name if len(name) <= room else f"{name[: room - 1].rstrip()}…"
