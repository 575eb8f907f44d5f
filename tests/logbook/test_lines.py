"""Lines are read as people write them in a cellar book."""

from __future__ import annotations

from datetime import date

import pytest
from diagnose.logbook.lines import read_arguments, read_lines
from diagnose.logbook.names import Names
from diagnose.series.log import Moment
from hypothesis import given
from hypothesis import strategies as st

TODAY = date(2026, 11, 26)
NOW = Moment(TODAY, 600)


@pytest.mark.parametrize(
    ("line", "moment", "values"),
    [
        ("12 Oct 1.050 20C", "2026-10-12", {"gravity_now": 1.05, "cellar_temperature": 20}),
        ("2026-10-12, 1.050, 68 F", "2026-10-12", {"gravity_now": 1.05, "cellar_temperature": 20}),
        ("14 Oct\t1,020\t20,5 C", "2026-10-14", {"gravity_now": 1.02, "cellar_temperature": 20.5}),
        ("15 Oct 8:30 SG 1.018", "2026-10-15T08:30", {"gravity_now": 1.018}),
        ("1 Nov free SO2 30 ppm, total SO2 90 ppm", "2026-11-01", {"free_so2": 30, "total_so2": 90}),
        ("1 Nov pH 3.45, turbidity 12", "2026-11-01", {"ph": 3.45, "turbidity": 12}),
    ],
)
def test_a_line_holds_a_day_and_its_readings(
    names: Names, line: str, moment: str, values: dict[str, float]
) -> None:
    """The names and units are those that people say at a question too."""
    found = read_lines([line], names, TODAY)
    assert not found.faults and not found.remarks
    assert {one.moment.written for one in found.readings} == {moment}
    assert {one.name: one.value for one in found.readings} == pytest.approx(values)


@pytest.mark.parametrize("words", ["added 200 g sugar", "racked off the lees"])
def test_what_was_done_is_kept_as_a_remark(names: Names, words: str) -> None:
    """A cellar book says more than numbers."""
    (remark,) = read_lines([f"14 Oct {words}"], names, TODAY).remarks
    assert remark.words == words


def test_a_line_may_hold_both(names: Names) -> None:
    """A reading, and what was done that day."""
    found = read_lines(["14 Oct 1.020 racked off lees"], names, TODAY)
    assert [one.value for one in found.readings] == [1.02]
    assert [remark.words for remark in found.remarks] == ["racked off lees"]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("14 Oct 24", "nothing says what 24 measures"),
        ("14 Oct 30 ppm", "nothing says what 30 ppm measures"),
        ("14 Oct gravity 24", "scale"),
        ("14 Oct temp 68", "68 °C cannot be right"),
        ("12/10/2026 1.050", "12 Oct 2026 or 10 Dec 2026"),
        ("gravity 1.050", "no day"),
        ("14 Oct 1.050 1.040", "stands twice"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_its_line(names: Names, line: str, says: str) -> None:
    """Nothing of a doubtful figure is guessed."""
    found = read_lines(["13 Oct 1.060", line], names, TODAY)
    assert len(found.readings) in (1, 3)
    assert any(fault.startswith("Line 2: ") and says in fault for fault in found.faults)


def test_arguments_are_names_with_values(names: Names) -> None:
    """`gravity=1.020 temp=18C`, or the same in words."""
    for arguments in (["gravity=1.020", "temp=18C"], ["SG", "1.020", "18C"], ["sg = 1,020", "temp = 18 °C"]):
        found = read_arguments(arguments, NOW, names)
        assert not found.faults
        assert {one.name: one.value for one in found.readings} == {
            "gravity_now": 1.02,
            "cellar_temperature": 18,
        }


def test_a_wrong_unit_is_told_with_the_one_that_would_fit(names: Names) -> None:
    """24 is a density in Brix; 68 is a warm cellar in °F."""
    (gravity,) = read_arguments(["gravity=24"], NOW, names).faults
    assert "24 Brix would be 1.101" in gravity
    (warm,) = read_arguments(["temp=68"], NOW, names).faults
    assert "expected -5 °C to 40 °C" in warm and "68 F would be 20 °C" in warm
    (unknown,) = read_arguments(["gravty=1.02"], NOW, names).faults
    assert "'gravty'" in unknown and "density now" in unknown


@given(st.lists(st.text(max_size=60), max_size=4))
def test_junk_is_refused_or_a_remark(names: Names, texts: list[str]) -> None:
    """No line and no argument breaks the reading."""
    read_lines(texts, names, TODAY)
    read_lines([f"12 Oct {text}" for text in texts], names, TODAY)
    read_arguments(texts, NOW, names)
