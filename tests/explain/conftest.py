"""Lends these tests the shipped rules and cases, small invented rule bases, and CLIPS."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracles"))

from diagnose.casebook.store import load_case
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, Judged, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder


class Worked:
    """The shipped rules, and every worked case judged by them."""

    def __init__(self) -> None:
        self.cellar = Cellar(read_rule_base([shipped_folder("rules")]))
        self.cases: list[tuple[str, tuple[Fact, ...], Judged]] = []
        for file in sorted(shipped_folder("cases").rglob("*.yaml")):
            case, state = load_case(file, self.cellar.base)
            judged = judge(self.cellar, case.topics, state.facts(), machine="chain")
            self.cases.append((case.case, state.facts(), judged))


@pytest.fixture(scope="session")
def worked() -> Worked:
    """Every worked case, judged once."""
    return Worked()
