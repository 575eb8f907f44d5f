"""What is due as an iCalendar file (RFC 5545): whole-day events that no second import doubles."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta, timezone

from .due import Due

_LINE = 75
"""A line may hold this many bytes; a longer one goes on in the next, after a space (RFC 5545, 3.1)."""


def calendar(items: Iterable[tuple[Due, str, str]], made: datetime) -> bytes:
    """The calendar of what has a day: each thing with its summary and its description.

    `made` is the moment of making, with its time zone.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//diagnose//what is due//EN", "CALSCALE:GREGORIAN"]
    for item, summary, description in items:
        if item.day is not None:
            lines += _event(item, item.day, summary, description, made)
    return b"".join(_folded(line) for line in [*lines, "END:VCALENDAR"])


def uid(item: Due) -> str:
    """The same for the same thing in every export: case, kind, page, the day it was done, and which look it is."""
    since = f"{item.since:%Y%m%d}" if item.since else "0"
    return f"{item.case}-{item.kind}-{item.about}-{since}-{item.which}@diagnose.invalid"


def _event(item: Due, day: date, summary: str, description: str, made: datetime) -> list[str]:
    last = day + timedelta(days=1)
    return [
        "BEGIN:VEVENT",
        f"UID:{_text(uid(item))}",
        f"DTSTAMP:{made.astimezone(timezone.utc):%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{last:%Y%m%d}",
        f"SUMMARY:{_text(summary)}",
        f"DESCRIPTION:{_text(description)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _text(text: str) -> str:
    """Text of a property: what would mean something is escaped, other control signs go (RFC 5545, 3.3.11)."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    plain = "".join(sign for sign in lines if sign == "\n" or sign.isprintable())
    for sign in ("\\", ";", ","):
        plain = plain.replace(sign, f"\\{sign}")
    return plain.replace("\n", "\\n")


def _folded(line: str) -> bytes:
    """A line as it is written, never cut inside a sign."""
    pieces, room = [b""], _LINE
    for sign in line:
        raw = sign.encode()
        if len(pieces[-1]) + len(raw) > room:
            pieces.append(b"")
            room = _LINE - 1
        pieces[-1] += raw
    return b"\r\n ".join(pieces) + b"\r\n"
