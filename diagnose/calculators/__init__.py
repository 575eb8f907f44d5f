"""The sums of the cellar: pure functions of plain numbers, found by rules under their names."""

from . import bentonite, dilution, ferment_heat, ferment_log, fining_trial, heat_test, nutrients, restart
from .amounts import OutOfRange
from .registry import (
    BadInputs,
    Calculator,
    Parameter,
    UnknownCalculator,
    Worksheet,
    calculators,
    call,
    worksheets,
)

__all__ = [
    "BadInputs",
    "Calculator",
    "OutOfRange",
    "Parameter",
    "UnknownCalculator",
    "Worksheet",
    "bentonite",
    "calculators",
    "call",
    "dilution",
    "ferment_heat",
    "ferment_log",
    "fining_trial",
    "heat_test",
    "nutrients",
    "restart",
    "worksheets",
]
