"""From which facts, and by which rules, something could ever be concluded."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from diagnose.engine.compile import EngineRule
from diagnose.judgement.judge import Cellar


@dataclass(frozen=True)
class Leading:
    """Names of facts, and ids of rules, on the way to a conclusion."""

    facts: frozenset[str]
    rules: frozenset[str]


def leading_to_any(cellar: Cellar, wanted: Iterable[str]) -> Leading:
    """Every fact and rule on the way to one of these facts; evidence is named `evidence.` and the cause."""
    concluding: dict[str, list[EngineRule]] = {}
    for rule in cellar.rules.values():
        for name in rule.concludes:
            concluding.setdefault(name, []).append(rule)
    waiting, facts, rules = list(wanted), set[str](), set[str]()
    while waiting:
        name = waiting.pop()
        if name not in facts:
            facts.add(name)
            for rule in concluding.get(name, ()):
                rules.add(rule.id)
                waiting += [read for way in rule.branches for read in (*way.names, *way.unknown)]
    return Leading(frozenset(facts), frozenset(rules))
