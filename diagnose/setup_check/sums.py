"""A handful of sums of the cellar, beside figures that somebody else printed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from diagnose.calculators import BadInputs, OutOfRange, UnknownCalculator, call
from diagnose.knowledge.yaml_reader import read_file

from .findings import Finding

PRINTED = Path(__file__).with_name("printed_figures.yaml")


@dataclass(frozen=True)
class Printed:
    """One printed figure: the sum, what goes in, what must come out, and who printed it."""

    calculator: str
    inputs: Mapping[str, float]
    printed: float
    unit: str
    within: float
    """Largest difference that passes, in the unit."""
    source: str


def printed_figures(file: Path = PRINTED) -> tuple[Printed, ...]:
    """The figures kept. Raises RuleFilesWrong or OSError for a file that cannot be read."""
    return tuple(Printed(**each) for each in read_file(file).value)


def check_sums(figures: tuple[Printed, ...]) -> Iterator[Finding]:
    """Each figure worked out here, beside the printed one."""
    for figure in figures:
        yield _sum(figure)


def _sum(figure: Printed) -> Finding:
    must = f"printed {figure.printed:g} {figure.unit} ± {figure.within:g}: {figure.source}"
    mend = "Install the program anew, and trust no dose before this comes out right."
    try:
        ours = call(figure.calculator, **figure.inputs)
    except (BadInputs, OutOfRange, UnknownCalculator, ArithmeticError) as error:
        return Finding("sums", figure.calculator, "wrong", f"{figure.calculator}: {error} ({must})", mend)
    says = f"{figure.calculator}: {ours:.6g} {figure.unit}; {must}"
    # A machine's rounding must not decide about a difference that is just as large as allowed.
    if abs(ours - figure.printed) <= figure.within * (1 + 1e-9):
        return Finding("sums", figure.calculator, "good", says)
    return Finding("sums", figure.calculator, "wrong", says, mend)
