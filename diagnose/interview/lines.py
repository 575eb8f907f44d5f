"""Where typed lines come from: a terminal, a pipe, or a script."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import IO, Protocol

from rich.console import Console
from rich.text import Text

from diagnose.knowledge.rule_base import RuleBase
from diagnose.plain_text import without_controls
from diagnose.present.console import Page
from diagnose.present.glossary import explained

ASKING, AFTER = "> ", "next> "
"""The prompts at a question, and once the result is shown."""

LONGEST_LINE = 4_200
"""Longer than any answer, and than what is listened to of a complaint; the rest of such a line is thrown away."""


class Lines(Protocol):
    """A source of typed lines."""

    def read(self, prompt: str) -> str | None:
        """The next line without its end, or None when there are no more."""


class Typed:
    """Lines from a person at a terminal, or from a pipe; a piped line is echoed, so that the text reads whole."""

    def __init__(self, console: Console, source: IO[str] | None = None) -> None:
        self.console = console
        self.source = source or sys.stdin
        self.terminal = self.source.isatty() and console.is_terminal
        if self.terminal:
            # Line editing and history at the prompt, where the platform has them.
            with contextlib.suppress(ImportError):
                import readline  # noqa: F401

    def read(self, prompt: str) -> str | None:
        """The next line. Raises UnicodeDecodeError for input that is not text."""
        if self.terminal:
            try:
                return input(prompt)
            except EOFError:
                return None
        line = self.source.readline(LONGEST_LINE + 1)
        if not line:
            return None
        while not line.endswith("\n") and len(line) > LONGEST_LINE:
            rest = self.source.readline(LONGEST_LINE + 1)
            if not rest or rest.endswith("\n"):
                break
        written = line[:LONGEST_LINE].rstrip("\r\n")
        self.console.print(Text(without_controls(f"{prompt}{written}")), soft_wrap=True)
        return written


@dataclass(frozen=True)
class Explaining:
    """Other lines, of which those that only ask for a word, such as `what is NTU`, are answered from the glossary.

    So at every prompt a word is explained, and the person is where they were.
    """

    page: Page
    base: RuleBase
    lines: Lines

    def read(self, prompt: str) -> str | None:
        """The next line that asks for no word."""
        while True:
            typed = self.lines.read(prompt)
            if typed is None or not explained(self.page, self.base, typed):
                return typed


class Scripted:
    """Lines of a demonstration, shown as if typed.

    `asked` says which question is open; until the result is shown, lines are chosen by it.
    """

    def __init__(
        self,
        console: Console,
        answers: Mapping[str, Sequence[str]],
        afterwards: Iterable[str],
        asked: Callable[[], str | None],
    ) -> None:
        self.console = console
        self._answers = {name: list(lines) for name, lines in answers.items()}
        self._afterwards = iter(afterwards)
        self._asked = asked
        self._result_shown = False

    def following(self, prompt: str) -> str | None:
        """The next line of the script, not shown yet."""
        self._result_shown = self._result_shown or prompt == AFTER
        return next(self._afterwards, None) if self._result_shown else self._answer()

    def show(self, prompt: str, line: str) -> None:
        """Show a line as if typed."""
        self.console.print(Text.assemble(prompt, (line, "bold cyan")), soft_wrap=True)

    @property
    def at(self) -> str:
        """The question that is open, or `result`."""
        return "result" if self._result_shown else self._asked() or ""

    def _answer(self) -> str:
        waiting = self._answers.get(self._asked() or "", [])
        return waiting.pop(0) if waiting else "skip"
