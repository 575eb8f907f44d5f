"""A small plot of a table: in the terminal with letters alone, in sentences, or as a file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

_HEIGHT = 10
_MARK = "●"


class CannotPlot(RuntimeError):
    """The plot cannot be made; the message says what is missing."""


def plot_lines(
    points: Sequence[tuple[float, float]],
    across: str,
    up: str,
    width: int,
    *,
    ends: tuple[str, str] | None = None,
    marks: Sequence[tuple[float, str]] = (),
) -> list[str]:
    """The lines of a plot of points, no wider than `width` characters. At least two points.

    `ends` are the labels of the highest and the lowest, where three digits would not do. `marks` are single signs
    put below the line at a place.
    """
    low, high = min(y for _, y in points), max(y for _, y in points)
    left, right = points[0][0], points[-1][0]
    labels = ends or (f"{high:.3g}", f"{low:.3g}")
    margin = max(len(label) for label in labels)
    room = max(20, min(width, 72) - margin - 3)
    grid = [[" "] * room for _ in range(_HEIGHT)]
    for x, y in points:
        column = round((x - left) / (right - left) * (room - 1))
        down = round((high - y) / (high - low) * (_HEIGHT - 1)) if high > low else _HEIGHT - 1
        grid[down][column] = _MARK
    lines = [up]
    for at, row in enumerate(grid):
        label = labels[0] if at == 0 else labels[1] if at == _HEIGHT - 1 else ""
        lines.append(f"{label:>{margin}} │{''.join(row)}".rstrip())
    lines.append(" " * margin + " └" + "─" * room)
    within = [(x, sign) for x, sign in marks if left <= x <= right]
    if within:
        below = [" "] * room
        for x, sign in within:
            below[round((x - left) / (right - left) * (room - 1))] = sign
        lines.append((" " * (margin + 2) + "".join(below)).rstrip())
    ends = f"{left:.3g}", f"{right:.3g}"
    lines.append(" " * (margin + 2) + ends[0] + " " * (room - len(ends[0]) - len(ends[1])) + ends[1])
    lines.append(" " * (margin + 2) + across.center(room).rstrip())
    return lines


def plot_words(
    points: Sequence[tuple[float, float]], across: str, up: str, *, shown: Sequence[str] = ()
) -> tuple[str, ...]:
    """What a plot of rising `points` shows: first, last, highest, lowest and steepest. At least two points.

    `shown` are the values as a person reads them, where three digits would not do.
    """
    said = list(shown) or [f"{y:.3g}" for _, y in points]

    def at(index: int) -> str:
        return f"{said[index]} at {points[index][0]:.3g}"

    values = [y for _, y in points]
    low, high = values.index(min(values)), values.index(max(values))
    if low == high:
        return (f"{up}, by {across}: {at(0)}, and the same up to {points[-1][0]:.3g}.",)
    told = [f"{up}, by {across}: first {at(0)}, last {at(len(points) - 1)}."]
    ends = {said[0], said[-1]}
    between = [
        f"{name} {at(index)}"
        for name, index in (("highest", high), ("lowest", low))
        if said[index] not in ends
    ]
    if between:
        told.append(f"In between: {', '.join(between)}.")
    if len(points) > 2:
        steep = max(range(1, len(points)), key=lambda index: abs(_slope(points[index - 1], points[index])))
        told.append(f"Steepest from {at(steep - 1)} to {at(steep)}.")
    return tuple(told)


def _slope(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Two readings of one moment have no slope between them."""
    return (other[1] - one[1]) / (other[0] - one[0]) if other[0] > one[0] else 0.0


def save_plot(points: Sequence[tuple[float, float]], across: str, up: str, title: str, file: Path) -> None:
    """Draw the points into an SVG or PNG file. Raises CannotPlot, or OSError."""
    if file.suffix.lower() not in {".svg", ".png"}:
        raise CannotPlot(f"'{file.name}' is neither .svg nor .png. Give the file one of these endings.")
    try:
        from matplotlib.figure import Figure
    except ImportError:
        raise CannotPlot("Drawing to a file needs one more package: pip install 'diagnose[plot]'.") from None
    figure = Figure(figsize=(6, 4), layout="constrained")
    axes = figure.subplots()
    axes.plot([x for x, _ in points], [y for _, y in points], marker="o")
    axes.set_xlabel(across)
    axes.set_ylabel(up)
    axes.set_title(title)
    axes.grid(alpha=0.3)
    figure.savefig(file)
