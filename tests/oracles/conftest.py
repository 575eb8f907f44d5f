"""Lends these tests the shipped rules, made ready once, and the small invented rule bases."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))

from clips_machine import ClipsMachine
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder


class Shipped:
    """The cellar that comes with the program, and its rules in CLIPS."""

    def __init__(self) -> None:
        self.cellar = Cellar(read_rule_base([shipped_folder("rules")]))
        self.base = self.cellar.base
        self._machines: dict[str, ClipsMachine] = {}

    def machine(self, topic: str) -> ClipsMachine:
        """The rules of a topic in CLIPS, built once."""
        if topic not in self._machines:
            self._machines[topic] = ClipsMachine(self.base, self.cellar.rules_of(topic))
        return self._machines[topic]


@pytest.fixture(scope="session")
def shipped() -> Shipped:
    """The shipped rules, made ready once."""
    return Shipped()
