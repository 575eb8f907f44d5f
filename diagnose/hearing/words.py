"""A written text as words, numbers and stops, each with its place in the text."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from diagnose.plain_text import spoken, without_controls

LONGEST = 4_000
"""Characters of a text that are listened to."""

_TOKEN = re.compile(
    r"""(?P<number>(?<![\w.,/])[+-]?\d+(?:[.,/]\d+)*(?![.,/]?\d))
      | (?P<word>[^\W_]+(?:['’‘`´][^\W_]+)*)
      | (?P<stop>[.;!?\n]+|\s[-–—]+\s)
      | (?P<comma>,|/|&)""",
    re.X,
)


@dataclass(frozen=True)
class Token:
    """One word, number or mark. `says` is the word as phrases are compared."""

    kind: Literal["word", "number", "stop", "comma"]
    says: str
    start: int
    end: int


def plain(text: str) -> tuple[str, bool]:
    """The text that is listened to, safe to show, and whether it had to be cut."""
    kept = "\n".join(without_controls(line) for line in text[:LONGEST].splitlines())
    return unicodedata.normalize("NFKC", kept)[:LONGEST], len(text) > LONGEST


def tokens(text: str) -> list[Token]:
    """The words, numbers and marks of a text that was made plain, in their order."""
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup
        assert kind in ("word", "number", "stop", "comma")
        says = spoken(match[0]) if kind == "word" else match[0]
        found.append(Token(kind, says, match.start(), match.end()))  # type: ignore[arg-type]
    return found
