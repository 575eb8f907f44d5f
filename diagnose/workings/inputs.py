"""What a person writes for an input, made into numbers in the unit of the calculator.

`30 ppm`, `3.40 ± 0.05`, `about 1.012` (the spread of the usual instrument), `3.2 to 4.0` or `3.2 to 4.0 by 0.1`
(a table), the id of a legal limit, and for dated readings `2026-10-01 1.090, 2026-10-03 1.071`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from diagnose.calculators import Calculator, Parameter, Worksheet
from diagnose.calculators.spread import Spread
from diagnose.units import NotAQuantity, System, from_canonical, read_quantity, to_canonical

_QUANTITIES = {
    "L": "volume",
    "mL": "volume",
    "g": "mass",
    "g/L": "dose",
    "g/hL": "dose",
    "mg/L": "trace",
    "% vol": "alcohol",
    "%": "percent",
    "pH": "ph",
    "C": "temperature",
    "SG": "gravity",
    "Brix": "gravity",
    "NTU": "turbidity",
    "days": "duration",
    "hours": "duration",
    "bar": "pressure",
    "cm": "length",
}
"""The quantity of the unit table that a calculator's unit belongs to; other units are read as they stand."""

Taken = Literal["given", "about", "limit", "usual"]
_US_UNITS = {"C": "F", "L": "gal", "bar": "psi", "cm": "in"}
READINGS = "days and SG"
_PLAIN = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)")
_ABOUT = re.compile(r"^(?:about|approx(?:imately|\.)?|around|roughly|ca\.?|~|≈)\s*", re.I)
_SPREAD = re.compile(r"\s*(?:±|\+/-|\+-|plus or minus)\s*")
_TO = re.compile(
    r"^(?P<low>.+?)\s*(?:\bto\b|\.\.)\s*(?P<high>.+?)(?:\s+(?:by|in steps of)\s+(?P<step>.+))?$", re.I
)
_STEPS = 8
_MOST_LINES = 100


class CannotRead(ValueError):
    """An input cannot be used as written; the message says why and what to write."""


@dataclass(frozen=True)
class Instrument:
    """How well the usual instrument of a small cellar knows a quantity."""

    name: str
    plus_minus: float = 0.0
    """In the canonical unit of the quantity."""
    percent: float = 0.0
    """Of the reading; the larger of the two counts."""


@dataclass(frozen=True)
class Surroundings:
    """What reading an input needs to know besides its text."""

    system: System = "metric"
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    """By the name of the quantity."""
    limits: Mapping[str, tuple[float, str]] = field(default_factory=dict)
    """Figure and unit of each legal limit in force here, by its id."""


@dataclass(frozen=True)
class Given:
    """An input as read: one value with its spread, or the several values of a table, or dated readings."""

    name: str
    unit: str
    spread: Spread
    taken: Taken
    """Written, written with `about`, taken from a legal limit, or left out and so the usual value."""
    values: tuple[float, ...] = ()
    readings: tuple[tuple[float, float], ...] = ()


def quantity_of(unit: str) -> str | None:
    """The quantity of the unit table that a calculator's unit belongs to, if any."""
    return _QUANTITIES.get(unit)


def written_unit(unit: str, system: System) -> str:
    """The unit that a number without one is taken to have."""
    return _US_UNITS.get(unit, unit) if system == "us" else unit


def as_written(value: float, unit: str, system: System) -> float:
    """A value of a calculator in the unit that the person writes it in."""
    written, quantity = written_unit(unit, system), quantity_of(unit)
    if written == unit or quantity is None:
        return value
    return from_canonical(to_canonical(value, unit, quantity), written, quantity)


def read_inputs(
    sum_: Calculator | Worksheet, written: Sequence[str], around: Surroundings
) -> tuple[Given, ...]:
    """The inputs of a sum from texts like `ph=3.4`. A name may be shortened as long as it stays clear.

    Raises `CannotRead`.
    """
    texts: dict[str, str] = {}
    for text in written:
        name, sign, value = text.partition("=")
        if not sign or not value.strip():
            raise CannotRead(
                f"'{text}' is no input. Write a name, an equals sign and a value: {_example(sum_)}."
            )
        parameter = _parameter(sum_, name.strip())
        if parameter.name in texts:
            raise CannotRead(f"{parameter.name} is given twice. Give it once.")
        texts[parameter.name] = value.strip()
    lacking = [one for one in sum_.parameters if one.required and one.name not in texts]
    if lacking:
        wanted = ", ".join(f"{one.name} ({written_unit(one.unit, around.system)})" for one in lacking)
        raise CannotRead(f"Still needed: {wanted}. For example: {_example(sum_)}.")
    return tuple(
        read_input(one, texts[one.name], around)
        if one.name in texts
        else Given(one.name, one.unit, Spread(one.default if one.default is not None else 0.0), "usual")
        for one in sum_.parameters
    )


