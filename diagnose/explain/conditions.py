"""How a rule that did not speak stands: which condition is missing, and by how much."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from diagnose.engine.facts import Value
from diagnose.engine.truth import Branch, Leaf, Truth, judge_branch, leaves
from diagnose.judgement.judge import Cellar, Judged

STANDING = "cause."
"""Prefix of the fact that holds the word for how a cause stands."""


@dataclass(frozen=True)
class ConditionStands:
    """One condition of a rule, as the case stands.

    `gap` is what is missing of a number, in the cellar unit: above 0 it must rise by so much, below 0 fall; 0 where
    it lies on a bound that it must pass. For the standing of a cause it is the chance that is missing.
    """

    name: str
    form: Literal["test", "known", "unknown"]
    parts: tuple[tuple[str, Any], ...]
    """The tests of the value as written: operator and what is wanted."""
    negated: bool
    truth: Truth
    found: tuple[Value, ...]
    gap: float | None = None
    chance: float | None = None
    """How likely the cause is whose standing is asked for."""
    bound: float | None = None
    """The number that is missed: a threshold in the cellar unit, or the chance at which a standing begins."""


@dataclass(frozen=True)
class RuleStands:
    """A rule that did not fire, and how each of its conditions stands: the alternative that came nearest."""

    rule: str
    because: str
    source: tuple[str, ...]
    truth: Truth
    conditions: tuple[ConditionStands, ...]

    @property
    def failed(self) -> tuple[ConditionStands, ...]:
        """What keeps it from speaking: known not to be so."""
        return tuple(item for item in self.conditions if item.truth is Truth.FALSE)

    @property
    def missing(self) -> tuple[ConditionStands, ...]:
        """What nobody has looked at."""
        return tuple(item for item in self.conditions if item.truth is Truth.UNKNOWN)


def stands(cellar: Cellar, judged: Judged, rule: str) -> RuleStands:
    """How a rule stands on the facts of a case."""
    found = cellar.rules[rule]
    nearest = nearest_branch(found.branches, judged)
    truth = judge_branch(nearest, judged.facts)
    return RuleStands(rule, found.because, found.source, truth, tuple(_conditions(cellar, judged, nearest)))


def condition_stands(
    cellar: Cellar, judged: Judged, alternatives: Sequence[Branch]
) -> tuple[ConditionStands, ...]:
    """How each part of a condition stands, in the alternative that came nearest."""
    return tuple(_conditions(cellar, judged, nearest_branch(alternatives, judged)))


def nearest_branch(alternatives: Sequence[Branch], judged: Judged) -> Branch:
    """The alternative that came nearest: the fewest conditions known not to be so, then the fewest unknown."""

    def distance(branch: Branch) -> tuple[int, int, int]:
        truths = [leaf.truth for leaf in leaves(branch, judged.facts)]
        whole = (Truth.TRUE, Truth.UNKNOWN, Truth.FALSE).index(judge_branch(branch, judged.facts))
        return whole, truths.count(Truth.FALSE), truths.count(Truth.UNKNOWN)

    return min(alternatives, key=distance)


def _conditions(cellar: Cellar, judged: Judged, branch: Branch) -> Iterator[ConditionStands]:
    facts = judged.facts
    for leaf, stood in zip(branch.tests, leaves(branch, facts), strict=False):
        found = facts.get(leaf.name, ())
        gap, bound = (None, None) if stood.truth is not Truth.FALSE else gap_of(leaf, found)
        chance = None
        if leaf.name.startswith(STANDING) and stood.truth is not Truth.TRUE:
            gap, chance, bound = _short_of_standing(cellar, judged, leaf)
        yield ConditionStands(
            leaf.name, "test", leaf.parts, leaf.negated, stood.truth, found, gap, chance, bound
        )
    for name in branch.known:
        truth = Truth.TRUE if name in facts else Truth.UNKNOWN
        yield ConditionStands(name, "known", (), False, truth, facts.get(name, ()))
    for name in branch.unknown:
        truth = Truth.FALSE if name in facts else Truth.TRUE
        yield ConditionStands(name, "unknown", (), False, truth, facts.get(name, ()))


_MUST_RISE = ("at_least", "above")
_MUST_FALL = ("at_most", "below")


def gap_of(leaf: Leaf, found: Sequence[Value]) -> tuple[float | None, float | None]:
    """By how much the nearest number found misses a test, and the bound it misses; None for what is no number.

    Where a number lies inside a stretch that it must be outside of, the nearer end counts.
    """
    gaps = [
        (bound - value, bound)
        for value in found
        if isinstance(value, float)
        for bound in _bounds(leaf, value)
    ]
    return min(gaps, key=lambda pair: (abs(pair[0]), pair), default=(None, None))


def _bounds(leaf: Leaf, value: float) -> list[float]:
    """The bounds on the way to a number that would pass; of several that must all be passed, the farthest."""
    if leaf.negated:
        return [wanted for operator, wanted in leaf.parts if operator in (*_MUST_RISE, *_MUST_FALL)]
    missed = [
        wanted
        for operator, wanted in leaf.parts
        if (
            operator in _MUST_RISE
            and value <= wanted
            and not Leaf(leaf.name, ((operator, wanted),)).passes(value)
        )
        or (
            operator in _MUST_FALL
            and value >= wanted
            and not Leaf(leaf.name, ((operator, wanted),)).passes(value)
        )
    ]
    return [max(missed, key=lambda wanted: abs(wanted - value))] if missed else []


def _short_of_standing(
    cellar: Cellar, judged: Judged, leaf: Leaf
) -> tuple[float | None, float | None, float | None]:
    """How far a cause is from a standing that is asked for: what its chance lacks, the chance, and where it begins.

    All None for a cause that was not weighed. The lack is None where the chance would do and a test is missing.
    """
    cause = leaf.name.removeprefix(STANDING)
    chance = max((item.chance for item in judged.standings if item.cause == cause), default=None)
    if chance is None:
        return None, None, None
    starts = cellar.base.words["standing"].values
    # Confirmed is likely, and a test that has shown it.
    words = [*starts, "confirmed"]
    passing = [starts.get(word, starts["likely"]) for word in words if leaf.passes(word)]
    rising = [start for start in passing if start > chance]
    return (min(rising) - chance, chance, min(rising)) if rising else (None, chance, None)
