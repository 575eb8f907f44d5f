"""The console all screens are written to. A person's words and a file's words are data, never markup."""

from __future__ import annotations

import os
import sys
import textwrap
from collections.abc import Iterable
from typing import IO

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, RenderableType
from rich.segment import Segment
from rich.text import Text

from diagnose.plain_text import lines_without_controls, without_controls

PIPED_WIDTH = 88
"""Width of piped text; it must not depend on a terminal that is not there."""

WIDEST = 100
"""Longer lines are tiring to read at a tank."""


class _Screen(Console):
    """A console on which no text can do anything but be read, whoever wrote it and whichever way it came."""

    def render(self, renderable: RenderableType, options: ConsoleOptions | None = None) -> Iterable[Segment]:
        """What is shown, piece by piece. Colours are added after this, so they are ours alone."""
        for piece in super().render(renderable, options):
            yield piece if piece.control else Segment(lines_without_controls(piece.text), piece.style)


def make_console(file: IO[str] | None = None, width: int | None = None) -> Console:
    """A console that never reads markup, emoji names or numbers in what it prints."""
    out = file or sys.stdout
    terminal = out.isatty()
    if width is None and not terminal:
        width = PIPED_WIDTH
    console = _Screen(
        file=out,
        width=width,
        markup=False,
        emoji=False,
        highlight=False,
        no_color=True if not terminal or "NO_COLOR" in os.environ else None,
        soft_wrap=False,
    )
    if console.width > WIDEST:
        console.width = WIDEST
    return console


class Page:
    """Writes the few kinds of lines our screens are made of."""

    def __init__(self, console: Console) -> None:
        self.console = console

    def title(self, text: str) -> None:
        """The head of a screen."""
        self.console.print()
        self.say(text, style="bold")
        self.say("─" * min(cell_len(text), self.console.width), style="dim")

    def head(self, text: str) -> None:
        """The head of a part of a screen."""
        self.console.print()
        self.say(text, style="bold")

    def say(self, text: str, indent: int = 0, style: str = "") -> None:
        """A paragraph."""
        self._lines(text, " " * indent, " " * indent, style)

    def aside(self, text: str, indent: int = 0) -> None:
        """A paragraph in a quieter voice."""
        self.say(text, indent, "dim")

    def item(self, mark: str, text: str, indent: int = 2, style: str = "") -> None:
        """A line with a mark before it, wrapped under its own text."""
        before = f"{' ' * indent}{mark:>2} "
        self._lines(text, before, " " * cell_len(before), style)

    def exactly(self, text: str) -> None:
        """A line of a drawing, as it is."""
        self.console.print(Text(without_controls(text)), soft_wrap=True)

    def warn(self, text: str, indent: int = 0) -> None:
        """A caution: marked by a word and a sign, colour only on top."""
        self.item("!", text, indent, "yellow")

    def blank(self) -> None:
        """An empty line."""
        self.console.print()

    def _lines(self, text: str, first: str, rest: str, style: str) -> None:
        """Wrapped by us, not by rich: no spaces at the ends of lines, and a number stays with its unit."""
        room = max(20, self.console.width - cell_len(first))
        plain = without_controls(" ".join(text.split(" ")))
        for number, line in enumerate(textwrap.wrap(plain, room, break_on_hyphens=False) or [""]):
            self.console.print(Text.assemble(rest if number else first, (line, style)), soft_wrap=True)