def _example(sum_: Calculator | Worksheet) -> str:
    first = next(iter(sum_.parameters), None)
    return f"{first.name}=..." if first else "name=value"


def _parameter(sum_: Calculator | Worksheet, name: str) -> Parameter:
    wanted = name.replace("-", "_").replace(" ", "_").casefold()
    found = [one for one in sum_.parameters if one.name == wanted]
    found = found or [one for one in sum_.parameters if one.name.startswith(wanted)]
    if len(found) == 1:
        return found[0]
    known = ", ".join(one.name for one in sum_.parameters)
    if found:
        raise CannotRead(f"'{name}' may be {' or '.join(one.name for one in found)}. Write more of the name.")
    raise CannotRead(f"'{sum_.name}' takes no '{name}'. It takes {known}.")


def read_input(parameter: Parameter, text: str, around: Surroundings) -> Given:
    """One input. Raises `CannotRead`."""
    if parameter.unit == READINGS:
        readings = read_log(text, around.system)
        return Given(parameter.name, parameter.unit, Spread(0.0), "given", readings=readings)
    if text in around.limits:
        value, unit = around.limits[text]
        return Given(parameter.name, parameter.unit, Spread(_limit(parameter, text, value, unit)), "limit")
    between = _TO.match(text)
    if between:
        values = _steps(parameter, between, around)
        return Given(parameter.name, parameter.unit, Spread(values[0]), "given", values=values)
    about = _ABOUT.match(text)
    number, *spread = _SPREAD.split(text[about.end() :] if about else text, maxsplit=1)
    if spread and _PLAIN.fullmatch(number.strip()) and _PLAIN.match(spread[0].strip()):
        # `50 ± 2 F`: the unit at the end is meant for both.
        number = f"{number.strip()} {_PLAIN.sub('', spread[0].strip(), count=1)}".strip()
    value = _number(parameter, number, around)
    if spread:
        return Given(
            parameter.name,
            parameter.unit,
            Spread(value, _plus_minus(parameter, number, spread[0], around)),
            "given",
        )
    if about:
        return Given(
            parameter.name, parameter.unit, Spread(value, _usual_spread(parameter, value, around)), "about"
        )
    return Given(parameter.name, parameter.unit, Spread(value), "given")


def _number(parameter: Parameter, text: str, around: Surroundings) -> float:
    """A written number in the unit of the calculator."""
    unit = parameter.unit
    quantity = quantity_of(unit)
    text = text.strip()
    if quantity is None:
        return _as_it_stands(parameter, text)
    if _PLAIN.fullmatch(text):
        text = f"{text} {written_unit(unit, around.system)}"
    try:
        value = read_quantity(text, quantity, around.system)
        return from_canonical(value, unit, quantity)
    except ValueError as why:
        raise CannotRead(f"{parameter.name}: {why}") from None


def _as_it_stands(parameter: Parameter, text: str) -> float:
    """A number in a unit that is not in the unit table: bare, or with that very unit."""
    bare = text.removesuffix(parameter.unit).strip()
    if _PLAIN.fullmatch(bare):
        return _plain_number(parameter, bare)
    unit = "" if parameter.unit in {"plain number", "same unit throughout"} else f" in {parameter.unit}"
    raise CannotRead(f"{parameter.name}: '{text}' is not a plain number{unit}. Write for example 2.5.")


def _plain_number(parameter: Parameter, text: str) -> float:
    """A number alone, with a point or a comma for its decimals."""
    try:
        return read_quantity(text, "count", "metric")
    except NotAQuantity as why:
        raise CannotRead(f"{parameter.name}: {why}") from None


def _limit(parameter: Parameter, name: str, value: float, unit: str) -> float:
    quantity = quantity_of(parameter.unit)
    try:
        if quantity is None:
            raise ValueError
        return from_canonical(
            to_canonical(value, unit.partition(" ")[0] if quantity == "percent" else unit, quantity),
            parameter.unit,
            quantity,
        )
    except (ValueError, LookupError):
        if unit == parameter.unit:
            return value
        raise CannotRead(
            f"{parameter.name}: the limit {name} is in {unit}, and {parameter.unit} is needed."
        ) from None


