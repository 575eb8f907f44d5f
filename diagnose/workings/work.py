"""A sum worked in the open: the result with its range, the formula, and the formula with numbers put in."""

from __future__ import annotations

import contextlib
import dataclasses
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, get_type_hints

from diagnose.calculators import Calculator, OutOfRange, Worksheet
from diagnose.calculators.spread import Range, combined, digits_after_point, spread_result

from .inputs import Given

_NAME = re.compile(r"\b[A-Za-z][A-Za-z0-9_]*\b")


@dataclass(frozen=True)
class Worked:
    """One number worked out."""

    calculator: Calculator
    given: tuple[Given, ...]
    result: Range
    worked: str
    """The formula with numbers in place of names; empty where the calculator shows none."""


@dataclass(frozen=True)
class Line:
    """One line of a table: the value of the input that runs, and what comes of it; None where it cannot be."""

    value: float
    result: float | None
    refused: str = ""


@dataclass(frozen=True)
class Table:
    """A sum for several values of one input."""

    calculator: Calculator
    given: tuple[Given, ...]
    runs: Given
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Field:
    """One field of a worksheet's lines."""

    name: str
    unit: str


@dataclass(frozen=True)
class Sheet:
    """A worksheet filled in: its fields, and a row of values for each line."""

    worksheet: Worksheet
    given: tuple[Given, ...]
    fields: tuple[Field, ...]
    rows: tuple[tuple[Any, ...], ...]
    ranges: tuple[tuple[Range | None, ...], ...]
    """For each cell the range that the spreads leave; None for words and where nothing is spread."""


def work(calculator: Calculator, given: Sequence[Given]) -> Worked:
    """The result of a calculator. Raises `OutOfRange`."""
    result = spread_result(calculator.function, {one.name: one.spread for one in given})
    return Worked(calculator, tuple(given), result, _worked(calculator, given))


def work_table(calculator: Calculator, given: Sequence[Given], runs: Given) -> Table:
    """The results for each value of the input that runs; a value that cannot be used keeps its reason."""
    fixed = {one.name: one.spread.value for one in given if one is not runs}
    lines = []
    for value in runs.values:
        try:
            lines.append(Line(value, calculator.function(**fixed, **{runs.name: value})))
        except ValueError as why:
            lines.append(Line(value, None, str(why)))
    return Table(calculator, tuple(given), runs, tuple(lines))


def fill_in(worksheet: Worksheet, given: Sequence[Given]) -> Sheet:
    """A worksheet worked through, with the range of each number where inputs are spread. Raises `OutOfRange`.

    A word that is not the same at both ends of every spread is joined: `stuck or sluggish`. Where an end
    makes more or fewer lines, or cannot be used, that end says nothing.
    """
    inputs = {one.name: one.readings or one.spread.value for one in given}
    lines = _lines_of(worksheet, inputs)
    kind = type(lines[0])
    hints = get_type_hints(kind, include_extras=True)
    fields = tuple(Field(one.name, _unit(hints[one.name])) for one in dataclasses.fields(kind))
    rows = _cells(lines, fields)
    ends = [pair for one in given if one.spread.plus_minus for pair in _ends(worksheet, inputs, one, fields)]
    ends = [end for end in ends if len(end[1]) == len(rows)]
    ranges = tuple(
        tuple(
            _range(value, [(name, end[at][field]) for name, end in ends]) for field, value in enumerate(row)
        )
        for at, row in enumerate(rows)
    )
    said = tuple(
        tuple(_said(value, [end[at][field] for _, end in ends]) for field, value in enumerate(row))
        for at, row in enumerate(rows)
    )
    return Sheet(worksheet, tuple(given), fields, said, ranges)


def _lines_of(worksheet: Worksheet, inputs: Mapping[str, Any]) -> tuple[Any, ...]:
    result = worksheet.function(**inputs)
    return result if isinstance(result, tuple) else (result,)


def _cells(lines: Sequence[Any], fields: Sequence[Field]) -> tuple[tuple[Any, ...], ...]:
    return tuple(tuple(getattr(line, field.name) for field in fields) for line in lines)


def _ends(
    worksheet: Worksheet, inputs: Mapping[str, Any], one: Given, fields: Sequence[Field]
) -> Iterator[tuple[str, tuple[tuple[Any, ...], ...]]]:
    """The worksheet with one input at each end of its spread, where that can be used."""
    for side in (-1, 1):
        moved = {**inputs, one.name: one.spread.value + side * one.spread.plus_minus}
        with contextlib.suppress(OutOfRange):
            yield one.name, _cells(_lines_of(worksheet, moved), fields)


def _range(value: Any, ends: Sequence[tuple[str, Any]]) -> Range | None:
    """The range of one number; None for words and where nothing is spread."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not ends:
        return None
    inputs = dict.fromkeys(name for name, _ in ends)
    return combined(float(value), ([float(end) for other, end in ends if other == name] for name in inputs))


def _said(value: Any, ends: Sequence[Any]) -> Any:
    """A word as it stands, or all that it may be."""
    if not isinstance(value, str):
        return value
    return (" Or: " if value.endswith(".") else " or ").join(dict.fromkeys([value, *ends]))


def _unit(hint: Any) -> str:
    metadata = getattr(hint, "__metadata__", ())
    return str(metadata[0]) if metadata else ""


def _worked(calculator: Calculator, given: Sequence[Given]) -> str:
    """The formula with numbers in it."""
    if not calculator.formula:
        return ""
    numbers = {one.name: one.spread.value for one in given}
    if calculator.working is not None:
        numbers |= calculator.working(**numbers)
    return _NAME.sub(
        lambda name: f"{numbers[name[0]]:.5g}" if name[0] in numbers else name[0], calculator.formula
    )


def shown_result(result: Range) -> tuple[str, str, str]:
    """Low end, value and high end with the digits that mean something."""
    places = digits_after_point(result)
    if places is None:
        return (f"{result.value:.4g}",) * 3
    low, value, high = (f"{number:.{places}f}" for number in (result.low, result.value, result.high))
    return low, value, high
