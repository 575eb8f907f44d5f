"""Every worked case comes out as it must, and the runner can fail."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.casebook.models import Expected
from diagnose.casebook.store import load_case
from diagnose.judgement.expectations import misses
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder

CASES = sorted(shipped_folder("cases").rglob("*.yaml"))


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The shipped rule base, made ready once."""
    return Cellar(read_rule_base([shipped_folder("rules")]))


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_case_comes_out_as_expected(cellar: Cellar, file: Path) -> None:
    """A worked case has its expected causes, fixes and cautions, and nothing that must not be offered."""
    case, state = load_case(file, cellar.base)
    assert case.invented == "yes"
    assert case.expect is not None
    assert list(misses(cellar.base, judge(cellar, case.topic, state.facts()), case.expect)) == []


def test_there_are_at_least_twenty() -> None:
    """The subject is held by twenty worked cases or more."""
    assert len(CASES) >= 20


def test_a_false_expectation_is_reported(cellar: Cellar) -> None:
    """The runner fails on a case that must fail."""
    _, state = load_case(shipped_folder("cases") / "haze" / "demonstration.yaml", cellar.base)
    judged = judge(cellar, "haze", state.facts())
    wrong = Expected(first_cause="starch_haze", first_fix="discard", because="It must fail.")
    found = list(misses(cellar.base, judged, wrong))
    assert any("starch_haze" in sentence for sentence in found)
    assert any("discard" in sentence for sentence in found)
