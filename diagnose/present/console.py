"""The console all screens are written to. A person's words and a file's words are data, never markup."""

from __future__ import annotations

import os
import sys
from typing import IO

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

PIPED_WIDTH = 88
"""Width of piped text; it must not depend on a terminal that is not there."""

WIDEST = 100
"""Longer lines are tiring to read at a tank."""


def make_console(file: IO[str] | None = None, width: int | None = None) -> Console:
    """A console that never reads markup, emoji names or numbers in what it prints."""
    out = file or sys.stdout
    terminal = out.isatty()
    if width is None and not terminal:
        width = PIPED_WIDTH
    console = Console(
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
        self.console.print(Text(text, style="bold"))
        self.console.print(Text("─" * min(len(text), self.console.width), style="dim"))

    def head(self, text: str) -> None:
        """The head of a part of a screen."""
        self.console.print()
        self.console.print(Text(text, style="bold"))

    def say(self, text: str, indent: int = 0, style: str = "") -> None:
        """A paragraph."""
        self.console.print(Padding(Text(text, style=style), (0, 0, 0, indent)))

    def aside(self, text: str, indent: int = 0) -> None:
        """A paragraph in a quieter voice."""
        self.say(text, indent, "dim")

    def item(self, mark: str, text: str, indent: int = 2, style: str = "") -> None:
        """A line with a mark before it, wrapped under its own text."""
        from rich.table import Table

        table = Table.grid(padding=(0, 1))
        table.add_column(width=max(2, len(mark)), justify="right", no_wrap=True)
        table.add_column(overflow="fold")
        table.add_row(Text(mark, style="bold"), Text(text, style=style))
        self.console.print(Padding(table, (0, 0, 0, indent)))

    def warn(self, text: str, indent: int = 0) -> None:
        """A caution: marked by a word and a sign, colour only on top."""
        self.item("!", text, indent, "yellow")

    def blank(self) -> None:
        """An empty line."""
        self.console.print()
