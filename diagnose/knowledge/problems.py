"""What is wrong in a file a person wrote: where, what, and the mend.

Problem          one mistake, with its place
RuleFilesWrong   all mistakes of one load at once (an exception)
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from diagnose.plain_text import without_controls

WIDEST = 160
"""Columns of a line that are shown; a longer line is cut to a window around the mistake."""

LONGEST = 60
"""Characters of a value that are repeated in a message."""

MOST_LISTED = 15
"""Known words that a message lists in full."""

_UNSEEN = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff]")
_ODD_SPACE = re.compile("[\u00a0\u1680\u2000-\u200d\u202f\u205f\u2060\u3000\ufeff]")
_TYPOGRAPHIC = re.compile("[“”„‟«»‘’‚‛]")
_NEARLY_A_NUMBER: tuple[tuple[re.Pattern[str], str, Callable[[str], str]], ...] = (
    (
        re.compile(r"[+-]?\d+,\d+"),
        "Write the decimal with a point, not a comma",
        lambda said: said.replace(",", "."),
    ),
    (re.compile(r"[+-]?\.\d+"), "Write a nought before the point", lambda said: said.replace(".", "0.")),
    (re.compile(r"[+-]?\d+\."), "Leave the point at the end out", lambda said: said.rstrip(".")),
    (
        re.compile(r"-?\d+(\.\d+)? ?[A-Za-z%µ°][\w/%°]*( vol)?"),
        "Leave the unit out",
        lambda said: re.match(r"-?[\d.]+", said)[0],  # type: ignore[index]
    ),
    (re.compile(r"\+\d+(\.\d+)?"), "Leave the plus sign out", lambda said: said.lstrip("+")),
    (re.compile(r"0+[1-9]\d*(\.\d+)?"), "Leave the noughts in front out", lambda said: said.lstrip("0")),
)
"""A number that was nearly written, the mend, and what to write."""


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
        what = without_controls(self.what)
        lines = [f"{without_controls(self.place.file)}:{self.place.line}:{self.place.column}: {what}"]
        if self.text:
            number = str(self.place.line)
            margin = " " * len(number)
            shown, start = _window(self.text, self.place.column - 1)
            carets = "^" * max(1, min(self.place.width, max(1, len(shown) - start)))
            lines += [f"    {number} | {shown}", f"    {margin} | {' ' * start}{carets}"]
        if self.mend:
            lines.append(f"    {without_controls(self.mend)}")
        return "\n".join(lines)


class RuleFilesWrong(Exception):
    """A rule base or case file could not be used; `problems` holds every mistake found, in order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))


def _window(text: str, start: int) -> tuple[str, int]:
    """The part of a line that is shown, and where in it the mistake begins."""
    # Tabs would shift the carets and control characters upset a screen; the shown copy has single spaces.
    shown = text.rstrip()
    if len(shown) <= WIDEST:
        shown = without_controls(shown).rstrip()
        return shown, min(start, len(shown))
    start = min(start, len(shown))
    first = max(0, min(start - WIDEST // 2, len(shown) - WIDEST))
    before = "…" if first else ""
    after = "…" if first + WIDEST < len(shown) else ""
    return before + without_controls(shown[first : first + WIDEST]) + after, start - first + len(before)


def quoted(value: object) -> str:
    """A value from a file as a message repeats it: short, in quotes, on one line, as it was written."""
    if value is None:
        return "an empty value"
    if isinstance(value, Mapping):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, bool):
        return f"'{str(value).lower()}'"
    if isinstance(value, float):
        return f"'{value:g}'"
    # Bounded before it is looked at: a file may hold one word of half a megabyte.
    text = _UNSEEN.sub("�", str(value)[: LONGEST + 1])
    return f"'{text}'" if len(text) <= LONGEST else f"'{text[:LONGEST]}…'"


def slip(value: object) -> str:
    """The mend for a slip of the keyboard that is hard to see; empty when there is none."""
    if isinstance(value, bool):
        return "`true` and `false` are not used here; write the word that is meant, such as yes or no."
    if not isinstance(value, str):
        return ""
    if _ODD_SPACE.search(value):
        return "There is a non-breaking or other unusual space in it; retype it with the space bar."
    if _TYPOGRAPHIC.search(value):
        return "There are typographic quotes in it; use plain ' or \", or leave them out."
    for pattern, mend, mended in _NEARLY_A_NUMBER:
        if len(value) <= LONGEST and pattern.fullmatch(value):
            return f"{mend}: {mended(value)}."
    return ""


def nearest(word: str, known: Iterable[str]) -> str:
    """A sentence that names the closest known word, or the known words when none is close."""
    words = sorted(set(known))
    if not words:
        return "None is written in these files yet; add it, or take the name out."
    close = difflib.get_close_matches(word.lower()[:LONGEST], words, n=1, cutoff=0.6)
    listed = f"Known: {', '.join(words)}." if len(words) <= MOST_LISTED else ""
    if close:
        return f"Did you mean '{close[0]}'? {listed if len(words) > 1 else ''}".rstrip()
    return listed or f"Known are, among {len(words)}: {', '.join(words[:MOST_LISTED])}, …"
