"""What is due over all kept cases, on the screen and as a calendar."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from diagnose.casebook.case import CaseState
from diagnose.casebook.models import CaseFile
from diagnose.casebook.shelf import inside
from diagnose.casebook.store import CannotKeep, list_cases, load_case
from diagnose.days.calendar import calendar
from diagnose.days.due import Due, due_in, in_order, last_day
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.places import cases_folder
from diagnose.present.done import show_clock
from diagnose.present.due import described, show_due, summary
from diagnose.settings import read_settings

from .done import day_meant
from .setup import make_cellar, make_page
from .status import DONE, WRONG


def show_what_is_due(
    rules: RuleFolders, cases: Path | None, on: str | None, everything: bool, to: Path | None
) -> int:
    """Show what is due; with `to` also write what has a day as an iCalendar file."""
    if to and to.suffix.lower() != ".ics":
        raise click.UsageError(f"'{to.name}' does not end in .ics. Give the file that ending.")
    today = day_meant(on) if on else date.today()
    cellar, page, folder = make_cellar(rules, read_settings()), make_page(), cases_folder(cases)
    found: list[Due] = []
    wrong: list[str] = []
    newest: tuple[date, str] | None = None
    for name in list_cases(folder):
        path = folder / f"{name}.yaml"
        try:
            inside(folder, path)
            case, state = load_case(path, cellar.base)
        except (RuleFilesWrong, CannotKeep, OSError) as error:
            wrong.append(f"{name} cannot be read and is left out. {str(error).splitlines()[0]}")
            continue
        last = last_day(case)
        newest = max(newest or (date.min, ""), (last, name)) if last else newest
        if everything or state.closed is None:
            found += due_in(cellar.base, case, state, _steps(cellar, case, state))
    if newest and on is None:
        show_clock(page, today, *newest)
    for sentence in wrong:
        page.warn(sentence)
    items = in_order(found)
    show_due(page, items, today, everything)
    if to:
        told = [(item, summary(item), described(cellar.base, item)) for item in items]
        to.write_bytes(calendar(told, datetime.now().astimezone()))
        dated = sum(item.day is not None for item in items)
        page.blank()
        page.say(f"Written: {to}, with {dated} of {len(items)}; the others have no day.")
    return WRONG if wrong else DONE


def _steps(cellar: Cellar, case: CaseFile, state: CaseState) -> list[str]:
    """The fixes of the plan; the plain twin judges in some milliseconds, so many cases are no wait."""
    if not state.answers or state.closed:
        return []
    judged = judge(cellar, case.topics, state.facts(), machine="chain")
    return [advice.fix for advice in judged.plan.steps]
