"""The console all screens are written to. A person's words and a file's words are data, never markup.

The page alone knows whether it is plain, for a screen reader or a terminal that cannot draw: then nothing is drawn,
and every sign is a word.
"""

from __future__ import annotations

import os
import re
import sys
import textwrap
from collections.abc import Callable, Iterable, Sequence
from typing import IO

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, RenderableType
from rich.segment import Segment
from rich.text import Text

from diagnose.plain_text import lines_without_controls, signs_as_words, without_controls

PIPED_WIDTH = 88
"""Width of piped text; it must not depend on a terminal that is not there."""

WIDEST = 100
"""Longer lines are tiring to read at a tank."""

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:°[CF]|%|g/L|mg/L|g|mg|kg|L|mL|ppm|degrees [CF])(?![\w/]))")
"""The space before a unit, which stays on the line of its number."""

_GAP = 2
"""Spaces between columns."""


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
        no_color=True if not terminal or os.environ.get("NO_COLOR") else None,
        soft_wrap=False,
    )
    if console.width > WIDEST:
        console.width = WIDEST
    return console


class Page:
    """Writes the few kinds of lines our screens are made of."""

    def __init__(self, console: Console, plain: bool = False) -> None:
        self.console = console
        self.plain = plain

    def title(self, text: str) -> None:
        """The head of a screen."""
        self.console.print()
        self.say(text, style="bold")
        if not self.plain:
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

    def item(self, mark: str, text: str, indent: int = 2, style: str = "", says: str = "") -> None:
        """A line with a mark before it, wrapped under its own text. `says` is the mark as words, for a plain page."""
        if self.plain:
            mark = says or (mark if not mark or mark[-1].isalnum() or mark[-1] in ".%" else "-")
        before = f"{' ' * indent}{mark:>2} ".replace("\u00a0", " ")
        self._lines(text, before, " " * cell_len(before), style)

    def exactly(self, text: str, style: str = "") -> None:
        """A line whose words stand in columns, as it is."""
        self.console.print(Text(without_controls(text), style), soft_wrap=True)

    def drawing(self, lines: Callable[[int], Sequence[str]], words: Sequence[str], indent: int = 0) -> None:
        """A drawing made for the width that there is; on a plain page what it shows, in sentences."""
        if self.plain:
            for sentence in words:
                self.say(sentence, indent)
            return
        for line in lines(self.console.width - 2 * indent):
            self.exactly((" " * indent + line).rstrip())

    def holds(self, width: int) -> bool:
        """Whether columns of this width can stand here; on a plain page none do, each line is a sentence."""
        return not self.plain and width <= self.console.width

    def table(self, heads: Sequence[str], rows: Sequence[Sequence[str]], left: int = 0) -> None:
        """Columns under their heads, all but the first `left` flush right; a sentence a row where they do not fit."""
        widths = [
            max([*map(cell_len, cells), *map(cell_len, head.split())])
            for head, *cells in zip(heads, *rows, strict=True)
        ]
        if not self.holds(sum(widths) + _GAP * (len(widths) - 1)):
            for row in rows:
                # What is still to be filled in has a place only in a column.
                told = (f"{head} {cell}" for head, cell in zip(heads, row, strict=True) if cell.strip("_"))
                self.item("-", "; ".join(told))
            return
        wide = [max(width, cell_len(head)) for head, width in zip(heads, widths, strict=True)]
        widths = wide if self.holds(sum(wide) + _GAP * (len(wide) - 1)) else widths
        folded = [textwrap.wrap(head, width) for head, width in zip(heads, widths, strict=True)]
        depth = max(map(len, folded))
        above = zip(*([*[""] * (depth - len(head)), *head] for head in folded), strict=True)
        lines = [*((line, "bold") for line in above), *((line, "") for line in rows)]
        for line, style in lines:
            cells = (
                cell + " " * (width - cell_len(cell)) if at < left else " " * (width - cell_len(cell)) + cell
                for at, (cell, width) in enumerate(zip(line, widths, strict=True))
            )
            self.exactly((" " * _GAP).join(cells).rstrip(), style)

    def warn(self, text: str, indent: int = 0) -> None:
        """A caution: marked by a sign, or by a word on a plain page; colour only on top."""
        self.item("!", text, indent, "yellow", says="Mind:")

    def blank(self) -> None:
        """An empty line."""
        self.console.print()

    def _lines(self, text: str, first: str, rest: str, style: str) -> None:
        """Wrapped by us, not by rich: no spaces at the ends of lines, and a number stays with its unit."""
        room = max(20, self.console.width - cell_len(first))
        plain = without_controls(" ".join(text.split(" ")))
        plain = _BEFORE_UNIT.sub("\u00a0", signs_as_words(plain) if self.plain else plain)
        for number, line in enumerate(textwrap.wrap(plain, room, break_on_hyphens=False) or [""]):
            line = line.replace("\u00a0", " ")
            self.console.print(Text.assemble(rest if number else first, (line, style)), soft_wrap=True)
