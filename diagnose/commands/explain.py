"""Why, why not, and what if: of a case, without touching it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from diagnose.casebook.answers import NotAnAnswer
from diagnose.casebook.case import CaseState
from diagnose.casebook.models import CaseFile
from diagnose.casebook.store import load_case
from diagnose.engine.facts import Value
from diagnose.explain.asked import Explained, NotMeant, asked_about, explain, explain_not, first_asked
from diagnose.explain.machine import ExplanationOut
from diagnose.explain.to_machine import explanation_out, explanations_out
from diagnose.explain.turns import Among, Supposing, Target, Turns, smallest_turns
from diagnose.explain.what_if import WhatIf, what_if
from diagnose.interview.suppose import read_changes
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.own import RuleFolders
from diagnose.places import cases_folder
from diagnose.present.told import Length, paragraph, sentence
from diagnose.present.what_if import (
    searched,
    show_turns,
    show_what_if,
    turns_sentence,
    what_if_paragraph,
    what_if_sentence,
)
from diagnose.present.why import show_explained
from diagnose.settings import read_settings

from .kept import case_file
from .output import put_json
from .setup import make_cellar, make_page
from .status import DONE

SEARCHES: tuple[tuple[Among, Target], ...] = (
    ("given", "cause"),
    ("given", "fix"),
    ("open", "cause"),
    ("open", "fix"),
)
"""What is searched for, the quickest first."""


@dataclass(frozen=True)
class Asked:
    """A case opened to be asked about."""

    cellar: Cellar
    case: CaseFile
    state: CaseState


def _open(rules: RuleFolders, cases: Path | None, case: str) -> Asked:
    cellar = make_cellar(rules, read_settings())
    return Asked(cellar, *load_case(case_file(cases_folder(cases), case), cellar.base))


def why(
    rules: RuleFolders,
    cases: Path | None,
    case: str,
    what: Sequence[str],
    length: Length,
    as_json: bool,
    against: bool,
) -> int:
    """Explain one thing, or the first cause and the first fix. `against` asks why not."""
    it = _open(rules, cases, case)
    judged = judge(it.cellar, it.case.topics, it.state.facts())
    base = it.cellar.base
    try:
        asked = [asked_about(base, judged, " ".join(what))] if what else list(first_asked(judged))
        found = [(explain_not if against else explain)(it.cellar, judged, about) for about in asked]
    except NotMeant as error:
        raise click.UsageError(str(error)) from error
    firm = [] if what else [_one_wrong_answer(it, target) for target in TARGETS]
    _put(it, found, firm, length, as_json)
    return DONE


TARGETS: tuple[Target, ...] = ("cause", "fix")


def _one_wrong_answer(it: Asked, target: Target) -> Turns:
    """Whether one wrong answer would turn the advice: quick enough to stand under every explanation of it."""
    return smallest_turns(Supposing(it.cellar, it.case.topics, it.state.answers), target, "given", most=1)


def _put(it: Asked, found: Sequence[Explained], firm: Sequence[Turns], length: Length, as_json: bool) -> None:
    base, units = it.cellar.base, it.case.units
    if as_json:
        told = [
            explanation_out(item, sentence(base, item, units), paragraph(base, item, units)) for item in found
        ]
        told += [_turns_out(it, turns) for turns in firm]
        _print_json(it, told)
        return
    page = make_page()
    for at, item in enumerate(found):
        if at and length != "full":
            page.blank()
        show_explained(page, base, item, units, length)
    if firm:
        page.blank()
        page.say(" ".join(turns_sentence(base, turns) for turns in firm))


def _turns_out(it: Asked, found: Turns) -> ExplanationOut:
    words = turns_sentence(it.cellar.base, found)
    return explanation_out(found, words, f"{words} {searched(found)}")


def _print_json(it: Asked, told: Sequence[ExplanationOut]) -> None:
    put_json(explanations_out(it.cellar.base, it.case.case, told).model_dump_json(indent=2))


def suppose(
    rules: RuleFolders,
    cases: Path | None,
    case: str,
    supposed: Sequence[str],
    without: Sequence[str],
    length: Length,
    as_json: bool,
) -> int:
    """Show what would move with some answers changed; without any, which answers would turn the advice."""
    it = _open(rules, cases, case)
    try:
        changes = read_changes(it.cellar.base, it.case.units, supposed, without)
    except (NotAnAnswer, NotMeant) as error:
        raise click.UsageError(str(error)) from error
    if changes:
        _put_what_if(it, changes, length, as_json)
    else:
        _put_turns(it, length, as_json)
    return DONE


def _put_what_if(it: Asked, changes: Mapping[str, Value | None], length: Length, as_json: bool) -> None:
    base, units = it.cellar.base, it.case.units
    left_out = it.state.skipped | it.state.put_off
    found: WhatIf = what_if(it.cellar, it.case.topics, it.state.answers, changes, left_out)
    if as_json:
        words = what_if_sentence(base, found, units), what_if_paragraph(base, found, units)
        _print_json(it, [explanation_out(found, *words)])
    else:
        show_what_if(make_page(), base, found, units, length)


def _put_turns(it: Asked, length: Length, as_json: bool) -> None:
    base, page = it.cellar.base, make_page()
    supposing = Supposing(it.cellar, it.case.topics, it.state.answers)
    told = []
    if not as_json and length == "full":
        page.title("What would change the advice")
    for among, target in SEARCHES:
        found: Turns = smallest_turns(supposing, target, among, it.state.put_off)
        if as_json:
            told.append(_turns_out(it, found))
        else:
            show_turns(page, base, found, it.case.units, length)
    if as_json:
        _print_json(it, told)
