"""Readings in lines as people write them down: `12 Oct 1.050 20C`."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from diagnose.casebook.answers import NotAnAnswer
from diagnose.hearing.readings import Numbers
from diagnose.hearing.words import Token, plain, tokens
from diagnose.series.log import Moment
from diagnose.units import unit_at_start

from .days import NotADay, Order, TwoDays, read_moment
from .gathered import Gathered, Remark, Taken, joined
from .names import Names, NotNamed

MOST_LINES = 500
LONGEST_REMARK = 200
_LONGEST_DAY = 6
"""Pieces of a line that may belong to its day and time."""

_PIECE = re.compile(r"[^\s;]+")
_BARE = re.compile(r"[+-]?[\d.,/]+")
_NAME_AND_VALUE = re.compile(r"([^\W\d][^=]*?)\s*=\s*(.*)", re.S)


def read_lines(lines: Iterable[str], names: Names, today: date, order: Order | None = None) -> Gathered:
    """Every line that begins with a day: its readings, and what else it says as a remark."""
    return joined(_numbered(number, line, names, today, order) for number, line in enumerate(lines, 1))


def _numbered(number: int, line: str, names: Names, today: date, order: Order | None) -> Gathered:
    text = plain(line)[0].strip()
    if not text:
        return Gathered()
    one = _line(text, names, today, order)
    return Gathered(one.readings, one.remarks, tuple(f"Line {number}: {fault}" for fault in one.faults))


def _line(text: str, names: Names, today: date, order: Order | None) -> Gathered:
    try:
        moment, rest = _day_first(text, today, order)
    except NotADay as error:
        return Gathered(faults=(str(error),))
    return read_words(rest, moment, names)


def _day_first(text: str, today: date, order: Order | None) -> tuple[Moment, str]:
    """The day that a line begins with, and the rest. Raises NotADay."""
    pieces = list(_PIECE.finditer(text))[:_LONGEST_DAY]
    wrong: NotADay | None = None
    for piece in reversed(pieces):
        begins = text[: piece.end()].rstrip(",:;")
        try:
            moment = read_moment(begins, today, order)
        except NotADay as error:
            # Of a day and what follows it only the day alone, or one that is clearly wrong, says what is amiss.
            wrong = error if isinstance(error, TwoDays) or piece is pieces[0] else wrong or None
            continue
        return moment, text[piece.end() :].lstrip(",:; ")
    raise wrong or NotADay("it does not begin with a day. Write for example 2026-10-12 1.050 20 C.")


def read_words(text: str, moment: Moment, names: Names) -> Gathered:
    """The readings of a text, and what else it says as a remark."""
    heard = tokens(text)
    numbers = names.gauge.read(text, heard, names.units)
    readings = tuple(Taken(moment, reading.observe, reading.value) for reading in numbers.readings)
    faults = [
        *numbers.refused,
        *(_nameless(number) for number in numbers.untaken if _is_reading(number, names)),
    ]
    faults += _twice(readings, names)
    words = _rest(text, heard, numbers)
    if not (readings or faults or words):
        faults.append(f"'{text[:40]}' holds no reading. Write for example gravity 1.020.")
    remarks = (Remark(moment, words[:LONGEST_REMARK]),) if words and not faults else ()
    return Gathered(readings, remarks, tuple(faults))


def read_arguments(arguments: Iterable[str], moment: Moment, names: Names) -> Gathered:
    """Readings from a command line: `gravity=1.020`, or words such as `SG 1.020`."""
    found, words = Gathered(), []
    for argument in arguments:
        match = _NAME_AND_VALUE.fullmatch(plain(argument)[0])
        if match is None:
            words.append(plain(argument)[0])
            continue
        try:
            name = names.meant(match[1])
            found += Gathered((Taken(moment, name, names.value(name, match[2])),))
        except (NotNamed, NotAnAnswer) as error:
            found += Gathered(faults=(str(error),))
    if words:
        found += read_words(" ".join(words), moment, names)
    return found + Gathered(faults=tuple(_twice(found.readings, names)))


def _twice(readings: tuple[Taken, ...], names: Names) -> list[str]:
    """What stands twice with two values: one of them is a slip."""
    values: dict[str, set[float]] = {}
    for one in readings:
        values.setdefault(one.name, set()).add(one.value)
    return [
        f"{names.logged[name].short} stands twice; which is meant? Write it once."
        for name, found in values.items()
        if len(found) > 1
    ]


def _is_reading(number: str, names: Names) -> bool:
    """Whether a number that nothing names looks like a reading, and not like part of a remark."""
    bare = _BARE.match(number)
    unit = number[bare.end() :] if bare else ""
    return not unit.strip() or any(unit_at_start(unit, page.quantity) for page in names.logged.values())


def _nameless(number: str) -> str:
    return f"nothing says what {number} measures. Write its name before it, such as gravity 1.020."


def _rest(text: str, heard: list[Token], numbers: Numbers) -> str:
    """What the readings left of a text; the small words about them are no remark."""
    left = [
        at for at, token in enumerate(heard) if token.kind in ("word", "number") and at not in numbers.used
    ]
    if not any(heard[at].kind == "word" and len(heard[at].says) > 2 for at in left):
        return ""
    if not numbers.used:
        return text.strip()
    return text[heard[left[0]].start : heard[left[-1]].end].strip()


__all__ = ["read_arguments", "read_lines", "read_words"]
