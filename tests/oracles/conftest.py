"""Lends these tests the shipped rules and cases, made ready once, and what other tests made for themselves."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "reasoning"))

from clips_machine import ClipsMachine
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.reasoning.findings import findings, priors
from diagnose.reasoning.weigh import UNKNOWN, FindingRows, weigh
from diagnose.shipped import shipped_folder
from second_opinions import worked_cases


class Shipped:
    """The cellar that comes with the program, its worked cases, and its rules in CLIPS."""

    def __init__(self) -> None:
        self.cellar = Cellar(read_rule_base([shipped_folder("rules")]))
        self.base = self.cellar.base
        self.cases = worked_cases(self.base)
        self.machine = ClipsMachine(self.base, self.cellar.rules.values())

    def leading(
        self, topic: str, facts: tuple[Fact, ...], most: int
    ) -> tuple[dict[str, float], tuple[FindingRows, ...]]:
        """The likeliest causes on these facts, the unknown one among them: priors, and what speaks of them."""
        evidence = self.machine.start(facts).evidence
        before = priors(self.base, topic)
        chances = weigh(before, findings(self.base, evidence, before)).chances
        chosen = {UNKNOWN, *[cause for cause in chances if cause != UNKNOWN][: most - 1]}
        kept = {cause: chance for cause, chance in before.items() if cause in chosen}
        return kept, findings(self.base, evidence, kept)


@pytest.fixture(scope="session")
def shipped() -> Shipped:
    """The shipped rules and cases, made ready once."""
    return Shipped()
