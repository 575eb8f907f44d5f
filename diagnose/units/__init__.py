"""Quantities as a cellar writes them: reading, converting and showing."""

from .shown import show_quantity
from .table import (
    OutOfScale,
    System,
    UnknownQuantity,
    UnknownUnit,
    canonical_unit,
    from_canonical,
    quantities,
    to_canonical,
    units_of,
    usual_unit,
)
from .written import NotAQuantity, read_quantity, unit_at_start

__all__ = [
    "NotAQuantity",
    "OutOfScale",
    "System",
    "UnknownQuantity",
    "UnknownUnit",
    "canonical_unit",
    "from_canonical",
    "quantities",
    "read_quantity",
    "show_quantity",
    "to_canonical",
    "unit_at_start",
    "units_of",
    "usual_unit",
]
