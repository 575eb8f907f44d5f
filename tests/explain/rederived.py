"""Each node of a why-tree, concluded once more by CLIPS from its children alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

from clips_machine import ClipsMachine, Outcome
from diagnose.engine.compile import EngineRule
from diagnose.engine.facts import Fact, Value
from diagnose.engine.truth import Branch, Leaf
from diagnose.explain.conditions import ConditionStands, RuleStands
from diagnose.explain.why import Step
from diagnose.judgement.judge import Cellar


class OneRule:
    """Fires one rule by itself in CLIPS; what was tried before is kept."""

    def __init__(self, cellar: Cellar) -> None:
        self.cellar = cellar
        self.fire = cache(self._fire)
        self._machine = cache(lambda rule: ClipsMachine(cellar.base, [cellar.rules[rule]]))

    def _fire(self, rule: str, facts: frozenset[Fact]) -> Outcome:
        return self._machine(rule).start(facts)

    def fire_without(self, rule: str, branch: Branch, facts: Iterable[Fact]) -> Outcome:
        """What the rule concludes with this condition in the place of its own."""
        found: EngineRule = replace(self.cellar.rules[rule], branches=(branch,))
        return ClipsMachine(self.cellar.base, [found]).start(facts)


def nodes(steps: Iterable[Step]) -> Iterator[Step]:
    """Every node of these trees."""
    for step in steps:
        yield step
        yield from nodes(step.behind)


def holding(stands: RuleStands) -> Branch:
    """The conditions of a rule that hold, as a condition of their own."""
    return _branch(item for item in stands.conditions if item.truth.value == "true")


def whole(stands: RuleStands) -> Branch:
    """All the conditions shown of a rule, as a condition of their own."""
    return _branch(stands.conditions)


def _branch(items: Iterable[ConditionStands]) -> Branch:
    listed = list(items)
    return Branch(
        tests=tuple(Leaf(item.name, item.parts, item.negated) for item in listed if item.form == "test"),
        known=tuple(item.name for item in listed if item.form == "known"),
        unknown=tuple(item.name for item in listed if item.form == "unknown"),
    )


def mended(cellar: Cellar, stands: RuleStands) -> list[Fact] | None:
    """Facts on which every condition shown holds; what held is kept, what failed is made true by its gap.

    None where two conditions on one fact cannot both hold.
    """
    found = []
    for name in dict.fromkeys(item.name for item in stands.conditions if item.form != "unknown"):
        items = [item for item in stands.conditions if item.name == name and item.form != "unknown"]
        leaves = [Leaf(name, item.parts, item.negated) for item in items if item.form == "test"]
        passing = [v for v in _values(cellar, name, items) if all(leaf.passes(v) for leaf in leaves)]
        if not passing:
            return None
        found.append(Fact(name, passing[0]))
    return found


def _values(cellar: Cellar, name: str, items: list[ConditionStands]) -> Iterator[Value]:
    for item in items:
        yield from item.found
        for value in item.found:
            if isinstance(value, float) and item.gap is not None:
                # The gap told, and a hair beyond it where the bound itself does not do.
                beyond = max(1e-6, abs(item.gap) * 1e-6)
                yield value + item.gap
                yield value + item.gap + beyond
                yield value + item.gap - beyond
        for _, wanted in item.parts:
            for one in wanted if isinstance(wanted, tuple) else (wanted,):
                if isinstance(one, float):
                    yield from (one, one + 1e-6, one - 1e-6)
                else:
                    yield one
                    yield frozenset({one})
    page = cellar.base.observables.get(name.removeprefix("band."))
    words = page.answers if page else ("likely", "unlikely", "confirmed", "possible")
    yield from words
    yield from (frozenset({word}) for word in words)
    yield frozenset()
    yield 1.0
