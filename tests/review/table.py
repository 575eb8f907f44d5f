"""A mentor at the table: both conversations held in this process, on the small invented rules of the loader's tests."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from diagnose.interview.form import Field, Stopped, fill_in
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.read import read_rule_base
from diagnose.mentoring.adding import Adding
from diagnose.mentoring.desk import Desk
from diagnose.mentoring.reviewing import Reviewing
from diagnose.present.console import Page, make_console
from rule_folders import folder_with

Typed = str | Callable[[], object]
"""A line, or what happens in the cellar while the next question stands there."""


class Told:
    """Lines that a mentor types, one after the other; then there are no more."""

    def __init__(self, *lines: Typed) -> None:
        self._lines = iter(lines)

    def read(self, prompt: str) -> str | None:
        """The next line, once all that happens before it has happened."""
        for line in self._lines:
            if isinstance(line, str):
                return line
            line()
        return None


class Table:
    """Invented rules and worked cases of the test's own, and what is said at them."""

    def __init__(
        self, folder: Path, pages: Mapping[str, str] | None = None, worked: Mapping[str, str] | None = None
    ) -> None:
        self.folder = folder
        self.rules = folder_with(folder, pages or {})
        self.cases = folder / "cases"
        self.cases.mkdir()
        for name, text in (worked or {}).items():
            (self.cases / name).write_text(text, encoding="utf-8")
        self._out = io.StringIO()

    @property
    def said(self) -> str:
        """Everything on the screen, with the line breaks of the screen as spaces."""
        return " ".join(self._out.getvalue().split())

    def desk(self, *lines: Typed) -> Desk:
        """A desk at which these lines are typed."""
        page = Page(make_console(self._out, 100))
        worked = sorted(self.cases.glob("*.yaml"))
        return Desk(page, Told(*lines), RuleFolders((self.rules,)), worked, read_rule_base([self.rules]))

    def add(self, kind: str, *lines: Typed) -> bool:
        """Add something; whether it was kept. Leaving early keeps nothing."""
        try:
            return Adding(self.desk(*lines), kind, None, self.cases).run()
        except Stopped:
            return False

    def review(self, *lines: Typed, of: tuple[tuple[str, str, int | None], ...]) -> bool:
        """Walk through these cards as AB; whether the last of them was passed."""
        try:
            Reviewing(self.desk(*lines), "AB", date(2026, 10, 12), of).run()
        except Stopped:
            return False
        return True

    def ask(self, *lines: Typed, fields: list[Field]) -> dict[str, Any]:
        """The answers to these fields."""
        desk = self.desk(*lines)
        return fill_in(desk.page, desk.lines, fields)

    def files(self) -> dict[str, str]:
        """Every file of the rules and cases."""
        return dict(self._files())

    def _files(self) -> Iterator[tuple[str, str]]:
        for folder in (self.rules, self.cases):
            for path in sorted(folder.rglob("*.*")):
                yield str(path.relative_to(self.folder)), path.read_text(encoding="utf-8")
