"""Calculators by name, for rules: plain numbers in, one plain number out."""

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


_KNOWN: dict[str, Calculator] = {}
_Sum = TypeVar("_Sum", bound=Callable[..., float])


def calculator(name: str, *, result: str) -> Callable[[_Sum], _Sum]:
    """Put a function on the list under a name; `result` says in a few words what it gives.

    Every parameter and the result must be typed with one of the units in `amounts`, so that the list can
    say what is wanted. The subject is the name of the module.
    """

    def register(function: _Sum) -> _Sum:
        if name in _KNOWN:
            raise ValueError(f"two calculators are called '{name}'; rename one")
        _KNOWN[name] = _described(name, result, function)
        return function

    return register


def _described(name: str, result: str, function: Callable[..., float]) -> Calculator:
    hints = get_type_hints(function, include_extras=True)
    return Calculator(
        name=name,
        subject=function.__module__.rpartition(".")[2],
        summary=(inspect.getdoc(function) or "").partition("\n")[0],
        function=function,
        parameters=tuple(
            Parameter(key, _unit_of(hints, key, name), parameter.default is inspect.Parameter.empty)
            for key, parameter in inspect.signature(function).parameters.items()
        ),
        result=result,
        result_unit=_unit_of(hints, "return", name),
    )


def _unit_of(hints: Mapping[str, Any], key: str, name: str) -> str:
    metadata = getattr(hints.get(key), "__metadata__", ())
    if not metadata:
        raise ValueError(f"calculator '{name}': '{key}' has no unit; give it a type from amounts.py")
    return str(metadata[0])


def calculators() -> Mapping[str, Calculator]:
    """All calculators by name, read-only."""
    return MappingProxyType(_KNOWN)


def call(name: str, /, **inputs: float) -> float:
    """The result of a named calculator.

    Raises `UnknownCalculator`, `BadInputs` for wrong names or things that are no numbers, and `OutOfRange`
    for a number that the sum cannot use.
    """
    found = _find(name)
    _check(found, inputs)
    result = found.function(**inputs)
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
