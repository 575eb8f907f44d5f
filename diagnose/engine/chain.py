"""What an answer would lead to, worked out on plain values for the layers that only read findings.

The network is the one that concludes. This small twin answers "what if" for many possible answers to many
questions, where a run of the network for each would take too long; a test holds the two to the same end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from .compile import LAST, EngineRule
from .facts import Evidence, Fact, Facts, Value, gather
from .truth import Branch


class Chain:
    """The rules that follow from findings: bands, states, derived numbers and evidence."""

    def __init__(self, rules: Iterable[EngineRule]) -> None:
        self._rules = sorted(
            (rule for rule in rules if rule.layer < LAST), key=lambda rule: (rule.layer, rule.id)
        )
        self._readers: dict[str, list[EngineRule]] = {}
        for rule in self._rules:
            for name in _names(rule):
                self._readers.setdefault(name, []).append(rule)
        self._downstream: dict[str, tuple[EngineRule, ...]] = {}

    def downstream(self, name: str) -> tuple[EngineRule, ...]:
        """Every rule whose conclusion could change with this fact, in layer order."""
        if name not in self._downstream:
            found: dict[str, EngineRule] = {}
            waiting, seen = [name], set()
            while waiting:
                here = waiting.pop()
                if here in seen:
                    continue
                seen.add(here)
                for rule in self._readers.get(here, ()):
                    found[rule.id] = rule
                    waiting += [
                        concluded for concluded in rule.concludes if not concluded.startswith("evidence.")
                    ]
            # Another rule may conclude the same fact from other facts, and must have its say again.
            changed = {
                fact for rule in found.values() for fact in rule.concludes if not fact.startswith("evidence.")
            }
            for rule in self._rules:
                if changed.intersection(rule.concludes):
                    found[rule.id] = rule
            self._downstream[name] = tuple(sorted(found.values(), key=lambda rule: (rule.layer, rule.id)))
        return self._downstream[name]

    def run(self, facts: Iterable[Fact]) -> tuple[Facts, frozenset[Evidence]]:
        """All facts and evidence that follow, from nothing."""
        return _settle(self._rules, dict(gather(facts)))

    def what_if(self, facts: Facts, fact: Fact) -> frozenset[Evidence]:
        """The evidence that rules downstream of a fact would give if it were known."""
        rules = self.downstream(fact.name)
        reset = {name for rule in rules for name in rule.concludes}
        start = {name: values for name, values in facts.items() if name not in reset}
        start[fact.name] = (fact.value,)
        return _settle(rules, start)[1]


def _names(rule: EngineRule) -> set[str]:
    return {name for branch in rule.branches for name in (*branch.names, *branch.unknown)}


def _settle(
    rules: Sequence[EngineRule], facts: dict[str, tuple[Value, ...]]
) -> tuple[Facts, frozenset[Evidence]]:
    """Let rules speak until quiet, each layer before the next."""
    evidence: set[Evidence] = set()
    start = 0
    while start < len(rules):
        end = start
        while end < len(rules) and rules[end].layer == rules[start].layer:
            end += 1
        while any(_speak(rule, facts, evidence) for rule in rules[start:end]):
            pass
        start = end
    return facts, frozenset(evidence)


def _speak(rule: EngineRule, facts: dict[str, tuple[Value, ...]], evidence: set[Evidence]) -> bool:
    """Fire a rule on all it matches; true when it concluded something new."""
    new = False
    for branch in rule.branches:
        for matched in _matches(branch, facts):
            for conclusion in rule.conclude(matched):
                if isinstance(conclusion, Evidence):
                    evidence.add(conclusion)
                elif conclusion.value not in facts.get(conclusion.name, ()):
                    both = (
                        Fact(conclusion.name, v) for v in (*facts.get(conclusion.name, ()), conclusion.value)
                    )
                    facts[conclusion.name] = gather(both)[conclusion.name]
                    new = True
    return new


def _matches(branch: Branch, facts: Facts) -> list[Mapping[str, Value]]:
    if any(name in facts for name in branch.unknown):
        return []
    found: list[dict[str, Value]] = [{}]
    for name in branch.names:
        leaves = [leaf for leaf in branch.tests if leaf.name == name]
        values = [value for value in facts.get(name, ()) if all(leaf.passes(value) for leaf in leaves)]
        found = [{**matched, name: value} for matched in found for value in values]
    return list(found)
