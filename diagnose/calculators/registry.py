"""Calculators by name, for rules and for the command line: plain numbers in, one plain number out.

A worksheet is a calculator with more than one line in its answer: a schedule, a log, a ladder. Rules use
calculators only; the command line uses both.
"""

from __future__ import annotations

import difflib
import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, TypeVar, get_type_hints

from .amounts import OutOfRange


class UnknownCalculator(LookupError):
    """No calculator has this name; the message offers the nearest."""


class BadInputs(TypeError):
    """A calculator was given inputs it does not have, or not all that it needs, or no numbers."""


@dataclass(frozen=True)
class Parameter:
    """One input of a calculator."""

    name: str
    unit: str
    required: bool
    default: float | None = None
    """What is taken when it is left out."""


@dataclass(frozen=True)
class Calculator:
    """One sum: where it belongs, what it takes, what it gives."""

    name: str
    subject: str
    summary: str
    function: Callable[..., float]
    parameters: tuple[Parameter, ...]
    result: str
    result_unit: str
    formula: str
    """The sum in one line, with the names of the inputs and of what `working` gives."""
    working: Callable[..., Mapping[str, float]] | None
    """Takes what the function takes; gives the numbers on the way that the formula names."""


@dataclass(frozen=True)
class Worksheet:
    """A calculation with several lines: where it belongs, what it takes, what its lines are."""

    name: str
    subject: str
    summary: str
    function: Callable[..., Any]
    parameters: tuple[Parameter, ...]
    result: str


_KNOWN: dict[str, Calculator] = {}
_SHEETS: dict[str, Worksheet] = {}
_Sum = TypeVar("_Sum", bound=Callable[..., float])
_Sheet = TypeVar("_Sheet", bound=Callable[..., Any])


def calculator(
    name: str, *, result: str, formula: str = "", working: Callable[..., Mapping[str, float]] | None = None
) -> Callable[[_Sum], _Sum]:
    """Put a function on the list under a name; `result` says in a few words what it gives.

    Every parameter and the result must be typed with one of the units in `amounts`, so that the list can
    say what is wanted. The subject is the name of the module, or of the package below `calculators` it is in.

    `formula` is the sum in one line, for people. The names of the inputs in it, and of the numbers that
    `working` gives for the same inputs, are shown as numbers when the sum has been done.
    """

    def register(function: _Sum) -> _Sum:
        _take(name)
        hints = get_type_hints(function, include_extras=True)
        _KNOWN[name] = Calculator(
            name=name,
            subject=_subject(function),
            summary=_summary(function),
            function=function,
            parameters=_parameters(function, hints, name),
            result=result,
            result_unit=_unit_of(hints, "return", name),
            formula=formula,
            working=working,
        )
        return function

    return register


def worksheet(name: str, *, result: str) -> Callable[[_Sheet], _Sheet]:
    """Put a function with several lines in its answer on the list under a name.

    It returns a frozen dataclass, or a tuple of frozen dataclasses of one kind (the lines of a table). Their
    fields, like the parameters, are typed with the units in `amounts`, or are `str` or `bool`. A parameter
    of dated readings has the type `amounts.Readings`.
    """

    def register(function: _Sheet) -> _Sheet:
        _take(name)
        hints = get_type_hints(function, include_extras=True)
        _SHEETS[name] = Worksheet(
            name=name,
            subject=_subject(function),
            summary=_summary(function),
            function=function,
            parameters=_parameters(function, hints, name),
            result=result,
        )
        return function

    return register


def _take(name: str) -> None:
    if name in _KNOWN or name in _SHEETS:
        raise ValueError(f"two calculators are called '{name}'; rename one")


def _subject(function: Callable[..., Any]) -> str:
    _, _, below = function.__module__.partition(".calculators.")
    return (below or function.__module__.rpartition(".")[2]).partition(".")[0]


def _summary(function: Callable[..., Any]) -> str:
    return (inspect.getdoc(function) or "").partition("\n")[0]


def _parameters(function: Callable[..., Any], hints: Mapping[str, Any], name: str) -> tuple[Parameter, ...]:
    return tuple(
        Parameter(
            key,
            _unit_of(hints, key, name),
            parameter.default is inspect.Parameter.empty,
            None if parameter.default is inspect.Parameter.empty else parameter.default,
        )
        for key, parameter in inspect.signature(function).parameters.items()
    )


def _unit_of(hints: Mapping[str, Any], key: str, name: str) -> str:
    metadata = getattr(hints.get(key), "__metadata__", ())
    if not metadata:
        raise ValueError(f"calculator '{name}': '{key}' has no unit; give it a type from amounts.py")
    return str(metadata[0])


def calculators() -> Mapping[str, Calculator]:
    """All calculators by name, read-only."""
    return MappingProxyType(_KNOWN)


def worksheets() -> Mapping[str, Worksheet]:
    """All worksheets by name, read-only."""
    return MappingProxyType(_SHEETS)


def call(name: str, /, **inputs: float) -> float:
    """The result of a named calculator.

    Raises `UnknownCalculator`, `BadInputs` for wrong names or things that are no numbers, and `OutOfRange`
    for a number that the sum cannot use.
    """
    found = _find(name)
    _check(found, inputs)
    try:
        result = found.function(**inputs)
    except ArithmeticError:
        result = math.nan
    if not math.isfinite(result):
        raise OutOfRange(
            f"The result of '{name}' is no ordinary number. Check the inputs for a slip of the unit."
        )
    return result


def _find(name: str) -> Calculator:
    if name in _KNOWN:
        return _KNOWN[name]
    near = difflib.get_close_matches(name, _KNOWN, n=3)
    hint = f"did you mean: {', '.join(near)}?" if near else f"use one of: {', '.join(sorted(_KNOWN))}"
    raise UnknownCalculator(f"no calculator is called '{name}'; {hint}")


def _check(found: Calculator, inputs: Mapping[str, object]) -> None:
    wanted = ", ".join(f"{parameter.name} ({parameter.unit})" for parameter in found.parameters)
    strange = sorted(set(inputs) - {parameter.name for parameter in found.parameters})
    if strange:
        raise BadInputs(f"'{found.name}' does not take {', '.join(strange)}; it takes {wanted}")
    lacking = [
        parameter.name
        for parameter in found.parameters
        if parameter.required and parameter.name not in inputs
    ]
    if lacking:
        raise BadInputs(f"'{found.name}' still needs {', '.join(lacking)}; it takes {wanted}")
    for key, value in inputs.items():
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise BadInputs(f"'{found.name}': {key} must be a number, not {value!r}")
        if not math.isfinite(value):
            raise OutOfRange(f"The {key} of '{found.name}' is {value}; give an ordinary number.")
