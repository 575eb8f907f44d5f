"""One plan for all faults of a case, with its days and the wine as foreseen."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from diagnose.casebook.store import load_case
from diagnose.judgement.judge import judge
from diagnose.judgement.plan_machine import plan_to_machine
from diagnose.judgement.whole import plan_of_case
from diagnose.knowledge.own import RuleFolders
from diagnose.places import cases_folder
from diagnose.present.plan import show_whole_plan
from diagnose.settings import read_settings

from .kept import case_file, tell_of_other_rules
from .output import put_json
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE

FIRST_YEAR, LAST_YEAR = 1900, 2200


def plan(rules: RuleFolders, cases: Path | None, case: str, begins: str | None, as_json: bool) -> int:
    """Print the whole plan of a case, as text or as JSON."""
    first = first_day(begins)
    cellar = make_cellar(rules, read_settings())
    file, state = load_case(case_file(cases_folder(cases), case), cellar.base)
    judged = judge(cellar, file.topics, state.facts())
    whole = plan_of_case(cellar, judged, state, first)
    if as_json:
        put_json(plan_to_machine(cellar.base, whole, file.case).model_dump_json(indent=2))
    else:
        page = make_page()
        page.title(file.title)
        tell_of_other_rules(page, state)
        show_whole_plan(page, cellar.base, judged, whole, state.done(), file.units)
    return DONE if whole.steps else INCOMPLETE


def first_day(written: str | None) -> date:
    """The day written, or today. Raises UsageError for what is no day."""
    if written is None:
        return date.today()
    try:
        day = date.fromisoformat(written.strip())
    except ValueError:
        day = None
    if day is None or not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise click.UsageError(
            f"'{written[:30]}' is no day between {FIRST_YEAR} and {LAST_YEAR}. "
            "Write year, month and day, such as 2026-11-30."
        )
    return day
