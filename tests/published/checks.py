"""What a published check of a calculator is. Each subject has a list of them in a file `figures_*.py`."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@dataclass(frozen=True)
class Check:
    """One printed figure against ours."""

    calculator: str
    """The name on the list of calculators or worksheets."""
    what: str
    """The inputs, as the source gives them."""
    source: str
    """Who printed it and where; `from memory: ...` when nobody has looked it up; never a guess."""
    printed: float
    ours: Callable[[], float]
    unit: str
    tolerance: float
    """Largest difference that passes, in the unit: the rounding of the print, or what the note defends."""
    note: str = ""
    """Why they differ, or what is inconsistent in the print itself."""


@cache
def all_checks() -> tuple[Check, ...]:
    """The checks of every subject."""
    names = sorted(file.stem for file in Path(__file__).parent.glob("figures_*.py"))
    return tuple(check for name in names for check in importlib.import_module(name).CHECKS)
