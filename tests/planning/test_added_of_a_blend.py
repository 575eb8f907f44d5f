"""What was really poured in when a wine was blended."""

from __future__ import annotations

import pytest
from diagnose.planning.added import cannot_be


def test_more_of_the_other_wine_than_of_this_one_can_have_been_meant() -> None:
    """A share of 75 % of the blend is 60 L to 20 L (worked by hand), so 58 L told is no slip."""
    assert cannot_be(60.0, "volume", 58.0, 20.0) is None


@pytest.mark.parametrize(("planned", "added"), [(5.0, 58.0), (None, 58.0), (60.0, 60_000.0), (60.0, 0.0)])
def test_a_slip_of_the_unit_is_still_one(planned: float | None, added: float) -> None:
    """More than the wine where the plan says less, a thousand times too much, and nothing at all are asked again."""
    assert cannot_be(planned, "volume", added, 20.0) is not None
