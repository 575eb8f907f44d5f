"""Sums on the screen: what there is, what one needs, and one worked in the open."""

from __future__ import annotations

import inspect
import re
from collections.abc import Mapping, Sequence
from typing import Any

from diagnose.calculators import Calculator, Parameter, Worksheet
from diagnose.calculators.spread import Range
from diagnose.units import System
from diagnose.workings.inputs import Given, as_written, written_unit
from diagnose.workings.work import Sheet, Table, Worked, shown_result

from .console import Page
from .plot import plot_lines, plot_words

_REFUSAL = re.compile(r"[;.,]? *[Rr]aises OutOfRange\b(?=[^a-z]*(?:[.;]|$))")
"""What only a programmer needs of a docstring."""
_PLAIN = {"plain number": "", "same unit throughout": ""}
_SIGNS = {"C": "°C", "F": "°F", "C difference": "°C", "pH": ""}
_VERDICTS = {
    "below": "Below {limit}.",
    "above": "Above {limit}.",
    "straddles": "Cannot be told from {limit}: the range lies on both sides. Measure more exactly, or keep a margin.",
}


def words(name: str) -> str:
    """A name as words, its unit at the end taken away."""
    for ending in _ENDINGS:
        if name.endswith(ending) and name != ending:
            name = name.removesuffix(ending)
            break
    return " ".join(_TRADE.get(word, word) for word in name.split("_"))


_TRADE = {"so2": "SO2", "ph": "pH", "ta": "titratable acidity", "va": "volatile acidity"}
_ENDINGS = (
    "_points_per_day",
    "_g_per_l_day",
    "_kj_per_kg_k",
    "_kg_per_m3",
    "_meq_per_l",
    "_mol_per_l",
    "_us_per_cm",
    "_g_per_hl",
    "_g_per_ml",
    "_mg_per_g",
    "_mg_per_l",
    "_g_per_l",
    "_percent",
    "_w_per_k",
    "_hours",
    "_days",
    "_bar",
    "_ntu",
    "_cm",
    "_m3",
    "_ml",
    "_c",
    "_g",
    "_l",
)
"""Units at the end of a name, longest first; the screen shows the unit itself."""


def show_subjects(page: Page, sums: Mapping[str, Calculator | Worksheet]) -> None:
    """All sums by subject."""
    page.title("Sums of the cellar")
    page.say("Write `diagnose calculate` and a name to see what it needs.")
    for subject in sorted({one.subject for one in sums.values()}):
        page.head(subject.replace("_", " "))
        for one in sorted((one for one in sums.values() if one.subject == subject), key=lambda one: one.name):
            page.item("-", f"{one.name}: {_for_people(one.summary)}")


def _for_people(docstring: str) -> str:
    return _REFUSAL.sub("", docstring.replace("`", ""))


def show_needs(page: Page, sum_: Calculator | Worksheet, system: System) -> None:
    """What a sum is, what it needs, and where it comes from."""
    page.title(sum_.name)
    for paragraph in (inspect.getdoc(sum_.function) or "").split("\n\n"):
        page.say(_for_people(paragraph.replace("\n", " ")))
        page.blank()
    if isinstance(sum_, Calculator) and sum_.formula:
        page.say(sum_.formula if " = " in sum_.formula else f"{sum_.result} = {sum_.formula}")
    page.head("It needs")
    for parameter in sum_.parameters:
        page.item("-", f"{parameter.name}{_unit_note(parameter, system)}")
    page.head("It gives")
    unit = (
        f", {_plain(sum_.result_unit)}" if isinstance(sum_, Calculator) and _plain(sum_.result_unit) else ""
    )
    page.item("-", f"{sum_.result}{unit}")
    page.blank()
    wanted = " ".join(f'"{one.name}=..."' for one in sum_.parameters if one.required)
    page.aside(f"diagnose calculate {sum_.name} {wanted}")


def _unit_note(parameter: Parameter, system: System) -> str:
    unit = _plain(written_unit(parameter.unit, system))
    left_out = (
        "" if parameter.required else f"; left out: {parameter.default:g} {_plain(parameter.unit)}".rstrip()
    )
    return f" ({unit or 'a number'}{left_out})"


def _plain(unit: str) -> str:
    return _PLAIN.get(unit, unit)


def _unit_seen(unit: str, system: System) -> str:
    """A unit as the person reads it."""
    written = written_unit(unit, system)
    return _SIGNS.get(written, _plain(written))


def _range_seen(range_: Range, unit: str, system: System) -> Range:
    """A range in the unit the person reads."""
    low, value, high = (as_written(end, unit, system) for end in (range_.low, range_.value, range_.high))
    return Range(low, value, high)


def show_worked(
    page: Page, worked: Worked, against: tuple[str, float] | None, system: System = "metric"
) -> None:
    """One sum: what went in, the formula with its numbers, the result with its range."""
    calculator = worked.calculator
    page.title(words(calculator.name))
    _show_given(page, worked.given, system)
    if worked.worked:
        page.blank()
        for line in (calculator.formula, worked.worked):
            page.say(line if " = " in line else f"= {line}", 2)
    low, value, high = shown_result(_range_seen(worked.result, calculator.result_unit, system))
    unit = _unit_seen(calculator.result_unit, system)
    page.blank()
    page.say(f"{_first_up(calculator.result)}: {value} {unit}".rstrip(), style="bold")
    if not worked.result.exact:
        page.say(f"With the spread of what was measured, between {low} and {high} {unit}".rstrip() + ".")
    if against:
        name, figure = against
        limit = f"{as_written(figure, calculator.result_unit, system):g} {unit}".rstrip() + (
            f" ({name})" if name else ""
        )
        page.say(_VERDICTS[worked.result.against(figure)].format(limit=limit))


