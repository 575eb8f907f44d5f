import pytest
from diagnose.calculators.trial.sureness import (
    MOST_JARS,
    beside_the_spread,
    by_preference,
    student_two_sided,
)
from hypothesis import given
from hypothesis import strategies as st

CRITICAL = [
    (6.314, 1, 10),
    (2.920, 2, 10),
    (2.015, 5, 10),
    (1.812, 10, 10),
    (12.706, 1, 5),
    (2.571, 5, 5),
    (2.228, 10, 5),
]
"""Critical values of Student's t, degrees of freedom, percent on both sides: the usual printed table (from memory)."""

readings = st.lists(st.floats(0, 100), min_size=2, max_size=6)


@pytest.mark.parametrize(("t", "freedom", "percent"), CRITICAL)
def test_students_t_agrees_with_the_printed_table(t: float, freedom: int, percent: float) -> None:
    """The table rounds t to three decimals, so the chance agrees to a hundredth of a percent or so."""
    assert 100 * student_two_sided(t, freedom) == pytest.approx(percent, abs=0.02)


def test_a_gap_far_wider_than_the_spread_is_sure_enough() -> None:
    """Equal jars 0.2 NTU apart, doses 4 NTU apart."""
    low, high = [5.0, 5.2], [1.0, 1.2]
    sure = beside_the_spread(low, high, [low, high, [9.0, 9.2]])
    assert (sure.word, sure.more) == ("sure enough", 0)


def test_a_gap_within_the_spread_is_a_coin_toss_and_more_jars_are_named() -> None:
    """Equal jars lie 3 NTU apart and the doses 2: it would take many more jars."""
    low, high = [5.0, 8.0], [3.0, 6.0]
    sure = beside_the_spread(low, high, [low, high])
    assert sure.word == "a coin toss" and sure.more is not None and sure.more > 2


def test_where_no_reasonable_number_of_jars_would_do_none_is_named() -> None:
    """A gap of a hundredth of the spread is no difference to care about."""
    low, high = [5.0, 8.0], [4.97, 7.97]
    assert beside_the_spread(low, high, [low, high]).more is None


def test_without_equal_jars_nothing_is_known() -> None:
    """One jar of each dose shows no spread."""
    assert beside_the_spread([5.0], [1.0], [[5.0], [1.0]]).word == "unknown"
    assert by_preference([1], [2]).word == "unknown"


def test_equal_jars_that_read_alike_are_no_proof() -> None:
    """A meter that shows no spread may be too coarse; so no figure, and no more than likely."""
    sure = beside_the_spread([5.0, 5.0], [1.0, 1.0], [[5.0, 5.0], [1.0, 1.0]])
    assert (sure.word, sure.luck_percent) == ("likely", None)


@pytest.mark.parametrize(
    ("pairs", "percent", "word"), [(2, 50, "a coin toss"), (4, 12.5, "likely"), (6, 3.125, "sure enough")]
)
def test_preferences_of_one_taster_are_counted_exactly(pairs: int, percent: float, word: str) -> None:
    """All of n pairs ranked alike, either way, is luck in 2 / 2^n of trials; six are the fewest that settle it."""
    sure = by_preference([1] * pairs, [2] * pairs)
    assert (sure.luck_percent, sure.word, sure.more) == (percent, word, 6 - pairs)


def test_ties_say_nothing() -> None:
    """Pairs ranked alike are left out, and only ties are a coin toss."""
    assert by_preference([1, 1], [1, 1]).luck_percent == 100


@given(readings, readings)
def test_the_more_jars_named_would_settle_it(first: list[float], second: list[float]) -> None:
    """More jars are named only where it is not settled, and never more than the program holds reasonable."""
    sure = beside_the_spread(first, second, [first, second])
    if sure.luck_percent is not None and sure.more is not None:
        assert (sure.more == 0) == (sure.word == "sure enough")
        assert sure.more <= MOST_JARS


@given(readings, readings)
def test_sureness_does_not_depend_on_which_is_named_first(first: list[float], second: list[float]) -> None:
    """Neither agent is favoured."""
    assert beside_the_spread(first, second, [first, second]) == beside_the_spread(
        second, first, [first, second]
    )
    assert by_preference(first, second) == by_preference(second, first)
