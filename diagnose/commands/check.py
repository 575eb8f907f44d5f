"""Check the rule base, and worked cases against what they expect."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from diagnose.casebook.store import load_case
from diagnose.judgement.expectations import misses
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.present.judgements import show_judgements

from .setup import make_cellar, make_page
from .status import DONE, WRONG


def check_all(rules: Sequence[Path], files: Sequence[Path]) -> int:
    """Check the rules; then each case file, or each case under a folder."""
    cellar = make_cellar(rules, anew=True)
    page = make_page()
    base, rules_made = cellar.base, len(cellar.rules)
    rows = sum(len(cause.evidence) for cause in base.causes.values())
    page.say(
        f"Rules: {len(base.causes)} causes, {rows} pieces of evidence, {len(base.observations)} questions, "
        f"{len(base.tests)} tests, {len(base.fixes)} fixes; {rules_made} rules are made of them. No mistakes."
    )
    failed = 0
    cases = [case for file in files for case in (sorted(file.rglob("*.yaml")) if file.is_dir() else [file])]
    for file in cases:
        found = _case(cellar, file)
        if found:
            failed += 1
            page.item("x", f"{file}: not as expected")
            for sentence in found:
                page.item("-", sentence, indent=6)
        else:
            page.item("✓", str(file))
    if cases:
        page.say(f"{len(cases) - failed} of {len(cases)} cases come out as expected.")
    return WRONG if failed else DONE


def list_judgements(rules: Sequence[Path]) -> int:
    """List the evidence that does not rest on texts alone, for somebody who reviews the rules."""
    show_judgements(make_page(), make_cellar(rules).base)
    return DONE


def _case(cellar: Cellar, file: Path) -> list[str]:
    try:
        case, state = load_case(file, cellar.base)
    except RuleFilesWrong as wrong:
        return [str(problem) for problem in wrong.problems]
    if case.expect is None:
        return ["it has no `expect`, so nothing can be checked"]
    return list(misses(cellar.base, judge(cellar, case.topics, state.facts(), machine="chain"), case.expect))
