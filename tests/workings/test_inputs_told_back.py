"""Inputs of a sum that cannot be used: what was typed is told back, and how to write it."""

from __future__ import annotations

import pytest
from diagnose.calculators import Parameter, calculators, worksheets
from diagnose.calculators.spread import Spread
from diagnose.workings.inputs import (
    READINGS,
    CannotRead,
    Given,
    Instrument,
    Surroundings,
    read_input,
    read_inputs,
    read_log,
)
from diagnose.workings.machine import calculation_out
from diagnose.workings.work import fill_in, work, work_table

AROUND = Surroundings(
    "metric",
    {"ph": Instrument("pH meter", plus_minus=0.05)},
    {"us_total_so2": (350, "mg/L"), "food": (250, "mg N/L")},
)

REFUSED = [
    ("pH", "us_total_so2", "reading: the limit us_total_so2 is in mg/L, and pH is needed."),
    ("W/(m2 K)", "us_total_so2", "the limit us_total_so2 is in mg/L, and W/(m2 K) is needed."),
    ("pH", "3.4 ± a bit", "'a bit' is no plus-or-minus. Write for example 3.4 ± 0.05."),
    ("pH", "pH 3.4 ± 0.1", "'pH 3.4' is not a number with a plus-or-minus."),
    (
        "W/(m2 K)",
        "about 120",
        "no usual spread is known for W/(m2 K). Write it yourself, for example 120 ± 12.",
    ),
    ("W/(m2 K)", "about 0", "Write it yourself, for example 0 ± 1."),
    ("pH", "4.0 to 3.2", "a table runs from a lower to a higher value, not 4 to 3.2."),
    ("pH", "3.2 to 4.0 by bits", "'bits' is no step. Write for example by 0.1."),
    ("pH", "3.2 to 4.0 by 2", "steps of 2 do not fit between 3.2 and 4."),
    ("pH", "3.2 to 4.0 by 0.001", "steps of 0.001 do not fit between 3.2 and 4."),
]


@pytest.mark.parametrize(("unit", "text", "said"), REFUSED)
def test_what_cannot_be_used_is_told_with_the_mend(unit: str, text: str, said: str) -> None:
    """A limit of another kind, a spread that is no number, a table that runs backwards: each says what to write."""
    with pytest.raises(CannotRead) as told:
        read_input(Parameter("reading", unit, True), text, AROUND)
    assert str(told.value).startswith("reading: ") and said in str(told.value)


@pytest.mark.parametrize(
    ("unit", "text", "value", "spread"),
    [
        ("W/(m2 K)", "120 ± 5", 120, 5),
        ("mg/L", "us_total_so2", 350, 0),
        ("mg N/L", "food", 250, 0),
        ("pH", "3.4 ± 0.1", 3.4, 0.1),
    ],
)
def test_a_spread_may_stand_beside_any_unit(unit: str, text: str, value: float, spread: float) -> None:
    """A unit that no table converts is taken as it stands, with its spread."""
    found = read_input(Parameter("reading", unit, True), text, AROUND).spread
    assert [found.value, found.plus_minus] == pytest.approx([value, spread])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "2026-02-30 1.090, 2026-03-02 1.071",
            "'2026-02-30' is no date of the calendar. Write it as 2026-10-31.",
        ),
        ("soon 1.090, 2 1.071", "'soon 1.090' is no dated reading. Write days or a date, then the gravity"),
        ("0 1.090, 2 heavy", "heavy"),
        ("0 1.090", "A log needs two readings or more"),
    ],
)
def test_a_log_that_cannot_be_read_says_which_line(text: str, said: str) -> None:
    """A day that no calendar has, a line without a day, a gravity that is no number, and one reading alone."""
    with pytest.raises(CannotRead) as told:
        read_log(text, "metric")
    assert said in str(told.value)


def test_readings_may_be_dated_or_counted_in_days() -> None:
    """The first date is day nought; with decimal commas a semicolon parts the readings."""
    dated = read_log("2026-03-01 1.090, 2026-03-03 1.071", "metric")
    counted = read_log("0 1,090; 2 1,071", "metric")
    assert dated == counted
    assert [part for reading in dated for part in reading] == pytest.approx([0, 1.090, 2, 1.071])


def test_a_part_of_a_name_must_be_one_name_alone() -> None:
    """`volume` may be one of two volumes, and `colour` none at all: the names that there are get told."""
    blend = calculators()["blend_volume_l"]
    with pytest.raises(CannotRead, match=r"'value' may be value_a or value_b\. Write more of the name\."):
        read_inputs(blend, ["value=3"], AROUND)
    with pytest.raises(CannotRead, match=r"'blend_volume_l' takes no 'colour'\. It takes .*target"):
        read_inputs(blend, ["colour=red"], AROUND)


def test_a_log_may_be_the_input_of_a_sum() -> None:
    """Dated readings are one input without a spread of their own; the unit of a table may stand once."""
    found = read_input(Parameter("log", READINGS, True), "0 1.090, 2 1.071", AROUND)
    assert [part for reading in found.readings for part in reading] == pytest.approx([0, 1.090, 2, 1.071])
    assert found.spread.plus_minus == 0
    for text in ("50 to 68 F by 9", "50 F to 68 F by 9", "10 to 20 by 5"):
        assert read_input(Parameter("at", "C", True), text, AROUND).values == pytest.approx((10, 15, 20))


def test_a_sum_without_a_line_of_its_own_shows_none() -> None:
    """The fill of a lying cylinder is no one line of sums: none is shown, and none with numbers in it."""
    sum_ = calculators()["lying_cylinder_volume_l"]
    sizes = [
        Given(one.name, one.unit, Spread(value), "given")
        for one, value in zip(sum_.parameters, (60, 100, 30), strict=True)
    ]
    done = work(sum_, sizes)
    assert (sum_.formula, done.worked, calculation_out(done).worked) == ("", "", "")
    # Half full, it holds half of the cylinder (worked by hand: pi x 30 cm x 30 cm x 100 cm / 2 = 141.4 L).
    assert done.result.value == pytest.approx(141.37, abs=0.01)


# ---------------------------------------------------------------- for another program


def test_another_program_gets_tables_and_worksheets_whole() -> None:
    """A table has a line for each value, with the reason where there is no result; a worksheet its rows and ranges."""
    blend = calculators()["blend_volume_l"]
    given = {"value_a": 12.0, "volume_a_l": 10.0, "value_b": 16.0}
    known = [Given(name, "", Spread(value), "given") for name, value in given.items()]
    runs = Given("target", "", Spread(0.0), "given", values=(14.0, 20.0))
    table = calculation_out(work_table(blend, known, runs))
    assert table.table is not None and [line.at for line in table.table] == [14.0, 20.0]
    assert table.table[0].result == pytest.approx(10) and table.table[0].refused == ""
    assert table.table[1].result is None and "between its two wines" in str(table.table[1].refused)
    numbers = {"before_us_per_cm": Spread(2000, 20), "after_us_per_cm": Spread(1930)}
    numbers |= {"strict_percent": Spread(3), "stable_percent": Spread(5)}
    inputs = [Given(name, "", spread, "given") for name, spread in numbers.items()]
    sheet = calculation_out(fill_in(worksheets()["conductivity_verdict"], inputs))
    assert sheet.rows is not None and sheet.rows[0]["verdict"] == "doubtful or stable"
    (ranges,) = sheet.ranges
    assert [low < 3.5 < high for low, high in ranges.values()] == [True]
