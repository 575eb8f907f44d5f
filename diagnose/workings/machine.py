"""A worked sum for other programs, as JSON with a schema."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from .inputs import Given
from .work import Sheet, Table, Worked

SCHEMA_VERSION = "1.0"


class Out(BaseModel):
    """Everything that is printed: nothing but what is named here."""

    model_config = ConfigDict(extra="forbid")


class InputOut(Out):
    """An input as it was understood, in the unit of the calculator."""

    name: str
    unit: str
    value: float | list[float] | list[tuple[float, float]]
    plus_minus: float = Field(description="0 for a value taken as exact.")
    taken: Literal["given", "about", "limit", "usual"]


class ResultOut(Out):
    """A result with the range that the spread of the inputs leaves."""

    low: float
    value: float
    high: float
    unit: str


class AgainstOut(Out):
    """The result against a limit."""

    limit: str
    figure: float
    verdict: Literal["below", "above", "straddles"]


class LineOut(Out):
    """One line of a table; `refused` says why there is no result."""

    at: float
    result: float | None
    refused: str


class CalculationOut(Out):
    """A calculation: of one number, of a table, or of a worksheet."""

    schema_version: Literal["1.0"]
    calculator: str
    subject: str
    inputs: list[InputOut]
    result: ResultOut | None = None
    formula: str = ""
    worked: str = ""
    against: AgainstOut | None = None
    table: list[LineOut] = Field(default_factory=list)
    fields: dict[str, str] = Field(default_factory=dict, description="The unit of each field of the rows.")
    rows: list[dict[str, float | str | bool | None]] = Field(default_factory=list)
    ranges: list[dict[str, tuple[float, float]]] = Field(
        default_factory=list,
        description="For each row the low and high end of the numbers that have a range.",
    )


def calculation_out(done: Worked | Table | Sheet, against: tuple[str, float] | None = None) -> CalculationOut:
    """The machine form of what was worked out."""
    if isinstance(done, Sheet):
        return CalculationOut(
            schema_version=SCHEMA_VERSION,
            calculator=done.worksheet.name,
            subject=done.worksheet.subject,
            inputs=_inputs(done.given),
            fields={one.name: one.unit for one in done.fields},
            rows=[dict(zip((one.name for one in done.fields), row, strict=True)) for row in done.rows],
            ranges=[
                {
                    one.name: (range_.low, range_.high)
                    for one, range_ in zip(done.fields, row, strict=True)
                    if range_ is not None and not range_.exact
                }
                for row in done.ranges
            ],
        )
    head = {
        "schema_version": SCHEMA_VERSION,
        "calculator": done.calculator.name,
        "subject": done.calculator.subject,
    }
    if isinstance(done, Table):
        table = [LineOut(at=line.value, result=line.result, refused=line.refused) for line in done.lines]
        return CalculationOut(
            **head, inputs=_inputs(done.given), formula=done.calculator.formula, table=table
        )
    found = done.result
    return CalculationOut(
        **head,
        inputs=_inputs(done.given),
        result=ResultOut(low=found.low, value=found.value, high=found.high, unit=done.calculator.result_unit),
        formula=done.calculator.formula,
        worked=done.worked,
        against=AgainstOut(limit=against[0], figure=against[1], verdict=found.against(against[1]))
        if against
        else None,
    )


def _inputs(given: tuple[Given, ...]) -> list[InputOut]:
    return [
        InputOut(
            name=one.name,
            unit=one.unit,
            value=list(one.values) or list(one.readings) or one.spread.value,
            plus_minus=one.spread.plus_minus,
            taken=one.taken,
        )
        for one in given
    ]
