"""Check the rule base, and worked cases against what they expect; list what a mentor should look at."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path

import click

from diagnose.casebook.store import load_case
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import nearest
from diagnose.present.judgements import show_judgements
from diagnose.present.tried import show_tried
from diagnose.present.weaknesses import show_weaknesses, weaknesses_out
from diagnose.present.words import own_rules_words
from diagnose.review.standing import cards
from diagnose.review.survey import Met
from diagnose.review.trying import case_files, processors, try_cases
from diagnose.review.weakness import KINDS
from diagnose.review.weaknesses import NEED_CASES, weaknesses
from diagnose.shipped import shipped_folder

from .output import put_json
from .setup import make_cellar, make_page
from .status import DONE, WRONG


def check_all(rules: RuleFolders, files: Sequence[Path]) -> int:
    """Check the rules; then each case file, or each case under a folder."""
    cellar = make_cellar(rules, anew=True)
    page = make_page()
    base, rules_made = cellar.base, len(cellar.rules)
    rows = sum(len(cause.evidence) for cause in base.causes.values())
    page.say(
        f"Rules: {len(base.causes)} causes, {rows} pieces of evidence, {len(base.observations)} questions, "
        f"{len(base.tests)} tests, {len(base.fixes)} fixes; {rules_made} rules are made of them. No mistakes."
    )
    for name in base.on_top:
        page.say(own_rules_words(base, name.edition))
    for gone in base.taken_out:
        page.item("-", f"taken out by {gone.rules}: {gone.kind} {gone.id}. {gone.because}")
    changed = sum(card.standing == "changed" for card in cards(base))
    if changed:
        page.warn(
            f"{changed} rows, tests or fixes were changed since they were reviewed: `diagnose review --list`."
        )
    if not files:
        return DONE
    tried = try_cases(partial(make_cellar, rules), case_files(files), processors())
    show_tried(page, tried)
    return DONE if all(item.as_expected for item in tried) else WRONG


def list_judgements(rules: RuleFolders) -> int:
    """List the evidence that does not rest on texts alone, for somebody who reviews the rules."""
    show_judgements(make_page(), make_cellar(rules).base)
    return DONE


def list_weaknesses(rules: RuleFolders, files: Sequence[Path], only: Sequence[str], as_json: bool) -> int:
    """List what is no mistake and still weak; the shipped rules are held against the shipped cases."""
    for kind in only:
        if kind not in KINDS:
            raise click.UsageError(f"'{kind}' is not a kind of weakness. {nearest(kind, KINDS)}")
    cellar = make_cellar(rules, anew=True)
    cases = case_files(files or ([] if rules.below else [shipped_folder("cases")]))
    wanted = [kind for kind in NEED_CASES if kind in (only or KINDS)]
    met = _met(cellar, cases) if cases and wanted else None
    found = [weak for weak in weaknesses(cellar.base, met) if not only or weak.kind in only]
    left_out = wanted if met is None else []
    if as_json:
        put_json(json.dumps(weaknesses_out(found, left_out), indent=2, ensure_ascii=False))
    else:
        show_weaknesses(make_page(), found, left_out)
    return DONE if all(weak.accepted for weak in found) else WRONG


def _met(cellar: Cellar, files: Sequence[Path]) -> Met:
    """What the cases meet of the rules. Raises RuleFilesWrong for a case that cannot be read."""
    rows: set[tuple[str, int]] = set()
    fixes: set[str] = set()
    for file in files:
        case, state = load_case(file, cellar.base)
        judged = judge(cellar, case.topics, state.facts(), machine="chain")
        rows.update((item.cause, item.row) for item in judged.trace.evidence)
        fixes.update(fix for fix in cellar.base.fixes if "offered" in judged.facts.get(f"fix.{fix}", ()))
    return Met(len(files), frozenset(rows), frozenset(fixes))
