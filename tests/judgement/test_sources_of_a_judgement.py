from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.casebook.store import load_case
from diagnose.judgement.judge import Cellar, judge, questions
from diagnose.judgement.machine import to_machine
from diagnose.knowledge.read import read_rule_base

ROOT = Path(__file__).resolve().parents[2]
CELLAR = Cellar(read_rule_base([ROOT / "rules"]))
CASES = ["demonstration", "too_much_gelatin", "yeast_twelve_days_old"]


@pytest.mark.parametrize("name", CASES)
def test_every_source_behind_a_judgement_is_named_in_it(name: str) -> None:
    """Doses, limits, trials, states, tests and how common the causes are: nothing said lacks its source."""
    base = CELLAR.base
    case, state = load_case(ROOT / "cases" / "haze" / f"{name}.yaml", base)
    judged = judge(CELLAR, case.topics, state.facts())
    out = to_machine(CELLAR, judged, questions(CELLAR, judged), case.case)
    named = {source.id for source in out.sources}
    fixes = [base.fixes[fix.id] for fix in out.fixes]
    behind = {
        "doses": {source for fix in fixes if fix.dose for source in fix.dose.source},
        "limits": {
            s for fix in fixes if fix.dose for limit in fix.dose.limit for s in base.limits[limit].source
        },
        "trials": {source for fix in fixes if fix.trial for source in fix.trial.source},
        "tests": {source for test in out.tests for source in base.tests[test.id].source},
        "causes": {
            s for item in out.causes if item.id != "unknown" for s in base.causes[item.id].common_source
        },
        "states": {
            source
            for firing in judged.trace.firings
            if firing.rule.startswith("state/")
            for source in CELLAR.rules[firing.rule].source
        },
    }
    assert behind["states"]
    assert {what: missing for what, sources in behind.items() if (missing := sources - named)} == {}
