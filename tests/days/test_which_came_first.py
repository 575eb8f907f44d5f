"""Which of two entries of a cellar log came first, where the hour is known and where it is not."""

from __future__ import annotations

import pytest
from diagnose.series.log import moment_of


@pytest.mark.parametrize(
    ("later", "earlier", "sure"),
    [
        ("2026-03-15", "2026-03-14", True),
        ("2026-03-15T07:00", "2026-03-14", True),
        ("2026-03-14", "2026-03-14", False),
        ("2026-03-14T23:00", "2026-03-14", False),
        ("2026-03-14", "2026-03-14T07:00", False),
        ("2026-03-14T18:30", "2026-03-14T18:29", True),
        ("2026-03-14T18:30", "2026-03-14T18:30", False),
        ("2026-03-14T07:00", "2026-03-14T18:30", False),
    ],
)
def test_a_reading_counts_as_after_a_racking_only_where_that_is_sure(
    later: str, earlier: str, sure: bool
) -> None:
    """On the day of the racking a reading counts as after it only if both hours were written down."""
    assert moment_of(later).surely_after(moment_of(earlier)) is sure


@pytest.mark.parametrize("written", ["2026-03-14Tnoon", "2026-03-14T25:00", "2026-03-14 at six"])
def test_an_hour_that_no_clock_has_leaves_the_day(written: str) -> None:
    """A case edited by hand with a slip in the hour keeps its day: no reading is lost for it."""
    assert moment_of(written) == moment_of("2026-03-14")
    assert moment_of(written).written == "2026-03-14"


def test_a_day_that_no_calendar_has_is_refused() -> None:
    """The thirtieth of February is a slip, and no day is guessed for it."""
    with pytest.raises(ValueError, match="day"):
        moment_of("2026-02-30T07:00")
