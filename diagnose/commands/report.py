"""A case as a report to take to somebody, and worksheets to print."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Literal

import click

from diagnose.calculators import OutOfRange
from diagnose.casebook.store import CannotKeep, load_case
from diagnose.judgement.judge import judge
from diagnose.knowledge.called import names_of, page_meant
from diagnose.knowledge.own import RuleFolders
from diagnose.places import cases_folder
from diagnose.planning.trials import fixes_with_ladder
from diagnose.report.case import CaseJudged
from diagnose.report.made import make_report
from diagnose.report.sheets import fix_sheet, trial_sheet
from diagnose.report.trials import planned_for
from diagnose.report.written import Form, write
from diagnose.settings import read_settings

from .kept import case_file
from .output import put
from .setup import make_cellar
from .status import DONE, INCOMPLETE, WRONG

ENDINGS: Mapping[str, Form] = {".html": "html", ".htm": "html", ".md": "md"}


def report(rules: RuleFolders, cases: Path | None, case: str, to: Path | None) -> int:
    """Write the report of a case: to a file, or as Markdown on standard output."""
    form = form_of(to)
    put_page(write(make_report(_judged(rules, cases, case), date.today()), form), to)
    return DONE


def sheet(
    rules: RuleFolders,
    cases: Path | None,
    case: str,
    kind: Literal["trial", "steps"],
    fix: str,
    to: Path | None,
) -> int:
    """Write the sheet of a bench trial or of a treatment; none of what must not be done here."""
    form = form_of(to)
    it = _judged(rules, cases, case)
    name = _named(it, fix, fixes_with_ladder(it.base) if kind == "trial" else None)
    planned = planned_for(it.state.trials, name) if kind == "trial" else None
    for each in [ladder.fix for ladder in planned.ladders] if planned else [name]:
        refused = _refused(it, each, kind)
        if refused is not None:
            sentence, status = refused
            put(sentence, err=True)
            return status
    today = date.today()
    try:
        page = trial_sheet(it, name, today) if kind == "trial" else fix_sheet(it, name, today)
    except OutOfRange as error:
        raise CannotKeep(f"The trial planned in this case cannot be set up. {error}") from error
    put_page(write(page, form), to)
    return DONE


def form_of(to: Path | None) -> Form:
    """What a file is to hold, by its ending. Raises UsageError for any other."""
    if to is None:
        return "md"
    if to.suffix.lower() not in ENDINGS:
        raise click.UsageError(
            f"'{to.name}' ends neither in .html nor in .md. Give the file one of these endings."
        )
    return ENDINGS[to.suffix.lower()]


def _judged(rules: RuleFolders, cases: Path | None, case: str) -> CaseJudged:
    settings = read_settings()
    cellar = make_cellar(rules, settings)
    file, state = load_case(case_file(cases_folder(cases), case), cellar.base)
    return CaseJudged(cellar, file, state, judge(cellar, file.topics, state.facts()), settings.limits)


def put_page(text: str, to: Path | None) -> None:
    """Print a page, or write it into a file."""
    if to is None:
        put(text)
        return
    to.write_text(text, encoding="utf-8", newline="\n")
    put(f"Written: {to}")


def _named(it: CaseJudged, typed: str, among: Sequence[str] | None) -> str:
    """The fix that a person means, of those named; of all of them, wrong ways included, where none are."""
    fixes = names_of(it.base.fixes)
    names = (
        {**fixes, **names_of(it.base.never_done)} if among is None else {name: fixes[name] for name in among}
    )
    name, near = page_meant(typed, names)
    if name is None:
        what = "has a bench trial with a ladder of doses" if among is not None else "is a fix here"
        raise click.UsageError(
            f"Nothing that is surely meant by '{typed[:40]}' {what}. Known: {', '.join(near[:12])}."
        )
    return name


def _refused(it: CaseJudged, name: str, kind: str) -> tuple[str, int] | None:
    """Why there is no sheet of this now, and the exit status; None where there may be one."""
    base, plan = it.base, it.judged.plan
    if name in base.never_done:
        return f"{base.never_done[name].name}: never done. {base.never_done[name].because}", WRONG
    advice = plan.of(name)
    if advice and advice.state == "forbidden":
        return f"Not now: {' '.join(reason.says for reason in advice.forbidden_by)}", WRONG
    if advice and advice.state == "locked" and kind == "steps":
        tests = ", ".join(base.tests[test].name for test in advice.unlocked_by)
        opens = f" Opens with: {tests}." if tests else ""
        return f"Locked: it cannot be undone, and no test has confirmed the cause yet.{opens}", INCOMPLETE
    return None
