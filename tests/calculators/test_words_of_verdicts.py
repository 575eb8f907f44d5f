"""The words of a verdict go with its numbers."""

from __future__ import annotations

import pytest
from diagnose.calculators import calculators, call
from diagnose.calculators.bottle_pressure.verdict import bottle_verdict
from diagnose.calculators.cold_stability import conductivity_verdict


@pytest.mark.parametrize("sugar", [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 8.0, 12.0])
def test_a_bottle_is_said_to_be_beyond_its_design_when_it_is(sugar: float) -> None:
    """Cork and glass are called in order up to their design and never beyond it, whatever sugar ferments."""
    found = bottle_verdict(15.0, 12.0, sugar, warmest_c=20.0)
    beyond = found.overpressure_at_20_c_bar > found.design_bar
    for words in (found.closure, found.glass):
        assert ("Within what it is designed for" in words) is not beyond
    assert (found.verdict == "safe") is not beyond


@pytest.mark.parametrize(
    ("after", "verdict"), [(970.1, "stable"), (970.0, "doubtful"), (950.1, "doubtful"), (950.0, "unstable")]
)
def test_a_drop_at_the_line_is_not_good_enough(after: float, verdict: str) -> None:
    """A wine whose conductivity drops by just 3 % or just 5 % is judged as one that drops by more."""
    assert conductivity_verdict(1000.0, after).verdict == verdict


def test_the_strength_of_hydroxide_may_just_be_two_molar() -> None:
    """2 mol/L is taken, and more is a slip of the grams: 204.22 g of phthalate are one mole."""
    one_mole = {"phthalate_g": 2 * 2.0422, "titrant_ml": 10.0}
    assert call("titrant_strength_from_phthalate", **one_mole) == pytest.approx(2.0, rel=1e-4)


@pytest.mark.parametrize(("wetted", "wall"), [(100.0, 100.0), (50.0, 100.0), (25.0, 80.0), (0.0, 60.0)])
def test_the_shares_of_jacket_and_wall_are_shown_as_they_count(wetted: float, wall: float) -> None:
    """A full tank at 8 C between 2 and 20 C: the jacket counts 12 parts and the wall 6, each by its share (by hand)."""
    given = {"full_settles_c": 8.0, "coolant_c": 2.0, "room_c": 20.0}
    shares = {"wetted_share_percent": wetted, "wall_share_percent": wall}
    working = calculators()["settles_with_part_of_jacket"].working
    assert working is not None
    assert working(**given, **shares) == pytest.approx({"jacket": 0.12 * wetted, "wall": 0.06 * wall})
    parts = 0.12 * wetted, 0.06 * wall
    settles = (parts[0] * 2 + parts[1] * 20) / sum(parts)
    assert call("settles_with_part_of_jacket", **given, **shares) == pytest.approx(settles)


@pytest.mark.parametrize(("right", "of", "more"), [(3, 3, 0), (2, 2, 1), (4, 5, 0), (3, 5, 2)])
def test_so_many_more_tastings_all_right_would_settle_it(right: int, of: int, more: int) -> None:
    """By luck all of 3 are right once in 27 (3.7 %), 4 of 5 in 4.5 %, and 5 of 7 in 4.5 %: binomial, by hand."""
    assert call("more_tastings_to_settle", right=right, tastings=of) == more
