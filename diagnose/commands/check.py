"""Check the rule base, and worked cases against what they expect."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from diagnose.present.judgements import show_judgements
from diagnose.present.tried import show_tried
from diagnose.review.trying import case_files, processors, try_cases

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
    if not files:
        return DONE
    tried = try_cases(partial(make_cellar, list(rules)), case_files(files), processors())
    show_tried(page, tried)
    return DONE if all(item.as_expected for item in tried) else WRONG


def list_judgements(rules: Sequence[Path]) -> int:
    """List the evidence that does not rest on texts alone, for somebody who reviews the rules."""
    show_judgements(make_page(), make_cellar(rules).base)
    return DONE
