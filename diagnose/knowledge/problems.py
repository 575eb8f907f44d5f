"""What is wrong in a file a person wrote: where, what, and the mend.

Problem          one mistake, with its place
RuleFilesWrong   all mistakes of one load at once (an exception)
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Place:
    """A spot in a file: line and column count from one; `width` columns are underlined."""

    file: str
    line: int = 1
    column: int = 1
    width: int = 1


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake in one file. `text` is the line it stands on, `mend` what would put it right."""

    place: Place
    what: str
    mend: str = ""
    text: str = ""

    def __str__(self) -> str:
        """The mistake as a person reads it: place, sentence, the line with carets, the mend."""
        lines = [f"{self.place.file}:{self.place.line}:{self.place.column}: {self.what}"]
        if self.text:
            number = str(self.place.line)
            margin = " " * len(number)
            # Tabs would shift the carets; the shown copy has single spaces instead.
            shown = self.text.replace("\t", " ").rstrip()
            start = min(self.place.column - 1, len(shown))
            carets = "^" * max(1, min(self.place.width, max(1, len(shown) - start)))
            lines += [f"    {number} | {shown}", f"    {margin} | {' ' * start}{carets}"]
        if self.mend:
            lines.append(f"    {self.mend}")
        return "\n".join(lines)


class RuleFilesWrong(Exception):
    """A rule base or case file could not be used; `problems` holds every mistake found, in order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))


def nearest(word: str, known: Iterable[str]) -> str:
    """A sentence that names the closest known word, or the known words when none is close."""
    words = sorted(set(known))
    close = difflib.get_close_matches(word, words, n=1, cutoff=0.6)
    listed = ", ".join(words) if len(words) <= 12 else ", ".join(words[:12]) + ", …"
    if not words:
        return "Nothing of this kind is known here."
    if not close:
        return f"Known: {listed}."
    return f"Did you mean '{close[0]}'?" + (f" Known: {listed}." if len(words) <= 12 else "")
