"""Conditions on plain facts: true, false, or unknown because nobody has looked.

`branches` turns a condition into alternatives that each ask for known facts and for unknown ones; the network
is built from these. `judge` says of the same condition, on the final facts, how it stands and why.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import product
from typing import Any

from diagnose.knowledge.conditions import Condition, FactTest

from .facts import Facts, Value, shown

MOST_BRANCHES = 64


class Truth(Enum):
    """How a condition stands."""

    TRUE = "true"
    FALSE = "false"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Leaf:
    """One test of one fact. `parts` are the operators as written; `negated` turns the answer round."""

    name: str
    parts: tuple[tuple[str, Any], ...]
    negated: bool = False

    def passes(self, value: Value) -> bool:
        """Whether a value passes; a value of the wrong type never does, negated or not."""
        return all(_fits(operator, value) for operator, _ in self.parts) and (
            all(_OPERATORS[operator](value, wanted) for operator, wanted in self.parts) != self.negated
        )

    def __str__(self) -> str:
        """The test in words."""
        said = " and ".join(f"{_WORDS[operator]} {_wanted(wanted)}" for operator, wanted in self.parts)
        return f"not ({self.name} {said})" if self.negated else f"{self.name} {said}"


def _wanted(wanted: Any) -> str:
    if isinstance(wanted, tuple):
        return " or ".join(map(str, wanted))
    return f"{wanted:g}" if isinstance(wanted, float) else str(wanted)


_WORDS = {
    "is": "is",
    "is_not": "is not",
    "one_of": "is",
    "none_of": "is none of",
    "at_least": "is at least",
    "above": "is above",
    "at_most": "is at most",
    "below": "is below",
    "includes": "includes",
    "includes_any": "includes",
    "includes_none": "includes none of",
}

_OPERATORS: dict[str, Callable[[Any, Any], bool]] = {
    "is": lambda value, wanted: value == wanted,
    "is_not": lambda value, wanted: value != wanted,
    "one_of": lambda value, wanted: value in wanted,
    "none_of": lambda value, wanted: value not in wanted,
    "at_least": lambda value, wanted: value >= wanted,
    "above": lambda value, wanted: value > wanted,
    "at_most": lambda value, wanted: value <= wanted,
    "below": lambda value, wanted: value < wanted,
    "includes": lambda value, wanted: wanted in value,
    "includes_any": lambda value, wanted: any(word in value for word in wanted),
    "includes_none": lambda value, wanted: not any(word in value for word in wanted),
}


def _fits(operator: str, value: Value) -> bool:
    """experta asks every predicate about every value, so each must refuse other types quietly."""
    if operator in ("at_least", "above", "at_most", "below"):
        return isinstance(value, float)
    if operator.startswith("includes"):
        return isinstance(value, frozenset)
    return isinstance(value, str)


@dataclass(frozen=True)
class Branch:
    """One way for a condition to hold: tests of known facts, names that must be known, or unknown."""

    tests: tuple[Leaf, ...] = ()
    known: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()

    def __add__(self, other: Branch) -> Branch:
        """Both together."""
        return Branch(
            tuple(dict.fromkeys(self.tests + other.tests)),
            tuple(dict.fromkeys(self.known + other.known)),
            tuple(dict.fromkeys(self.unknown + other.unknown)),
        )

    @property
    def names(self) -> tuple[str, ...]:
        """The facts that must be known, each once, in a fixed order."""
        return tuple(sorted({*(leaf.name for leaf in self.tests), *self.known}))


def branches(condition: Condition) -> tuple[Branch, ...]:
    """The alternatives of a condition. Raises ValueError when there are too many to be meant."""
    found = tuple(dict.fromkeys(_alternatives(condition, False)))
    if len(found) > MOST_BRANCHES:
        raise ValueError(f"a condition with {len(found)} alternatives is too tangled; split it into states")
    return found


def _alternatives(condition: Condition, negated: bool) -> list[Branch]:
    """Each part has alternatives. All parts must hold; of a negated condition one must fail."""
    parts: list[list[Branch]] = [
        [Branch(tests=(Leaf(name, _parts(test), negated),))] for name, test in sorted(condition.facts.items())
    ]
    parts += [[Branch(unknown=(name,)) if negated else Branch(known=(name,))] for name in condition.known]
    parts += [[Branch(known=(name,)) if negated else Branch(unknown=(name,))] for name in condition.unknown]
    parts += [_alternatives(inner, negated) for inner in condition.all_]
    if condition.any_:
        inners = [_alternatives(inner, negated) for inner in condition.any_]
        parts.append(_joined(inners) if negated else _either(inners))
    if condition.not_:
        parts.append(_alternatives(condition.not_, not negated))
    return _either(parts) if negated else _joined(parts)


def _either(parts: list[list[Branch]]) -> list[Branch]:
    return [branch for part in parts for branch in part]


def _joined(parts: list[list[Branch]]) -> list[Branch]:
    size = 1
    for part in parts:
        size *= max(1, len(part))
        if size > 4 * MOST_BRANCHES:
            raise ValueError("a condition with so many alternatives is too tangled; split it into states")
    joined = []
    for combination in product(*parts):
        whole = Branch()
        for branch in combination:
            whole = whole + branch
        joined.append(whole)
    return joined


def _parts(test: FactTest) -> tuple[tuple[str, Any], ...]:
    return tuple(sorted(test.parts().items()))


# ---------------------------------------------------------------- on the final facts


@dataclass(frozen=True)
class Judged:
    """How one leaf of a condition stands: its words, its truth, and the value it met."""

    name: str
    says: str
    truth: Truth
    value: str


def judge_branch(branch: Branch, facts: Facts) -> Truth:
    """How one alternative stands on the facts."""
    truth = _and(leaf.truth for leaf in leaves(branch, facts))
    # Where a fact has two values, all its tests must be passed by the same one, as in the network.
    return Truth.FALSE if truth is Truth.TRUE and not _one_value_each(branch, facts) else truth


def _one_value_each(branch: Branch, facts: Facts) -> bool:
    return all(
        any(all(leaf.passes(value) for leaf in branch.tests if leaf.name == name) for value in facts[name])
        for name in branch.names
    )


def judge(alternatives: tuple[Branch, ...], facts: Facts) -> Truth:
    """How a whole condition stands on the facts."""
    return _or(judge_branch(branch, facts) for branch in alternatives)


def leaves(branch: Branch, facts: Facts) -> Iterator[Judged]:
    """Each test of a branch with its truth."""
    for leaf in branch.tests:
        values = facts.get(leaf.name, ())
        if not values:
            truth = Truth.UNKNOWN
        else:
            truth = Truth.TRUE if any(leaf.passes(value) for value in values) else Truth.FALSE
        yield Judged(leaf.name, str(leaf), truth, " / ".join(map(shown, values)))
    for name in branch.known:
        known = name in facts
        said = " / ".join(map(shown, facts.get(name, ())))
        yield Judged(name, f"{name} is known", Truth.TRUE if known else Truth.UNKNOWN, said)
    for name in branch.unknown:
        known = name in facts
        said = " / ".join(map(shown, facts.get(name, ())))
        yield Judged(name, f"{name} is not known", Truth.FALSE if known else Truth.TRUE, said)


def _and(truths: Iterator[Truth]) -> Truth:
    found = set(truths)
    if Truth.FALSE in found:
        return Truth.FALSE
    return Truth.UNKNOWN if Truth.UNKNOWN in found else Truth.TRUE


def _or(truths: Iterator[Truth]) -> Truth:
    found = set(truths)
    if Truth.TRUE in found:
        return Truth.TRUE
    return Truth.UNKNOWN if Truth.UNKNOWN in found or not found else Truth.FALSE
