"""The log of a wine on the screen: its table, its curves, what they say, and what is about to be kept."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from diagnose.casebook.answers import Units, show_answer
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.days import told as day_told
from diagnose.logbook.gathered import News
from diagnose.logbook.told import Curve, LogTold, Row

from .console import Page
from .plot import plot_lines, plot_words

ROWS_SHOWN = 40
"""Lines of the table; a longer log shows its latest."""

FAULTS_SHOWN = 40
NEWS_SHOWN = 20

_GAP = 2
_STILL = "|"


def show_log(page: Page, log: LogTold) -> None:
    """The whole log: table, then each thing with its curve and what it says, then what it answers."""
    _table(page, log)
    for curve in log.curves:
        page.head(curve.title)
        if len(curve.points) > 1:
            _curve(page, curve, log)
        for words in curve.says:
            page.say(words, indent=2)
    if log.done and len(log.curves):
        page.head("What was done")
        for number, done in enumerate(log.done, 1):
            page.item(f"{number}.", f"{done.when}: {done.words}")
    show_answers(page, log.answers)


def show_answers(page: Page, answers: Sequence[tuple[str, str, str]]) -> None:
    """The answers that count because the log gives them, and that a person may say otherwise."""
    if not answers:
        return
    page.head("What the log answers")
    for short, answer, day in answers:
        page.item("-", f"{short}: {answer} (from the log, {day})")
    page.aside("Your own answer of the same day or later goes before it.", indent=2)


def show_news(page: Page, base: RuleBase, new: News, units: Units) -> None:
    """What is about to be kept, line by line; of a long table its beginning and its end."""
    lines = []
    for one in new.readings:
        observation = base.observations[one.name]
        was = new.corrected.get(one)
        instead = f" (instead of {show_answer(observation, was, units)})" if was is not None else ""
        lines.append(
            (one.moment, f"{observation.short}: {show_answer(observation, one.value, units)}{instead}")
        )
    lines += [(remark.moment, f"remark: {remark.words}") for remark in new.remarks]
    lines.sort(key=lambda line: line[0].at)
    cut = len(lines) > NEWS_SHOWN
    for at, (moment, words) in enumerate(lines):
        if cut and at == NEWS_SHOWN - 3:
            page.aside(f"... {len(lines) - NEWS_SHOWN} more ...", indent=2)
        if not cut or at < NEWS_SHOWN - 3 or at >= len(lines) - 3:
            clock = f" {moment.minute // 60}:{moment.minute % 60:02d}" if moment.minute is not None else ""
            page.item("-", f"{day_told(moment.day)}{clock}  {words}")
    if new.known:
        page.aside(f"{new.known} more {'is' if new.known == 1 else 'are'} in the log already.", indent=2)


def show_faults(page: Page, faults: Sequence[str]) -> None:
    """Everything that cannot be taken."""
    for fault in faults[:FAULTS_SHOWN]:
        page.warn(fault)
    if len(faults) > FAULTS_SHOWN:
        page.aside(f"... and {len(faults) - FAULTS_SHOWN} more.", indent=2)


def _table(page: Page, log: LogTold) -> None:
    """One line for each moment, where the screen is wide enough for all columns; otherwise one paragraph."""
    rows = log.rows[-ROWS_SHOWN:]
    if len(log.rows) > len(rows):
        page.aside(f"The latest {len(rows)} of {len(log.rows)} lines:")
    columns = [("Day", [row.when for row in rows])]
    columns += [(head, [row.readings.get(name, "") for row in rows]) for name, head in log.heads.items()]
    widths = [max(max(map(cell_len, cells), default=0), min(cell_len(head), 14)) for head, cells in columns]
    if not page.holds(sum(widths) + _GAP * len(widths)):
        for row in rows:
            page.item("-", f"{row.when}: {_in_words(row, log)}")
        return
    heads = [_wrapped(head, width) for (head, _), width in zip(columns, widths, strict=True)]
    for line in range(max(map(len, heads))):
        _line(page, [head[line] if line < len(head) else "" for head in heads], widths, "bold")
    for at, row in enumerate(rows):
        _line(page, [cells[at] for _, cells in columns], widths)
        for words in row.done:
            page.item(">", words)


def _in_words(row: Row, log: LogTold) -> str:
    read = [f"{log.heads[name]} {value}" for name, value in row.readings.items()]
    return "; ".join((*read, *row.done))


def _line(page: Page, cells: Sequence[str], widths: Sequence[int], style: str = "") -> None:
    padded = (cell + " " * (width - cell_len(cell)) for cell, width in zip(cells, widths, strict=True))
    page.exactly((" " * _GAP).join(padded).rstrip(), style)


def _wrapped(head: str, width: int) -> list[str]:
    lines: list[str] = [""]
    for word in head.split():
        if lines[-1] and cell_len(lines[-1]) + 1 + cell_len(word) > width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()[:width]
    return lines


def _curve(page: Page, curve: Curve, log: LogTold) -> None:
    marks = [(done.at, str(number) if number < 10 else "+") for number, done in enumerate(log.done, 1)]
    if curve.still_from is not None:
        marks.append((curve.still_from, _STILL))
    values = [value for _, value in curve.points]
    ends = curve.shown[values.index(max(values))], curve.shown[values.index(min(values))]
    across = f"days since {log.begun}"
    page.drawing(
        lambda width: plot_lines(curve.points, across, curve.unit, width, ends=ends, marks=marks),
        plot_words(curve.points, across, curve.title, shown=curve.shown),
        indent=2,
    )
    if curve.still_from is not None and not page.plain:
        page.aside(f"{_STILL} below the line: from here on it stands still.", indent=2)
