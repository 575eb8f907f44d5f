"""Whoever writes 3,4 means 3.4, wherever a number can be typed; what may be a thousand is asked again."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from diagnose.calculators import Parameter
from diagnose.casebook.answers import NotAnAnswer, read_answer
from diagnose.hearing.hear import Ear
from diagnose.interview.suppose import read_changes
from diagnose.interview.typed import (
    doses_between,
    equal_jars,
    not_negative,
    number_between,
    plain_number,
    row,
    strength_of,
    volume_ml,
)
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.lines import read_arguments, read_lines
from diagnose.logbook.names import Names
from diagnose.logbook.table import read_table
from diagnose.planning.trials import agent_of, fixes_with_ladder
from diagnose.series.log import Moment
from diagnose.units import NotAQuantity, quantities, read_quantity
from diagnose.workings.inputs import CannotRead, Surroundings, read_input, read_log
from hypothesis import given
from hypothesis import strategies as st

DAY = date(2026, 10, 12)
THOUSAND = "may mean 1050 or 1.050"


@pytest.fixture(scope="module")
def base() -> RuleBase:
    """The shipped rules."""
    return read_rule_base([Path(__file__).resolve().parents[2] / "rules"])


@given(st.sampled_from(quantities()), st.integers(0, 999), st.integers(1, 2), st.data())
def test_a_comma_is_a_point_for_every_quantity(
    quantity: str, whole: int, places: int, data: st.DataObject
) -> None:
    """With one or two figures behind it a comma can only be a decimal one; refused is what a point refuses too."""
    part = data.draw(st.integers(0, 10**places - 1))
    written = f"{whole},{part:0{places}d}"

    def read(text: str) -> float | None:
        try:
            return read_quantity(text, quantity, "metric")
        except NotAQuantity:
            return None

    assert read(written) == read(written.replace(",", "."))


@pytest.mark.parametrize(
    ("quantity", "text", "value"),
    [
        ("gravity", "1,050", 1.05),
        ("gravity", "0,996", 0.996),
        ("ph", "3,450", 3.45),
        ("alcohol", "12,500 %", 12.5),
        ("volume", "0,750 L", 0.75),
        ("dose", "0,125 g/L", 0.125),
    ],
)
def test_three_figures_are_decimals_where_no_thousands_exist(quantity: str, text: str, value: float) -> None:
    """There is no gravity, pH or alcohol of a thousand, and nobody writes a thousand with a nought before it."""
    assert read_quantity(text, quantity, "metric") == pytest.approx(value)


@pytest.mark.parametrize("quantity", ["volume", "trace", "dose", "mass", "turbidity", "duration", "count"])
def test_what_may_be_a_thousand_is_asked_again(quantity: str) -> None:
    """A thousandfold dose would be no slip to laugh at: the sentence names both readings."""
    with pytest.raises(NotAQuantity, match=THOUSAND):
        read_quantity("1,050", quantity, "metric")


def _agent(base: RuleBase, fix: str = "bentonite_from_trial"):  # type: ignore[no-untyped-def]
    return agent_of(base.fixes[fix if fix in base.fixes else next(iter(fixes_with_ladder(base)))])


def test_at_a_question_and_in_what_is_heard(base: RuleBase) -> None:
    """At a question, in a note of readings, and in what is supposed."""
    assert read_answer(base.observations["ph"], "3,4", "metric") == 3.4
    assert read_answer(base.observations["vessel_volume"], "6,5 gal", "us") == pytest.approx(24.6, abs=0.01)
    heard = {one.observe: one.value for one in Ear(base).note("pH 3,6, free SO2 20,5 ppm", "metric").findings}
    assert heard == {"ph": 3.6, "free_so2": 20.5}
    assert read_changes(base, "metric", ["ph=3,8"], []) == {"ph": 3.8}


def test_in_a_log(base: RuleBase) -> None:
    """As an argument, as words, as a pasted line, and in a table."""
    names, now = Names(base, "metric"), Moment(DAY, None)
    wanted = {"gravity_now": 1.05, "cellar_temperature": 20.5}
    for found in (
        read_arguments(["gravity=1,050", "temp=20,5C"], now, names),
        read_arguments(["gravity 1,050, temp 20,5"], now, names),
        read_lines(["12 Oct 1,050 20,5C"], names, DAY),
        read_table("date;gravity;temp\n2026-10-12;1,050;20,5\n", names, DAY),
    ):
        assert not found.faults
        assert {one.name: one.value for one in found.readings} == wanted


def test_a_log_does_not_offer_units_where_the_number_is_in_doubt(base: RuleBase) -> None:
    """Of a free sulfite of 1,050 the number is in doubt, and not its unit."""
    fault = read_arguments(["free so2=1,050"], Moment(DAY, None), Names(base, "metric")).faults[0]
    assert THOUSAND in fault and "another unit" not in fault


def test_at_the_bench(base: RuleBase) -> None:
    """Doses, the strength of a stock, the wine of a jar, and what is read in each."""
    agent = _agent(base)
    doses = doses_between((0, 1000), agent)
    assert doses("0,1 0,2") == doses("0.1 0.2") == doses("0.1,0.2")
    low, high = (percent for percent in agent.stock_between)
    middle = f"{(low + high) / 2:.1f}"
    assert strength_of(agent)(f"{middle} %".replace(".", ",")) == pytest.approx(10 * float(middle))
    assert volume_ml("0,25 L") == volume_ml("250")
    assert row(2, plain_number)("1,5 2") == [1.5, 2]
    assert equal_jars(2, not_negative)("1,5/2,25") == [1.5, 2.25]
    assert number_between(0, 10, "cm")("2,5 cm") == 2.5


@pytest.mark.parametrize(
    "read",
    [plain_number, not_negative, number_between(0, 2000, "NTU"), volume_ml],
)
def test_a_thousand_at_the_bench_is_asked_again(read: Callable[[str], float]) -> None:
    """A turbidity of 1,050 NTU must not be kept as 1."""
    with pytest.raises(NotAnAnswer, match=THOUSAND):
        read("1,050")


def test_doses_with_nothing_but_commas_are_asked_again(base: RuleBase) -> None:
    """0,1,0,2 may be two doses or four."""
    with pytest.raises(NotAnAnswer, match="spaces between"):
        doses_between((0, 1000), _agent(base))("0,1,0,2")


@pytest.mark.parametrize(
    ("unit", "text", "value", "spread"),
    [
        ("pH", "3,4", 3.4, 0),
        ("mg/L", "30,5 ± 2,5", 30.5, 2.5),
        ("SG", "1,050 ± 0,002", 1.05, 0.002),
        ("plain number", "0,125", 0.125, 0),
        ("C", "68,5 F", 20.2778, 0),
    ],
)
def test_in_a_sum(unit: str, text: str, value: float, spread: float) -> None:
    """A value and its plus-or-minus."""
    found = read_input(Parameter("reading", unit, True), text, Surroundings()).spread
    assert (found.value, found.plus_minus) == (
        pytest.approx(value, abs=1e-4),
        pytest.approx(spread, abs=1e-6),
    )


@pytest.mark.parametrize("unit", ["mg/L", "plain number", "kJ/kg", "g/L day"])
def test_a_thousand_in_a_sum_is_asked_again(unit: str) -> None:
    """Also in a unit that only this sum knows."""
    with pytest.raises(CannotRead, match=THOUSAND):
        read_input(Parameter("reading", unit, True), "1,050", Surroundings())


def test_in_the_steps_of_a_table_and_in_dated_readings() -> None:
    """3,2 to 3,6 by 0,1; and days with their gravities, with semicolons between, or a comma and a space."""
    table = read_input(Parameter("ph", "pH", True), "3,2 to 3,6 by 0,1", Surroundings())
    assert table.values == pytest.approx((3.2, 3.3, 3.4, 3.5, 3.6))
    wanted = ((0, 1.09), (2.5, 1.071))
    assert read_log("0 1,090; 2,5 1,071", "metric") == wanted
    assert read_log("0 1,090, 2,5 1,071", "metric") == wanted
    assert read_log("0 1.090,2.5 1.071", "metric") == wanted
