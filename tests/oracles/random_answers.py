"""Random answers to the questions of a rule base, the same in every run."""

from __future__ import annotations

import random
from collections.abc import Sequence

from diagnose.engine.compile import EngineRule
from diagnose.engine.facts import Fact, Value
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN

WORDS = ("unlikely", "possible", "likely", "confirmed")


class RandomAnswers:
    """Draws what a person might answer, and how causes might stand, with an eye on what the rules read."""

    def __init__(self, base: RuleBase, rules: Sequence[EngineRule], chance: random.Random) -> None:
        self._base, self._chance = base, chance
        branches = [branch for rule in rules for branch in rule.branches]
        self._turns = _turning_figures(base, rules)
        # Questions that one rule reads together are answered together, or such a rule would hardly ever speak.
        asked = frozenset(base.observations)
        together = {
            asked.intersection(branch.names) | asked.intersection(branch.unknown) for branch in branches
        }
        self._together = sorted(sorted(names) for names in together if names)

    def answers(self, most: int) -> tuple[Fact, ...]:
        """Answers to up to `most` questions; now and then a question has two answers that clash."""
        asked: dict[str, None] = {}
        for names in self._chance.sample(self._together, 3):
            asked.update(dict.fromkeys(names))
        found: dict[Fact, None] = {}
        for name in self._chance.sample([*asked], min(most, len(asked))):
            for _ in range(2 if self._chance.random() < 0.1 else 1):
                found[Fact(name, self._answer(self._base.observations[name]))] = None
        return tuple(found)

    def standings(self, topic: str, most: int) -> tuple[Fact, ...]:
        """Any standing for up to `most` causes of a topic."""
        causes = [UNKNOWN, *(cause.cause for cause in self._base.causes.values() if cause.topic == topic)]
        chosen = self._chance.sample(causes, min(most, len(causes)))
        return tuple(Fact(f"cause.{cause}", self._chance.choice(WORDS)) for cause in chosen)

    def _answer(self, page: Observation) -> Value:
        if page.kind == "number":
            assert page.plausible is not None
            turns = self._turns[page.observe]
            at_a_turn = turns and self._chance.random() < 0.5
            return float(self._chance.choice(turns) if at_a_turn else self._chance.uniform(*page.plausible))
        if page.kind == "several":
            return frozenset(
                self._chance.sample(page.answers, self._chance.randint(1, min(3, len(page.answers))))
            )
        return self._chance.choice(page.answers)


def _turning_figures(base: RuleBase, rules: Sequence[EngineRule]) -> dict[str, list[float]]:
    """For each number asked for, the figures at which a rule or a band turns: the likeliest place of a slip."""
    found = {
        name: {band.starts for band in page.bands.values() if band.starts is not None}
        for name, page in base.observations.items()
    }
    for leaf in (leaf for rule in rules for branch in rule.branches for leaf in branch.tests):
        if leaf.name in found:
            found[leaf.name] |= {wanted for _, wanted in leaf.parts if isinstance(wanted, float)}
    return {name: sorted(figures) for name, figures in found.items()}
