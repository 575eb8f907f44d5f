"""Blind glasses: nobody can tell the dose from the code or from the order."""

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import blind_order
from hypothesis import given
from hypothesis import strategies as st


@given(jars=st.integers(2, 100), seed=st.integers(0, 10**6))
def test_every_jar_has_its_own_code_and_is_tasted_once(jars: int, seed: int) -> None:
    """The tasting order is a permutation of the codes, which are all different and of three digits."""
    blind = blind_order(jars, seed)
    assert len(set(blind.codes)) == jars
    assert sorted(blind.order) == sorted(blind.codes)
    assert all(100 <= code <= 999 for code in blind.codes)


@given(jars=st.integers(2, 100), seed=st.integers(0, 10**6))
def test_another_day_shows_the_same_codes(jars: int, seed: int) -> None:
    """The kept seed gives the same codes in the same order."""
    assert blind_order(jars, seed) == blind_order(jars, seed)


def test_the_control_is_not_always_tasted_first() -> None:
    """Over many trials of six jars the control comes in every place."""
    places = {blind.order.index(blind.codes[0]) for blind in (blind_order(6, seed) for seed in range(300))}
    assert places == set(range(6))


def test_a_single_jar_is_no_trial() -> None:
    """One jar has nothing to be compared with."""
    with pytest.raises(OutOfRange, match="control"):
        blind_order(1, 7)