def _plus_minus(parameter: Parameter, number: str, spread: str, around: Surroundings) -> float:
    """Half the distance between the ends, since on a curved scale the two sides differ."""
    bare = _PLAIN.match(spread.strip())
    if not bare:
        raise CannotRead(
            f"{parameter.name}: '{spread}' is no plus-or-minus. Write for example {number} ± 0.05."
        )
    middle = _PLAIN.match(number.strip())
    if not middle:
        raise CannotRead(f"{parameter.name}: '{number}' is not a number with a plus-or-minus.")
    step = abs(_plain_number(parameter, bare[0]))
    if quantity_of(parameter.unit) is None:
        return step
    at = float(middle[0].replace(",", "."))
    rest = number.strip()[middle.end() :].strip()
    ends = [_number(parameter, f"{at + side * step:.10g} {rest}".strip(), around) for side in (-1, 1)]
    return abs(ends[1] - ends[0]) / 2


def _usual_spread(parameter: Parameter, value: float, around: Surroundings) -> float:
    quantity = quantity_of(parameter.unit)
    instrument = around.instruments.get(quantity or "")
    if instrument is None or quantity is None:
        raise CannotRead(
            f"{parameter.name}: no usual spread is known for {parameter.unit}. "
            f"Write it yourself, for example {value:g} ± {abs(value) / 10 or 1:g}."
        )
    canonical = to_canonical(value, parameter.unit, quantity)
    step = max(instrument.plus_minus, abs(canonical) * instrument.percent / 100)
    unit = parameter.unit
    ends = [from_canonical(canonical + side * step, unit, quantity) for side in (-1, 1)]
    return abs(ends[1] - ends[0]) / 2


def _steps(parameter: Parameter, between: re.Match[str], around: Surroundings) -> tuple[float, ...]:
    """The values of a table, both ends in it."""
    high_text = between["high"]
    low_text = between["low"]
    if _PLAIN.fullmatch(low_text.strip()):
        # `38 to 50 F`: the unit at the end is meant for both.
        end = _PLAIN.match(high_text.strip())
        low_text = f"{low_text} {high_text.strip()[end.end() :]}" if end else low_text
    low, high = _number(parameter, low_text.strip(), around), _number(parameter, high_text, around)
    if low >= high:
        raise CannotRead(
            f"{parameter.name}: a table runs from a lower to a higher value, not {low:g} to {high:g}."
        )
    if between["step"] is None:
        return tuple(low + (high - low) * at / _STEPS for at in range(_STEPS + 1))
    first = _PLAIN.match(low_text.strip())
    if not _PLAIN.fullmatch(between["step"].strip()) or not first:
        raise CannotRead(f"{parameter.name}: '{between['step']}' is no step. Write for example by 0.1.")
    # A step is in the unit that was written: 10 of °F are not 10 of °C.
    # The lower end has been read already, so its comma can only be a decimal one.
    second = float(first[0].replace(",", ".")) + _plain_number(parameter, between["step"])
    step = _number(parameter, f"{second:.10g}{low_text.strip()[first.end() :]}", around) - low
    if not 0 < step <= high - low or (high - low) / step > _MOST_LINES:
        raise CannotRead(f"{parameter.name}: steps of {step:g} do not fit between {low:g} and {high:g}.")
    count = int((high - low) / step + 1e-9)
    return tuple(low + step * at for at in range(count + 1))


def read_log(text: str, system: System) -> tuple[tuple[float, float], ...]:
    """Dated readings: `0 1.090, 2 1.071`, or dates (YYYY-MM-DD) counted from the first. Raises `CannotRead`.

    Where no number has a point, a comma between figures is a decimal one: `0 1,090; 2,5 1,071`.
    """
    between = r"[,;\n]" if "." in text else r"[;\n]|,(?!\d)"
    lines = [line.strip() for line in re.split(between, text) if line.strip()]
    readings = []
    first: date | None = None
    for line in lines:
        when, _, gravity = line.partition(" ")
        if re.fullmatch(r"\d{4}-\d\d-\d\d", when):
            try:
                day = date.fromisoformat(when)
            except ValueError:
                raise CannotRead(f"'{when}' is no date of the calendar. Write it as 2026-10-31.") from None
            first = first or day
            days = float((day - first).days)
        elif _PLAIN.fullmatch(when):
            days = float(when.replace(",", "."))
        else:
            raise CannotRead(
                f"'{line}' is no dated reading. Write days or a date, then the gravity: 2026-10-01 1.090."
            )
        try:
            readings.append((days, read_quantity(gravity, "gravity", system)))
        except NotAQuantity as why:
            raise CannotRead(str(why)) from None
    if len(readings) < 2:
        raise CannotRead("A log needs two readings or more: 0 1.090, 2 1.071.")
    return tuple(readings)
