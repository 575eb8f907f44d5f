"""The readings of a trial whose page says what is read: one question for each criterion."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from diagnose.calculators.trial import TrialReading
from diagnose.casebook.answers import NotAnAnswer
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.trials import Criterion
from diagnose.planning.trials import trial_of
from diagnose.present.console import Page

from .form import Field, fill_in
from .lines import Lines
from .typed import equal_jars, number_between, plain_number, rank, row

Own = dict[str, tuple[float, float]]


def ask_criteria(
    page: Page, lines: Lines, fix: Fix, jars: int, equal: int = 1
) -> tuple[tuple[tuple[TrialReading, ...], ...], Own]:
    """Ask what was read in each jar, and what passes where that is the person's to say. Raises Stopped.

    The readings come as one row for each set of equal jars.
    """
    trial = trial_of(fix)
    fields: list[Field] = []
    for one in trial.criteria:
        may_skip = one.kind == "rank" and trial.choose == "least"
        cell = _cell(one) if equal == 1 else equal_jars(equal, _cell(one))
        fields.append(Field(one.criterion, one.ask, one.how, one.because, row(jars, cell), may_skip=may_skip))
        if one.own == "yes" and one.between and one.possible:
            usual = f"{one.between[0]:g} to {one.between[1]:g}"
            fields.append(
                Field(
                    _own(one),
                    f"From what to what does it pass{f', in {one.unit}' if one.unit else ''}?",
                    f"Two numbers, such as {usual}. Say it before you look for the jar that fits.",
                    one.because,
                    _range(one.possible, one.unit or ""),
                    usual,
                )
            )
    found = fill_in(page, lines, fields)
    own = {one.criterion: found[_own(one)] for one in trial.criteria if _own(one) in found}
    rows = tuple(
        tuple(_reading(trial.criteria, found, jar, number if equal > 1 else None) for jar in range(jars))
        for number in range(equal)
    )
    return rows, own


def _own(one: Criterion) -> str:
    return f"{one.criterion} passes"


def _reading(
    criteria: tuple[Criterion, ...], found: dict[str, Any], jar: int, number: int | None
) -> TrialReading:
    """What was read in a jar; `number` says which of the equal ones, where there are several."""
    cells = {one: found[one.criterion][jar] for one in criteria if found[one.criterion] is not None}
    read = {one: value if number is None or value is None else value[number] for one, value in cells.items()}
    taste = next((value for one, value in read.items() if one.kind == "rank"), None)
    marks = {one.criterion: value for one, value in read.items() if one.kind != "rank" and value is not None}
    return TrialReading(jar, flavour_rank=taste, marks=marks)


def _cell(one: Criterion) -> Callable[[str], Any]:
    if one.kind == "rank":
        return rank
    if one.kind == "number" and one.possible:
        return number_between(*one.possible, one.unit or "")
    return _yes_or_no


def _yes_or_no(cell: str) -> bool:
    words = {"y": True, "yes": True, "n": False, "no": False}
    if cell.lower() not in words:
        raise NotAnAnswer(f"'{cell[:20]}' is neither y nor n; type one of them for each jar.")
    return words[cell.lower()]


def _range(possible: tuple[float, float], unit: str) -> Callable[[str], tuple[float, float]]:
    """Two numbers, the lower first, within what can be read."""
    one_end = number_between(*possible, unit)

    def read_range(typed: str) -> tuple[float, float]:
        pieces = typed.replace(" to ", " ").replace("-", " ").split()
        if len(pieces) != 2:
            raise NotAnAnswer(f"'{typed[:40]}' is not two numbers; type them like 3 to 3.5.")
        low, high = (one_end(f"{plain_number(piece):g}") for piece in pieces)
        if low > high:
            raise NotAnAnswer(f"{low:g} is more than {high:g}; type the lower one first.")
        return low, high

    return read_range
