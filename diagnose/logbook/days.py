"""Days as people write them. A day that could be two days is not guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from diagnose.plain_text import without_controls
from diagnose.series.log import Moment

Order = Literal["day-first", "month-first"]
ORDERS: tuple[Order, ...] = ("day-first", "month-first")

EARLIEST = 1950
"""No reading of a living cellar is older than this."""

_MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*[.,]?\s+", re.I)
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", re.A)
_NUMBERS = re.compile(r"(\d{1,2})([./-])(\d{1,2})(?:\2(\d{4}|\d{2})|\.)?", re.A)
_DAY_MONTH = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ .-]*([a-z]{3,9})\.?(?:[ ,.-]+(\d{4}))?", re.I | re.A)
_MONTH_DAY = re.compile(r"([a-z]{3,9})\.? *(\d{1,2})(?:st|nd|rd|th)?(?:[ ,]+(\d{4}))?", re.I | re.A)
_CLOCK = re.compile(
    r"(\d{1,2})(?:[:h](\d{2})(?::\d{2}(?:\.\d+)?)?)? ?([ap]m)?(?:Z|[+-]\d\d:?\d\d)?", re.I | re.A
)
_DAY_AND_CLOCK = re.compile(r"(.+?)(?:T|[ ,]+)(\d{1,2}(?:[:h]\d{2}\S*(?: ?[ap]m)?| ?[ap]m))", re.I | re.A)


class NotADay(ValueError):
    """What was written is no day on which something can have been read; the message says what to write."""


class TwoDays(NotADay):
    """It may be two days."""


@dataclass(frozen=True)
class _Parts:
    year: int | None
    month: int
    day: int


def read_moment(text: str, today: date, order: Order | None = None) -> Moment:
    """A day, with or without its time. Raises NotADay, or TwoDays where it may be two and no order is given."""
    plain = " ".join(without_controls(text).split())
    both = _DAY_AND_CLOCK.fullmatch(plain)
    if both and (minute := clock(both[2])) is not None:
        return Moment(read_day(both[1], today, order), minute)
    return Moment(read_day(plain, today, order))


def clock(text: str) -> int | None:
    """The minute of the day of a time such as 8:30, 20:15 or 7 pm; None for anything else."""
    match = _CLOCK.fullmatch(" ".join(text.split()))
    if not match or not (match[2] or match[3]):
        return None
    hour, minute, half = int(match[1]), int(match[2] or 0), (match[3] or "").lower()
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    return hour * 60 + minute if hour < 24 and minute < 60 else None


def read_day(text: str, today: date, order: Order | None = None) -> date:
    """The day that was written. Without a year it is the nearest one that is past.

    Raises NotADay for no day, one to come after tomorrow or one before 1950; TwoDays for one that may be two.
    """
    found = {way: day for way, day in _readings(text, today).items() if order in (None, way)}
    if not found:
        raise NotADay(
            f"'{_short(text)}' is no day of the calendar{_where(order)}. Write 2026-10-12 or 12 Oct 2026."
        )
    days = set(found.values())
    if len(days) > 1:
        raise TwoDays(f"'{_short(text)}' may be {' or '.join(told(day) for day in sorted(days))}. {WHICH}")
    (day,) = days
    if day > today + timedelta(days=1):
        what = f"{told(day)} is still to come: this machine says that today is {told(today)}."
        raise NotADay(f"{what} Mend the day, or the clock of the machine.")
    if day.year < EARLIEST:
        raise NotADay(f"{told(day)} is before {EARLIEST}. Write the year with four figures.")
    return day


WHICH = "Say which with --dates day-first or --dates month-first, or write the month as a word."


def _where(order: Order | None) -> str:
    return {None: "", "day-first": " with the day first", "month-first": " with the month first"}[order]


def order_of(texts: Iterable[str], today: date) -> Order | None:
    """The one way in which a whole column can be read; None where every day is clear without it.

    Raises TwoDays where both ways fit and give other days, NotADay where some cells need one and some the other.
    """
    first: dict[Order, str] = {}
    doubtful = ""
    for text in texts:
        both = _DAY_AND_CLOCK.fullmatch(text.strip())
        day = both[1] if both and clock(both[2]) is not None else text
        found = _readings(day, today)
        if len(found) == 1:
            first.setdefault(next(iter(found)), text)
        elif len(set(found.values())) == 2:
            doubtful = doubtful or day
    if len(first) == 2:
        day, month = (_short(first[way]) for way in ORDERS)
        what = f"'{day}' has the day first and '{month}' the month"
        raise NotADay(f"{what}; write the whole column one way.")
    if first:
        return next(iter(first))
    if doubtful:
        read_day(doubtful, today)
    return None


def told(day: date) -> str:
    """A day as it is shown, such as 12 Oct 2026."""
    return f"{day.day} {_MONTHS[day.month - 1][:3].capitalize()} {day.year}"


def _readings(text: str, today: date) -> dict[Order, date]:
    """What the text may mean, with the day first and with the month first; alike where that makes no difference."""
    plain = _WEEKDAY.sub("", " ".join(without_controls(text).split()))
    words = {"today": today, "yesterday": today - timedelta(days=1)}
    if plain.lower() in words:
        return dict.fromkeys(ORDERS, words[plain.lower()])
    if match := _NUMBERS.fullmatch(plain):
        year = int(match[4]) + (2000 if len(match[4]) == 2 else 0) if match[4] else None
        one, two = int(match[1]), int(match[3])
        ways = {ORDERS[0]: _Parts(year, two, one), ORDERS[1]: _Parts(year, one, two)}
    else:
        parts = _clear(plain)
        ways = dict.fromkeys(ORDERS, parts) if parts else {}
    days = {way: _on_the_calendar(parts, today) for way, parts in ways.items()}
    return {way: day for way, day in days.items() if day is not None}


def _clear(plain: str) -> _Parts | None:
    if match := _ISO.fullmatch(plain):
        return _Parts(int(match[1]), int(match[2]), int(match[3]))
    if match := _DAY_MONTH.fullmatch(plain):
        day, name, year = match[1], match[2], match[3]
    elif match := _MONTH_DAY.fullmatch(plain):
        name, day, year = match[1], match[2], match[3]
    else:
        return None
    month = next((at for at, full in enumerate(_MONTHS, 1) if full.startswith(name.lower())), 0)
    return _Parts(int(year) if year else None, month, int(day)) if month else None


def _on_the_calendar(parts: _Parts, today: date) -> date | None:
    # A 29th of February is at most eight years back.
    tomorrow = today + timedelta(days=1)
    years = [parts.year] if parts.year is not None else range(tomorrow.year, tomorrow.year - 9, -1)
    for year in years:
        try:
            day = date(year, parts.month, parts.day)
        except ValueError:
            continue
        if parts.year is not None or day <= tomorrow:
            return day
    return None


def _short(text: str) -> str:
    plain = without_controls(text)
    return plain if len(plain) <= 40 else plain[:39] + "…"
