"""Inputs as a person writes them."""

from __future__ import annotations

import pytest
from diagnose.calculators import Parameter, calculators
from diagnose.workings.inputs import CannotRead, Instrument, Surroundings, read_input, read_inputs, read_log

AROUND = Surroundings(
    "metric",
    {
        "ph": Instrument("pH meter", plus_minus=0.05),
        "trace": Instrument("titration", plus_minus=2, percent=10),
    },
    {"us_total_so2": (350, "mg/L"), "us_water_share": (1, "percent")},
)
US = Surroundings("us")


def one(unit: str, text: str, around: Surroundings = AROUND) -> tuple[float, float]:
    """Value and spread of one input, to be compared."""
    found = read_input(Parameter("reading", unit, True), text, around).spread
    return pytest.approx(found.value, abs=1e-9), pytest.approx(found.plus_minus, abs=1e-9)  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("unit", "text", "value", "spread"),
    [
        ("mg/L", "30 ppm", 30, 0),
        ("mg/L", "30", 30, 0),
        ("mg/L", "0.03 g/L", 30, 0),
        ("mL", "250", 250, 0),
        ("mL", "0.25 L", 250, 0),
        ("C", "50 F", 10, 0),
        ("SG", "1012", 1.012, 0),
        ("pH", "3.40 ± 0.05", 3.4, 0.05),
        ("pH", "3,40 +- 0,05", 3.4, 0.05),
        ("C", "50 F ± 1.8", 10, 1),
        ("C", "50 ± 1.8 F", 10, 1),
        ("pH", "about 3.4", 3.4, 0.05),
        ("mg/L", "about 50", 50, 5),
        ("mg/L", "about 10", 10, 2),
        ("W/(m2 K)", "120", 120, 0),
        ("W/(m2 K)", "120 W/(m2 K)", 120, 0),
        ("mg/L", "us_total_so2", 350, 0),
        ("%", "us_water_share", 1, 0),
    ],
)
def test_what_people_write(unit: str, text: str, value: float, spread: float) -> None:
    """Units, spreads, `about` and limits come out in the unit of the calculator."""
    assert one(unit, text) == (value, spread)


@pytest.mark.parametrize(
    ("unit", "text", "value"), [("C", "50", 10), ("L", "1", 3.785411784), ("mL", "1", 1), ("g/L", "1", 1)]
)
def test_a_bare_number_in_us_units(unit: str, text: str, value: float) -> None:
    """With US units a bare number is °F and gallons; small laboratory measures stay metric."""
    assert one(unit, text, US) == (value, 0)


@pytest.mark.parametrize(
    ("unit", "text", "says"),
    [
        ("mg/L", "many", "no number"),
        ("pH", "38", "14"),
        ("C", "3 gal", "temperature is expected"),
        ("% vol", "about 12", "no usual spread"),
        ("mL/g", "twelve", "not a plain number"),
        ("pH", "3.4 ± wide", "plus-or-minus"),
        ("pH", "4.0 to 3.2", "lower to a higher"),
        ("pH", "3.2 to 4.0 by 5", "do not fit"),
        ("mg/L", "us_water_share", "is in percent"),
    ],
)
def test_what_cannot_be_read_is_said(unit: str, text: str, says: str) -> None:
    """The message names the input and what is wrong with it."""
    with pytest.raises(CannotRead, match=says) as refused:
        read_input(Parameter("reading", unit, True), text, AROUND)
    assert "reading" in str(refused.value)


def test_an_input_that_runs() -> None:
    """Both ends are in a table; without a step it has nine lines."""
    read = read_input(Parameter("ph", "pH", True), "3.2 to 4.0", AROUND)
    assert read.values == pytest.approx([3.2, 3.3, 3.4, 3.5, 3.6, 3.7, 3.8, 3.9, 4.0])
    read = read_input(Parameter("t", "C", True), "50 to 68 F by 9", AROUND)
    assert read.values == pytest.approx([10, 15, 20])
    read = read_input(Parameter("t", "C", True), "50 to 68 by 9", US)
    assert read.values == pytest.approx([10, 15, 20])


def test_names_may_be_shortened_while_they_stay_clear() -> None:
    """`dose` will do for `dose_g_per_l`; `s` for two inputs will not."""
    sum_ = calculators()["slurry_ml_for_dose"]
    given = read_inputs(sum_, ["dose=0.5", "volume=23 L", "slurry=50"], AROUND)
    assert [one.spread.value for one in given] == [0.5, 23, 50]


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ((), "Still needed: dose_g_per_l"),
        (("dose", "volume_l=23"), "no input"),
        (("dose=", "volume_l=23"), "no input"),
        (("dose=1", "dose_g_per_l=2", "volume_l=23"), "given twice"),
        (("clay=1",), "takes no 'clay'"),
    ],
)
def test_inputs_that_do_not_fit(written: tuple[str, ...], says: str) -> None:
    """What is lacking, twice, or not known is named."""
    with pytest.raises(CannotRead, match=says):
        read_inputs(calculators()["bentonite_grams"], written, AROUND)


def test_dated_readings() -> None:
    """Dates are counted from the first; plain days are taken as they are."""
    assert read_log("2026-10-01 1.090, 2026-10-03 1.071", "metric") == ((0, 1.09), (2, 1.071))
    assert read_log("0 24 Brix; 2.5 1.050", "metric")[1] == (2.5, 1.05)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0 1.090", "two readings"),
        ("soon 1.090, 2 1.08", "no dated reading"),
        ("2026-13-01 1.09, 2 1.08", "calendar"),
    ],
)
def test_logs_that_cannot_be_read(text: str, says: str) -> None:
    """A log of one reading, of no date, of a date that does not exist."""
    with pytest.raises(CannotRead, match=says):
        read_log(text, "metric")
