"""Sums worked in the open, and worksheets whose inputs are spread."""

from __future__ import annotations

import pytest
from diagnose.calculators import calculators, worksheets
from diagnose.calculators.spread import Spread
from diagnose.workings.inputs import Given
from diagnose.workings.work import fill_in, work, work_table


def given(**values: float | Spread) -> list[Given]:
    """Inputs by name, with a spread or without."""
    return [
        Given(name, "", value if isinstance(value, Spread) else Spread(value), "given")
        for name, value in values.items()
    ]


def test_the_worked_line_holds_the_numbers() -> None:
    """Every name of the formula is a number in the worked line."""
    done = work(calculators()["bentonite_grams"], given(dose_g_per_l=0.5, volume_l=20))
    assert done.worked == "0.5 x 20"
    assert done.result.value == 10


def test_a_verdict_that_the_spread_leaves_open_is_both() -> None:
    """A drop of 3.5 % read to within 1 % of the conductivity is doubtful or stable: the strict line is 3 %."""
    sheet = fill_in(
        worksheets()["conductivity_verdict"],
        given(before_us_per_cm=Spread(2000, 20), after_us_per_cm=1930, strict_percent=3, stable_percent=5),
    )
    cells = dict(zip((field.name for field in sheet.fields), sheet.rows[0], strict=True))
    drop = sheet.ranges[0][0]
    assert cells["verdict"] == "doubtful or stable"
    assert drop is not None and drop.low < 3 < drop.high


def test_a_verdict_the_spread_does_not_touch_stands_alone() -> None:
    """Far from every line the words are one, and words have no range."""
    sheet = fill_in(
        worksheets()["conductivity_verdict"],
        given(before_us_per_cm=Spread(2000, 5), after_us_per_cm=1700, strict_percent=3, stable_percent=5),
    )
    assert sheet.rows[0][1] == "unstable"
    assert sheet.ranges[0][1] is None


def test_a_worksheet_agrees_with_its_sum_about_the_range() -> None:
    """The same spread makes the same range, whichever way it is asked for."""
    spread = {"before_us_per_cm": Spread(2000, 10), "after_us_per_cm": Spread(1930, 10)}
    alone = work(calculators()["conductivity_drop_percent"], given(**spread)).result
    sheet = fill_in(worksheets()["conductivity_verdict"], given(**spread, strict_percent=3, stable_percent=5))
    found = sheet.ranges[0][0]
    assert found is not None
    assert (found.low, found.high) == pytest.approx((alone.low, alone.high))


def test_a_table_keeps_the_reason_of_a_value_it_cannot_use() -> None:
    """A value outside the sum has no result but a sentence; the others have theirs."""
    runs = Given("dose_g_per_l", "g/L", Spread(0.5), "given", values=(0.5, 50.0))
    table = work_table(calculators()["bentonite_grams"], [runs, *given(volume_l=10)], runs)
    assert table.lines[0].result == 5
    assert table.lines[1].result is None and "at most 20" in table.lines[1].refused
