"""One taster, tasting blind: how likely it is that the right answers were luck."""

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.tasting import guessing_chance_percent, more_tastings_to_settle, right_needed
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

TASTINGS = st.integers(1, 60)
GLASSES = st.integers(2, 5)


@given(tastings=TASTINGS, glasses=GLASSES, data=st.data())
def test_the_chance_of_luck_is_the_binomial_tail(tastings: int, glasses: int, data: st.DataObject) -> None:
    """The chance agrees with the binomial distribution of scipy.stats, for any tasting."""
    right = data.draw(st.integers(0, tastings))
    expected = 100 * binom.sf(right - 1, tastings, 1 / glasses)
    assert guessing_chance_percent(right, tastings, glasses) == pytest.approx(expected, rel=1e-9)


@given(tastings=st.integers(5, 60), glasses=GLASSES)
def test_one_right_less_than_needed_could_be_luck(tastings: int, glasses: int) -> None:
    """The number needed keeps to the level, and one less does not."""
    needed = int(right_needed(tastings, glasses))
    assert binom.sf(needed - 1, tastings, 1 / glasses) <= 0.05 + 1e-12
    assert binom.sf(needed - 2, tastings, 1 / glasses) > 0.05


def test_a_few_tastings_prove_nothing() -> None:
    """Two triangles right are luck one time in nine, so they settle nothing; three right do, 1 in 27."""
    assert guessing_chance_percent(2, 2) == pytest.approx(100 / 9)
    with pytest.raises(OutOfRange, match="even all right could be luck"):
        right_needed(2)
    assert right_needed(3) == 3


def test_a_taster_is_told_how_many_more_would_settle_it() -> None:
    """After one triangle right two more are needed; a pair takes five right in a row, for 1 in 32 is under 5 %."""
    assert more_tastings_to_settle(1, 1) == 2
    assert more_tastings_to_settle(1, 1, glasses=2) == 4
    assert more_tastings_to_settle(3, 3) == 0


@given(tastings=st.integers(1, 30), glasses=GLASSES, data=st.data())
def test_the_tastings_asked_for_settle_it_and_fewer_do_not(
    tastings: int, glasses: int, data: st.DataObject
) -> None:
    """So many more right make luck unlikely, and one fewer leaves it open."""
    right = data.draw(st.integers(0, tastings))
    more = int(more_tastings_to_settle(right, tastings, glasses))
    assert binom.sf(right + more - 1, tastings + more, 1 / glasses) <= 0.05 + 1e-12
    if more:
        assert binom.sf(right + more - 2, tastings + more - 1, 1 / glasses) > 0.05


@pytest.mark.parametrize(("right", "tastings", "glasses"), [(4, 3, 3), (1.5, 3, 3), (1, 0, 3), (1, 3, 1)])
def test_a_count_that_cannot_be_is_refused(right: float, tastings: float, glasses: float) -> None:
    """More right than tasted, half a tasting, no tasting and one glass are refused."""
    with pytest.raises(OutOfRange):
        guessing_chance_percent(right, tastings, glasses)
