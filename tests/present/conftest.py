"""Lends these tests the shipped rules, the worked cases judged by them, and small invented rule bases."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))

from diagnose.casebook.store import load_case
from diagnose.judgement.judge import Cellar, Judged, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder


class Worked:
    """The shipped rules, and worked cases judged by them, each once."""

    def __init__(self) -> None:
        self.cellar = Cellar(read_rule_base([shipped_folder("rules")]))
        self.base = self.cellar.base
        self.judged = cache(self._judged)

    def _judged(self, case: str) -> Judged:
        found, state = load_case(shipped_folder("cases") / f"{case}.yaml", self.base)
        return judge(self.cellar, found.topics, state.facts(), machine="chain")


@pytest.fixture(scope="session")
def worked() -> Worked:
    """The shipped rules and worked cases."""
    return Worked()
