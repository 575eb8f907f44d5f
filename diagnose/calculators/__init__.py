"""The sums of the cellar: pure functions of plain numbers, found by rules under their names."""

from . import bentonite, dilution, heat_test
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
    "heat_test",
    "worksheets",
]
