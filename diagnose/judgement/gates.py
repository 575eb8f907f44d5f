"""Whether all is in order before a step that cannot be taken back: each gate with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.engine.compile import EngineRule
from diagnose.knowledge.models.vocabulary import Gates
from diagnose.knowledge.rule_base import RuleBase

from .judge import Cellar, Judged


@dataclass(frozen=True)
class GateStands:
    """A gate: the value of its state and the reasons, or None where nothing is known of it."""

    state: str
    name: str
    value: str | None
    passed: bool
    """Whether the value is one that the page of the state calls nothing to be found."""
    because: tuple[str, ...]
    find_out: tuple[str, ...]
    """Tests that would show more; none for a gate that is passed."""


@dataclass(frozen=True)
class GatesStand:
    """All gates, and what they come to."""

    gates: str
    name: str
    verdict: GateStands
    each: tuple[GateStands, ...]


def gates_stand(cellar: Cellar, judged: Judged) -> tuple[GatesStand, ...]:
    """Every list of gates of the rule base, as this case stands."""
    return tuple(_stand(cellar.base, cellar.rules, judged, page) for page in cellar.base.gates.values())


def _stand(base: RuleBase, rules: Mapping[str, EngineRule], judged: Judged, page: Gates) -> GatesStand:
    return GatesStand(
        page.gates,
        page.name,
        _gate(base, rules, judged, page.verdict, ()),
        tuple(_gate(base, rules, judged, gate.state, gate.find_out) for gate in page.each),
    )


def _gate(
    base: RuleBase, rules: Mapping[str, EngineRule], judged: Judged, state: str, tests: tuple[str, ...]
) -> GateStands:
    values = judged.facts.get(state, ())
    # Two values at once contradict each other, and then nothing is shown.
    value = str(values[0]) if len(values) == 1 else None
    fired = dict.fromkeys(firing.rule for firing in judged.trace.behind(state, value)) if value else {}
    because = tuple(rules[rule].because for rule in fired)
    passed = value in base.states[state].nothing
    return GateStands(state, base.states[state].name, value, passed, because, () if passed else tests)
