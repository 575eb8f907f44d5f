"""The log of a wine: keep readings, from a line, pasted lines or a table, and show what they come to."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

import click

from diagnose.bounds import LARGEST_TABLE
from diagnose.casebook.store import CannotKeep, load_case, open_case
from diagnose.interview.lines import ASKING, Typed
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.own import RuleFolders
from diagnose.logbook.days import NotADay, Order, read_moment
from diagnose.logbook.gathered import Gathered, news
from diagnose.logbook.lines import MOST_LINES, read_arguments, read_lines
from diagnose.logbook.names import Names
from diagnose.logbook.table import NotATable, decode, read_table
from diagnose.logbook.told import tell_log
from diagnose.places import cases_folder
from diagnose.plain_file import read_plain
from diagnose.present.console import Page
from diagnose.present.log import show_faults, show_log, show_news
from diagnose.report.curve import draw_log
from diagnose.report.told import CurveSheet
from diagnose.report.written import write_drawings
from diagnose.series.log import Moment
from diagnose.settings import read_settings

from .kept import kept_case, tell_of_other_rules, tell_what_was_mended
from .setup import make_cellar, make_page
from .status import DONE, WRONG

YES = ("y", "yes")


@dataclass(frozen=True)
class Wanted:
    """What was asked for at the prompt."""

    readings: Sequence[str] = ()
    on: str | None = None
    table: str | None = None
    paste: bool = False
    order: Order | None = None
    keep_good: bool = False
    save: Path | None = None


def log(rules: RuleFolders, cases: Path | None, case: str, wanted: Wanted) -> int:
    """Show the log of a case, or add to it."""
    if sum((bool(wanted.readings), wanted.table is not None, wanted.paste)) > 1:
        raise click.UsageError("Give readings, --import or --paste, one of them at a time.")
    if wanted.on is not None and not wanted.readings:
        raise click.UsageError(
            "--on is the day of readings that stand in the same command, such as gravity=1.020."
        )
    if wanted.save is not None and wanted.save.suffix.lower() != ".svg":
        raise click.UsageError(f"'{wanted.save.name}' does not end in .svg. Give the file this ending.")
    cellar, page = make_cellar(rules, read_settings()), make_page()
    path = kept_case(cases_folder(cases), case)
    if wanted.readings or wanted.table is not None or wanted.paste:
        return _add(cellar, page, path, wanted)
    return _show(cellar, page, path, wanted.save)


def _show(cellar: Cellar, page: Page, path: Path, save: Path | None) -> int:
    case, state = load_case(path, cellar.base)
    told = tell_log(cellar.base, state, case.units, date.today())
    page.title(f"The log of {path.stem}")
    tell_of_other_rules(page, state)
    if told is None:
        page.say("Nothing was read yet.")
        page.aside(f"Add a reading: diagnose log {path.stem} gravity=1.050 temp=20C")
        return DONE
    show_log(page, told)
    if save is not None:
        drawings = draw_log(told)
        if not drawings:
            raise CannotKeep("There is nothing to draw yet: a curve needs two readings of one thing.")
        done = tuple(f"{one.when}: {one.words}" for one in told.done)
        save.write_text(write_drawings(CurveSheet(path.stem, drawings, done)), encoding="utf-8", newline="\n")
        page.say(f"Written: {save}")
    return DONE


def _add(cellar: Cellar, page: Page, path: Path, wanted: Wanted) -> int:
    units = load_case(path, cellar.base)[0].units
    names = Names(cellar.base, units)
    lines = Typed(page.console)
    gathered = _gathered(page, lines, names, wanted)
    show_faults(page, gathered.faults)
    if gathered.faults and not wanted.keep_good:
        count = len(gathered.faults)
        page.say(f"{'One thing is' if count == 1 else f'{count} things are'} wrong, so nothing was kept.")
        if gathered.readings and (wanted.table is not None or wanted.paste):
            page.aside("With --keep-good the rest is kept.")
        return WRONG
    with open_case(path, cellar.base) as record:
        tell_what_was_mended(page, record)
        new = news(record.state, gathered)
        show_news(page, cellar.base, new, units)
        events = tuple(new.events())
        if not events:
            page.say("Nothing new to keep.")
            return WRONG if gathered.faults else DONE
        if not wanted.readings and lines.terminal and not _agreed(lines, len(events)):
            page.say("Nothing was kept.")
            return WRONG
        record.record_all(events)
        page.say(f"Kept: {len(events)} in {path.stem}.")
    return WRONG if gathered.faults else DONE


def _agreed(lines: Typed, count: int) -> bool:
    typed = lines.read(f"Keep {'it' if count == 1 else f'these {count}'}? (yes or no) {ASKING}")
    return typed is not None and typed.strip().lower() in YES


def _gathered(page: Page, lines: Typed, names: Names, wanted: Wanted) -> Gathered:
    today = date.today()
    if wanted.paste:
        if lines.terminal:
            page.say("One line for each day, such as: 12 Oct 1.050 20 C. An empty line ends it.")
        pasted = [*_until_empty(lines)]
        if len(pasted) > MOST_LINES:
            return Gathered(faults=(f"More than {MOST_LINES} lines were pasted. Paste fewer at a time.",))
        return read_lines(pasted, names, today, wanted.order)
    if wanted.table is not None:
        try:
            return read_table(decode(_raw(wanted.table)), names, today, wanted.order)
        except NotATable as error:
            return Gathered(faults=(str(error),))
    try:
        moment = read_moment(wanted.on, today, wanted.order) if wanted.on is not None else _now()
    except NotADay as error:
        return Gathered(faults=(str(error),))
    return read_arguments(wanted.readings, moment, names)


def _now() -> Moment:
    now = datetime.now()
    return Moment(now.date(), now.hour * 60 + now.minute)


def _until_empty(lines: Typed) -> Iterator[str]:
    for _ in range(MOST_LINES + 1):
        line = lines.read(ASKING)
        if line is None or not line.strip():
            return
        yield line


def _raw(table: str) -> bytes:
    """The bytes of a file, or of standard input for `-`; of a huge one no more than is needed to refuse it."""
    if table == "-":
        return sys.stdin.buffer.read(LARGEST_TABLE + 1)
    return read_plain(Path(table), LARGEST_TABLE)[0]
