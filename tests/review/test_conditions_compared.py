"""Conditions compared as boxes agree with trying every wine there could be."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations, product

from diagnose.engine.facts import Facts, Value
from diagnose.engine.truth import Branch, Truth, branches, judge
from diagnose.knowledge.conditions import Condition
from diagnose.review.algebra import Domain, can_hold, gaps, implies, meet, overlap
from hypothesis import given
from hypothesis import strategies as st
from random_pages import NUMBERS, OBSERVED, SEVERAL, WORDS, conditions

FIGURES = [-1.0, 0.0, 0.5, 1.0, 2.0, 2.5, 3.0, 5.0, 6.0]
DOMAINS = {
    **{name: Domain("word", answers) for name, answers in WORDS.items()},
    **{name: Domain("several", answers) for name, answers in SEVERAL.items()},
    **{name: Domain("number") for name in NUMBERS},
}
WRITTEN = conditions(OBSERVED, deep=3).map(Condition.model_validate).map(branches)


def _values(name: str) -> list[Value | None]:
    if name in WORDS:
        return [None, *WORDS[name]]
    if name in SEVERAL:
        words = SEVERAL[name]
        return [None, *map(frozenset, chain.from_iterable(combinations(words, n) for n in range(1, 4)))]
    return [None, *FIGURES]


def _wines(*conditions: tuple[Branch, ...]) -> Iterator[Facts]:
    """Every wine that these conditions could tell apart, one value for each fact at most."""
    names = sorted({name for ways in conditions for way in ways for name in (*way.names, *way.unknown)})
    for values in product(*map(_values, names)):
        pairs = zip(names, values, strict=True)
        yield {name: (value,) for name, value in pairs if value is not None}


def _holds(ways: tuple[Branch, ...], wine: Facts) -> bool:
    return judge(ways, wine) is Truth.TRUE


@given(WRITTEN, WRITTEN)
def test_what_is_implied_holds_in_every_wine(narrow: tuple[Branch, ...], wide: tuple[Branch, ...]) -> None:
    """One condition implies another exactly when there is no wine in which it holds and the other does not."""
    tried = all(_holds(wide, wine) for wine in _wines(narrow, wide) if _holds(narrow, wine))
    assert implies(narrow, wide, DOMAINS) is tried


@given(WRITTEN, WRITTEN)
def test_what_meets_has_a_wine(one: tuple[Branch, ...], other: tuple[Branch, ...]) -> None:
    """Two conditions meet, and one can hold, exactly when some wine shows it."""
    wines = [*_wines(one, other)]
    assert meet(one, other, DOMAINS) is any(_holds(one, wine) and _holds(other, wine) for wine in wines)
    assert can_hold(one, DOMAINS) is any(_holds(one, wine) for wine in wines)


ENDS = st.lists(st.sampled_from([0.0, 1.0, 2.5, 5.0]), min_size=2, max_size=2, unique=True).map(sorted)
STRETCHES = st.lists(st.tuples(ENDS, st.booleans(), st.booleans()), min_size=1, max_size=3)


def _ways(stretches: list[tuple[list[float], bool, bool]]) -> tuple[Branch, ...]:
    written = [
        {"m": {"at_least" if low_in else "above": low, "at_most" if high_in else "below": high}}
        for (low, high), low_in, high_in in stretches
    ]
    return branches(Condition.model_validate({"any": written}))


@given(STRETCHES)
def test_a_gap_is_what_no_stretch_covers(stretches: list[tuple[list[float], bool, bool]]) -> None:
    """Between the lowest and the highest figure covered, a number lies in a gap exactly when nothing covers it."""
    ways = _ways(stretches)
    found = gaps("m", ways, DOMAINS)
    fine = [figure / 4 for figure in range(21)]
    covered = [figure for figure in fine if _holds(ways, {"m": (figure,)})]
    for figure in fine:
        inside = any(_in(figure, stretch) for stretch in found)
        assert inside is (covered[0] < figure < covered[-1] and figure not in covered)


@given(STRETCHES, STRETCHES)
def test_an_overlap_is_what_both_cover(
    one: list[tuple[list[float], bool, bool]], other: list[tuple[list[float], bool, bool]]
) -> None:
    """A number lies in the overlap exactly when both conditions hold of it."""
    ways, others = _ways(one), _ways(other)
    found = overlap("m", ways, others, DOMAINS)
    for figure in (figure / 4 for figure in range(21)):
        wine = {"m": (figure,)}
        assert any(_in(figure, stretch) for stretch in found) is (_holds(ways, wine) and _holds(others, wine))


def _in(figure: float, stretch: object) -> bool:
    low, high = stretch.low, stretch.high  # type: ignore[attr-defined]
    return (
        low < figure < high
        or (figure == low and stretch.low_in)  # type: ignore[attr-defined]
        or (figure == high and stretch.high_in)  # type: ignore[attr-defined]
    )


def test_a_number_is_bounded_by_what_is_plausible() -> None:
    """A figure that nobody can enter is never met: pH from 2.5 to 4.5 is never above 6."""
    ph = {"ph": Domain("number", least=2.5, most=4.5)}
    above, all_of_it = (branches(Condition.model_validate({"ph": {test: 6}})) for test in ("above", "below"))
    known = branches(Condition.model_validate({"known": "ph"}))
    assert not can_hold(above, ph)
    assert implies(known, all_of_it, ph)


def test_what_stands_alone_meets_nothing_beside_it() -> None:
    """`none` cannot be ticked with another answer, so that it implies the absence of all others."""
    added = {"added": Domain("several", ("clay", "gelatin", "none"), ("none",))}
    none, no_clay = (
        branches(Condition.model_validate({"added": test}))
        for test in ({"includes": "none"}, {"includes_none": ["clay"]})
    )
    assert implies(none, no_clay, added)
    assert not implies(no_clay, none, added)
