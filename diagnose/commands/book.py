"""The rules as a book to read, or one cause as a sheet to print."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path

import click

from diagnose.book.made import make_book, make_cause_sheet
from diagnose.book.written import write
from diagnose.knowledge.called import page_meant
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.trying import case_files, processors, try_cases
from diagnose.settings import read_settings
from diagnose.shipped import shipped_folder
from diagnose.units import System

from .report import form_of, put_page
from .setup import make_cellar
from .status import DONE


def book(
    rules: RuleFolders,
    units: str | None,
    cause: str | None,
    named: Sequence[Path],
    with_cases: bool,
    to: Path | None,
) -> int:
    """Write the book, or the sheet of one cause, into a file or as Markdown on standard output."""
    form, settings = form_of(to), read_settings()
    cellar = make_cellar(rules, settings)
    if cause is not None:
        page = make_cause_sheet(cellar.base, _cause_named(cellar.base, cause), date.today())
        put_page(write(page, form), to)
        return DONE
    system: System = "us" if (units or settings.units) == "us" else "metric"
    files = case_files(named or ([] if rules.below else [shipped_folder("cases")])) if with_cases else ()
    tried = try_cases(partial(make_cellar, rules), files, processors()) if files else ()
    put_page(write(make_book(cellar, tried, system, date.today()), form), to)
    return DONE


def _cause_named(base: RuleBase, typed: str) -> str:
    """The cause that a person means. Raises UsageError where none is surely meant."""
    name, near = page_meant(typed, {name: page.name for name, page in base.causes.items()})
    if name is None:
        raise click.UsageError(
            f"No cause is surely meant by '{typed[:40]}'. Expected is the name of one. Near: {', '.join(near[:12])}."
        )
    return name
