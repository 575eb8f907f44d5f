"""A table of readings in a file: one line for each day, one column for each thing measured.

Everything that is wrong is told at once, with its line and column. Nothing is guessed that could be two things.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from diagnose.bounds import LARGEST_TABLE, LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, MOST_TOLD, in_words
from diagnose.casebook.answers import NotAnAnswer
from diagnose.plain_text import spoken, without_controls
from diagnose.series.log import Moment

from .days import NotADay, Order, clock, order_of, read_moment
from .gathered import Gathered, Remark, Taken, joined
from .lines import LONGEST_REMARK
from .names import Names, NotNamed

DELIMITERS = (";", "\t", ",")

_DAY = {"date", "day", "when", "moment", "date and time", "timestamp"}
_TIME = {"time", "hour", "clock", "time of day"}
_REMARK = {"note", "notes", "remark", "remarks", "comment", "comments", "done", "what was done"}
_GAPS = {"", "-", "–", "—", "n/a", "na", "none", "."}
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,(?:\d{1,2}|\d{4,})(?!\d).*|[+-]?0*[01],\d{3}(?!\d).*")
_HAS_UNIT = re.compile(r"[^\W\d_]|[%°]")


class NotATable(ValueError):
    """It cannot be read as a table at all; the message says why."""


@dataclass(frozen=True)
class _Row:
    line: int
    cells: tuple[str, ...]

    def at(self, column: int | None) -> str:
        return self.cells[column] if column is not None and column < len(self.cells) else ""


@dataclass(frozen=True)
class _Columns:
    heads: tuple[str, ...]
    day: int
    """One beyond the last where no day can be read."""
    time: int | None
    remark: int | None
    measured: tuple[tuple[int, str, str], ...]
    """Column, question, unit."""


def decode(raw: bytes) -> str:
    """The text of a file. Raises NotATable for one that is too large, or no text."""
    if len(raw) > LARGEST_TABLE:
        raise NotATable(f"The table is larger than {in_words(LARGEST_TABLE)}. Cut it into several files.")
    coding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        return raw.decode(coding)
    except UnicodeDecodeError:
        raise NotATable("The table is no UTF-8 text. Save it as CSV in UTF-8.") from None


def read_table(text: str, names: Names, today: date, order: Order | None = None) -> Gathered:
    """Readings and remarks of a table. Raises NotATable where there is none."""
    rows = _rows(text)
    columns, faults = _columns(rows[0], names)
    if columns is None:
        return Gathered(faults=tuple(faults))
    body = rows[1:]
    if not body:
        raise NotATable("The table has a head and no line below it.")
    if _commas_are_decimal(body, columns):
        body = [_with_points(row, columns) for row in body]
    try:
        order = order or order_of((row.at(columns.day) for row in body), today)
    except NotADay as error:
        # No line can be placed, but the values are looked through all the same.
        faults.append(f"Column '{_cut(columns.heads[columns.day])}': {error}")
        undated = replace(columns, day=len(columns.heads), time=None)
        return Gathered(
            faults=(*faults, *_until_enough(_row(row, undated, names, today, None) for row in body).faults)
        )
    found = _until_enough(_row(row, columns, names, today, order) for row in body)
    return _without_clashes(Gathered(faults=tuple(faults)) + found, names)


def _until_enough(rows: Iterable[Gathered]) -> Gathered:
    """All rows; or none of them and their first faults, where more is wrong than anybody wants to be told."""
    read, faults = [], 0
    for row in rows:
        read.append(row)
        faults += len(row.faults)
        if faults >= MOST_TOLD:
            more = f"The first {faults} faults are told, and nothing is taken. Mend these and try again."
            return Gathered(faults=(*joined(read).faults, more))
    return joined(read)


def _rows(text: str) -> list[_Row]:
    lines = text.splitlines()
    head = next((line for line in lines if line.strip()), "")
    delimiter = max(DELIMITERS, key=head.count)
    rows: list[_Row] = []
    reader = csv.reader(text.splitlines(keepends=True), delimiter=delimiter, skipinitialspace=True)
    try:
        for cells in reader:
            if len(cells) > MOST_COLUMNS:
                what = f"Line {reader.line_num} of the table has {len(cells):,} cells; {MOST_COLUMNS} are the most."
                raise NotATable(f"{what} Take out the columns that hold no readings.")
            longest = max(map(len, cells), default=0)
            if longest > LONGEST_CELL:
                what = f"Line {reader.line_num} of the table has a cell of {longest:,} letters"
                raise NotATable(f"{what}; {LONGEST_CELL:,} are the most. Is a quotation mark left open?")
            clean = tuple(" ".join(without_controls(cell).split()) for cell in cells)
            if any(clean):
                rows.append(_Row(reader.line_num, clean))
            if len(rows) > MOST_ROWS + 1:
                raise NotATable(f"The table has more than {MOST_ROWS} lines. Cut it into several files.")
    except csv.Error as error:
        raise NotATable(f"Line {reader.line_num} of the table cannot be read: {error}.") from error
    if not rows:
        raise NotATable(
            "The table is empty. Its first line names the columns, such as: date, gravity, temp (C)."
        )
    return rows


def _columns(head: _Row, names: Names) -> tuple[_Columns | None, list[str]]:
    places: dict[str, int] = {}
    measured: list[tuple[int, str, str]] = []
    faults: list[str] = []
    for at, cell in enumerate(head.cells):
        kind = next((kind for kind, words in _KINDS.items() if spoken(cell) in words), "")
        if not cell:
            continue
        try:
            if kind:
                question, unit = kind, ""
            else:
                question, unit = names.column(cell)
        except (NotNamed, NotAnAnswer) as error:
            faults.append(
                f"Line {head.line}, column '{_cut(cell)}': {error} Name it otherwise, or take it out."
            )
            continue
        if question in places:
            first = head.cells[places[question]]
            faults.append(f"Line {head.line}: '{_cut(first)}' and '{_cut(cell)}' are the same; take one out.")
            continue
        places[question] = at
        if not kind:
            measured.append((at, question, unit))
    if "day" not in places:
        faults.append(f"Line {head.line}: no column holds the day. Name the columns there, the day `date`.")
        return None, faults
    columns = _Columns(head.cells, places["day"], places.get("time"), places.get("remark"), tuple(measured))
    if not measured and columns.remark is None:
        faults.append(f"Line {head.line}: no column holds readings. A log keeps: {names.listed}.")
        return None, faults
    return columns, faults


_KINDS = {"day": _DAY, "time": _TIME, "remark": _REMARK}


def _commas_are_decimal(rows: Sequence[_Row], columns: _Columns) -> bool:
    """Whether the whole table writes 20,5: then 1,012 is no thousand. One number with a point, and it is not sure."""
    cells = [row.at(at) for row in rows for at, _, _ in columns.measured]
    return not any("." in cell for cell in cells) and any(_DECIMAL_COMMA.fullmatch(cell) for cell in cells)


def _with_points(row: _Row, columns: _Columns) -> _Row:
    measured = {at for at, _, _ in columns.measured}
    cells = (cell.replace(",", ".") if at in measured else cell for at, cell in enumerate(row.cells))
    return replace(row, cells=tuple(cells))


def _row(row: _Row, columns: _Columns, names: Names, today: date, order: Order | None) -> Gathered:
    if any(row.cells[len(columns.heads) :]):
        what = f"Line {row.line} has {len(row.cells)} cells, and the head {len(columns.heads)}."
        mend = "In a table divided by commas a decimal comma must stand in quotes; semicolons are better."
        return Gathered(faults=(f"{what} {mend}",))
    faults: list[str] = []
    moment = _moment(row, columns, today, order, faults)
    readings = list(_readings(row, columns, names, moment, faults))
    words = row.at(columns.remark)[:LONGEST_REMARK]
    remarks = (Remark(moment, words),) if words and moment else ()
    return Gathered(tuple(readings), remarks, tuple(faults))


def _moment(
    row: _Row, columns: _Columns, today: date, order: Order | None, faults: list[str]
) -> Moment | None:
    if columns.day == len(columns.heads):
        return None
    where = f"Line {row.line}, column '{_cut(columns.heads[columns.day])}'"
    try:
        moment = read_moment(row.at(columns.day), today, order)
    except NotADay as error:
        faults.append(f"{where}: {error}")
        return None
    hour = row.at(columns.time)
    if hour in _GAPS:
        return moment
    minute = clock(hour)
    if minute is None:
        head = _cut(columns.heads[columns.time or 0])
        faults.append(f"Line {row.line}, column '{head}': '{_cut(hour)}' is no time of the day. Write 8:30.")
        return None
    return Moment(moment.day, minute)


def _readings(
    row: _Row, columns: _Columns, names: Names, moment: Moment | None, faults: list[str]
) -> Iterator[Taken]:
    for at, question, unit in columns.measured:
        cell = row.at(at)
        if cell.lower() in _GAPS:
            continue
        try:
            value = names.value(question, cell if not unit or _HAS_UNIT.search(cell) else f"{cell} {unit}")
        except NotAnAnswer as error:
            faults.append(f"Line {row.line}, column '{_cut(columns.heads[at])}': {error}")
            continue
        if moment:
            yield Taken(moment, question, value)


def _without_clashes(found: Gathered, names: Names) -> Gathered:
    """A moment with two values of one thing is a slip in the table."""
    first: dict[tuple[float, str], Taken] = {}
    faults: list[str] = []
    for one in found.readings:
        before = first.setdefault((one.moment.at, one.name), one)
        if before.value != one.value:
            short = names.logged[one.name].short
            faults.append(
                f"{short} has two values on {one.moment.written}. Give their times, or take one out."
            )
    return found + Gathered(faults=tuple(dict.fromkeys(faults)))


def _cut(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
