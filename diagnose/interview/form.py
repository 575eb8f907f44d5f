"""A few questions in a row that belong together, with the keys that make sense inside such a row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from diagnose.casebook.answers import NotAnAnswer
from diagnose.plain_text import spoken
from diagnose.present.console import Page

from .lines import ASKING, Lines

SKIP = {
    *("skip", "unknown", "dunno", "idk", "no idea", "no clue", "not sure", "im not sure", "i am not sure"),
    *(f"{who}{says}" for who in ("", "i ") for says in ("dont know", "do not know", "have no idea")),
}
"""Not knowing, as it sounds when it is `spoken`."""
STOP = {"stop", "quit", "exit"}
ELSEWHERE = {"later", "so far", "enough"}
"""Keys of the consultation that mean nothing inside a form; told apart from a wrong answer."""


class Stopped(Exception):
    """The person wants to stop here, or there are no more lines. `ended` is true for the latter."""

    def __init__(self, ended: bool = False) -> None:
        super().__init__("no more lines" if ended else "stopped")
        self.ended = ended


@dataclass(frozen=True)
class Field:
    """One question of a form. `read` turns what was typed into a value or raises NotAnAnswer."""

    key: str
    ask: str
    how: str
    why: str
    read: Callable[[str], Any]
    usual: str | None = None
    """What an empty line stands for."""
    may_skip: bool = False
    listed: Sequence[str] = ()
    """Answers to choose from, shown with their numbers."""
    show: Callable[[], None] | None = None
    """Shows more of how to find it out, such as the sheet of a test."""


def fill_in(page: Page, lines: Lines, fields: Sequence[Field]) -> dict[str, Any]:
    """Ask each field in turn; `back` returns to the one before. Raises Stopped."""
    return follow(
        page, lines, lambda found: next((field for field in fields if field.key not in found), None)
    )


def follow(
    page: Page,
    lines: Lines,
    following: Callable[[Mapping[str, Any]], Field | None],
    found: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Ask what `following` says comes next after what was found, until it says nothing. Raises Stopped.

    `back` takes the last answer away, so `following` must need nothing but the answers. `found` are those so far.
    """
    answers = dict(found or {})
    while (field := following(answers)) is not None:
        page.blank()
        page.say(field.ask, style="bold")
        for number, says in enumerate(field.listed, 1):
            page.item(f"{number}", says)
        if field.usual is not None:
            page.aside(f"Enter alone takes {field.usual}.", indent=2)
        value = _one(page, lines, field)
        if value is not _BACK:
            answers[field.key] = value
        elif answers:
            answers.popitem()
    return answers


_BACK = object()


def _one(page: Page, lines: Lines, field: Field) -> Any:
    while True:
        typed = lines.read(ASKING)
        if typed is None:
            raise Stopped(ended=True)
        word = typed.strip().lower()
        if word in STOP:
            raise Stopped
        if word == "back":
            return _BACK
        if word in ("?", "help"):
            page.say(field.how, indent=2)
            if field.show:
                field.show()
        elif word in ELSEWHERE:
            page.say(f"'{word}' is not a key here; back, why, ? and stop are.", indent=2)
        elif word == "why":
            page.say(field.why, indent=2)
        elif spoken(word) in SKIP:
            if field.may_skip:
                return None
            page.say("This one is needed here; type ? for how to find it out, or stop.", indent=2)
        else:
            try:
                return field.read(field.usual if not word and field.usual is not None else typed)
            except NotAnAnswer as error:
                page.warn(str(error))
