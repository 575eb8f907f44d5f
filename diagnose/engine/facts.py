"""Facts: plain names with plain values, as they flow through the engine."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

Value: TypeAlias = "str | float | frozenset[str]"
"""An answer word, a number in the quantity's cellar unit, or the ticked answers of a `several` question."""

Facts: TypeAlias = "Mapping[str, tuple[Value, ...]]"
"""All values known for each name; more than one value for a name is a contradiction that stays visible."""


@dataclass(frozen=True)
class Fact:
    """One thing known."""

    name: str
    value: Value


@dataclass(frozen=True)
class Evidence:
    """One finding that speaks for or against one cause."""

    cause: str
    row: int
    rule: str
    """The id of the rule that gave it."""
    observe: str
    """The observation or state that speaks; for a combined condition the words of the condition."""
    answer: str
    strength: str
    about: str
    """The group of findings that measure the same thing; of a group only the strongest counts."""


Conclusion: TypeAlias = "Fact | Evidence"


def gather(facts: Iterable[Fact]) -> dict[str, tuple[Value, ...]]:
    """Facts by name, values in a fixed order."""
    found: dict[str, set[Value]] = {}
    for fact in facts:
        found.setdefault(fact.name, set()).add(fact.value)
    return {name: tuple(sorted(values, key=_place_in_order)) for name, values in sorted(found.items())}


def number_of(facts: Facts, name: str) -> float | None:
    """The number that is known by this name; None for none, for a word, and where two contradict each other."""
    values = facts.get(name, ())
    return values[0] if len(values) == 1 and isinstance(values[0], float) else None


def _place_in_order(value: Value) -> tuple[str, float]:
    # Two numbers may be shown alike and still differ.
    return shown(value), value if isinstance(value, float) else 0.0


def shown(value: Value) -> str:
    """A value as text, the same in every process."""
    if isinstance(value, frozenset):
        return ", ".join(sorted(value))
    return f"{value:g}" if isinstance(value, float) else value
