"""What a judgement comes to, as plain values that can be counted, and compared with those of other rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.judgement.gates import gates_stand
from diagnose.judgement.judge import Cellar, Judged
from diagnose.planning.plan import WITHHELD


@dataclass(frozen=True)
class Outcome:
    """What somebody would be told about one case."""

    firsts: Mapping[str, tuple[str, str]]
    """For each topic its most likely cause, and the word for how that stands."""
    chances: Mapping[str, float]
    steps: tuple[str, ...]
    """The fixes of the plan, in the order of work."""
    offered: frozenset[str]
    """Fixes in the plan or beside it."""
    locked: frozenset[str]
    forbidden: frozenset[str]
    cautions: frozenset[str]
    tests: frozenset[str]
    withheld: frozenset[str]
    """Tests and questions that would be dangerous here."""
    gates: Mapping[str, str]
    """For each gate whose value is known, that value."""
    passed: frozenset[str]
    """Gates that are passed, verdicts included."""


def outcome_of(cellar: Cellar, judged: Judged) -> Outcome:
    """What a judgement comes to."""
    plan = judged.plan
    stands = [gate for stand in gates_stand(cellar, judged) for gate in (*stand.each, stand.verdict)]
    return Outcome(
        firsts={topic: (first.cause, first.word) for topic, first in judged.firsts.items()},
        chances={f"{item.topic}/{item.cause}": item.chance for item in judged.standings},
        steps=tuple(item.fix for item in plan.steps),
        offered=frozenset(item.fix for item in (*plan.steps, *plan.others)),
        locked=frozenset(item.fix for item in plan.locked),
        forbidden=frozenset(item.fix for item in plan.forbidden),
        cautions=frozenset(item.caution for item in plan.cautions),
        tests=frozenset(item.test for item in plan.tests),
        withheld=frozenset(name for name, values in judged.facts.items() if WITHHELD in values),
        gates={gate.state: gate.value for gate in stands if gate.value},
        passed=frozenset(gate.state for gate in stands if gate.passed),
    )