def _first_up(text: str) -> str:
    return text if text.startswith("pH") else text[:1].upper() + text[1:]


def _show_given(page: Page, given: Sequence[Given], system: System) -> None:
    for one in given:
        unit = _unit_seen(one.unit, system)
        if one.readings:
            page.item("-", f"{words(one.name)}: {len(one.readings)} readings")
            continue
        seen = [as_written(value, one.unit, system) for value in one.values or (one.spread.value,)]
        value = f"{seen[0]:g} to {seen[-1]:g}" if one.values else f"{seen[0]:.6g}"
        half = as_written(one.spread.value + one.spread.plus_minus, one.unit, system) - seen[0]
        spread = f" ± {half:.2g}" if one.spread.plus_minus else ""
        note = {
            "usual": " (left out; the usual value)",
            "about": " (spread of the usual instrument)",
            "limit": " (legal limit)",
        }
        page.item("-", f"{words(one.name)}: {value}{spread} {unit}".rstrip() + note.get(one.taken, ""))


def show_table(page: Page, table: Table, plot: bool, system: System = "metric") -> None:
    """A sum for several values of one input."""
    calculator = table.calculator
    page.title(words(calculator.name))
    _show_given(page, [one for one in table.given if one is not table.runs], system)
    unit, up_unit = _unit_seen(table.runs.unit, system), _unit_seen(calculator.result_unit, system)
    across = f"{words(table.runs.name)} {unit}".strip()
    up = f"{calculator.result} {up_unit}".strip()
    page.blank()
    rows = [
        (
            f"{as_written(line.value, table.runs.unit, system):.6g}",
            "-" if line.result is None else f"{as_written(line.result, calculator.result_unit, system):.4g}",
        )
        for line in table.lines
    ]
    page.table((across, up), rows)
    for refusal in dict.fromkeys(line.refused for line in table.lines if line.refused):
        page.item("-", refusal)
    points = points_of(table, system)
    if plot and len(points) > 1:
        page.blank()
        page.drawing(lambda width: plot_lines(points, across, up, width), plot_words(points, across, up))


def points_of(table: Table, system: System) -> list[tuple[float, float]]:
    """The points of a table that have a result, in the units the person reads."""
    return [
        (
            as_written(line.value, table.runs.unit, system),
            as_written(line.result, table.calculator.result_unit, system),
        )
        for line in table.lines
        if line.result is not None
    ]


def show_sheet(page: Page, sheet: Sheet, system: System = "metric") -> None:
    """A worksheet: a list for a single answer, a table where its lines fit, else one block for each line."""
    page.title(words(sheet.worksheet.name))
    _show_given(page, sheet.given, system)
    page.head(_first_up(sheet.worksheet.result))
    spread = any(range_ is not None and not range_.exact for row in sheet.ranges for range_ in row)
    if len(sheet.rows) > 1 and not spread and _show_grid(page, sheet, system):
        return
    for number, row in enumerate(sheet.rows, 1):
        if len(sheet.rows) > 1:
            page.head(f"{number}")
        for at, (field, value) in enumerate(zip(sheet.fields, row, strict=True)):
            shown = _shown(value, field.unit, system)
            range_ = sheet.ranges[number - 1][at]
            if range_ is not None and not range_.exact:
                low, middle, high = shown_result(_range_seen(range_, field.unit, system))
                shown = f"{middle} {_unit_seen(field.unit, system)}, between {low} and {high}"
            page.item("-", f"{words(field.name)}: {shown}")


def _show_grid(page: Page, sheet: Sheet, system: System) -> bool:
    """The lines of a worksheet as columns, if they fit on the page; words in the last columns may wrap."""
    columns = []
    for at, field in enumerate(sheet.fields):
        unit = _unit_seen(field.unit, system)
        cells = [_shown(row[at], field.unit, system, with_unit=False) for row in sheet.rows]
        head = [*words(field.name).split(" "), *([unit] if unit else [])]
        number = all(isinstance(row[at], (int, float)) for row in sheet.rows)
        columns.append((head, cells, number, max(map(len, [*head, *cells]))))
    if not page.holds(sum(width + 2 for *_, width in columns) - 2):
        return False
    deepest = max(len(head) for head, *_ in columns)
    lines = [
        [(*[""] * (deepest - len(head)), *head)[depth] for head, *_ in columns] for depth in range(deepest)
    ]
    lines += [[cells[at] for _, cells, *_ in columns] for at in range(len(sheet.rows))]
    for depth, line in enumerate(lines):
        texts = (
            cell.rjust(width) if right else cell.ljust(width)
            for cell, (_, _, right, width) in zip(line, columns, strict=True)
        )
        page.exactly("  ".join(texts).rstrip(), "bold" if depth < deepest else "")
    return True


def _shown(value: Any, unit: str, system: System, with_unit: bool = True) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return (
            f"{as_written(value, unit, system):.5g} {_unit_seen(unit, system) if with_unit else ''}".rstrip()
        )
    return str(value)
