"""What stands behind a finding: the observations it is known from, and the tests that would make it known."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.knowledge.chains import reads
from diagnose.knowledge.models.causes import Finding
from diagnose.knowledge.rule_base import RuleBase


def observations_behind(base: RuleBase, name: str) -> frozenset[str]:
    """The observations from which an observation, state or derived number is known."""
    found: set[str] = set()
    waiting, seen = [name], set()
    while waiting:
        here = waiting.pop()
        if here in seen:
            continue
        seen.add(here)
        if here in base.observations:
            found.add(here)
        elif here in base.states:
            for rule in base.states[here].rules:
                waiting += reads(rule.when).known
        elif here in base.derived:
            waiting += [
                value for value in base.derived[here].compute.with_.values() if isinstance(value, str)
            ]
    return frozenset(found)


def confirming_tests(base: RuleBase, finding: Finding) -> Mapping[str, frozenset[str]]:
    """The tests that could make a finding known, each with the observations it would answer."""
    behind = observations_behind(base, finding.observe)
    found: dict[str, set[str]] = {}
    for observation in behind:
        for test in base.tests_yielding.get(observation, ()):
            found.setdefault(test, set()).add(observation)
    return {test: frozenset(answered) for test, answered in sorted(found.items())}
