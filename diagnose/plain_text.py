"""Text that came from a person or a file, made safe to show."""

from __future__ import annotations

import re
import unicodedata


def without_controls(text: str) -> str:
    """Text without control signs, so that nothing in a file can move the cursor or colour the screen."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() or sign == "\u00a0" else " " for sign in text)


def lines_without_controls(text: str) -> str:
    """The same for a text of several lines, which stay lines."""
    return "\n".join(without_controls(line) for line in text.split("\n"))


def spoken(text: str) -> str:
    """Text as it sounds: no capitals, marks or apostrophes, one space between words. So phrases are compared."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    plain = _APOSTROPHES.sub("", plain)
    return " ".join(_WORDS.findall(plain))


def folded(text: str) -> str:
    """Text without capitals and accents, for finding words in it."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def signs_as_words(text: str) -> str:
    """Text whose signs a screen reader would spell out, or leave out, as the words they stand for."""
    for sign, words in _SPOKEN:
        text = sign.sub(words, text)
    return text


_SPOKEN = tuple(
    (re.compile(sign), words)
    for sign, words in (
        (" ?→ ?", " to "),
        (" · ", ", "),
        (" ?± ?", " plus or minus "),
        ("−(?=[0-9])", "minus "),
        (" ?°(?=[CF]\\b)", " degrees "),
        (" ?°", " degrees"),
        ("[“”„]", '"'),
        ("[‘’]", "'"),
        ("…", "..."),
        ("[–—]", "-"),
        ("µm", "micrometres"),
        ("____+", "blank"),
    )
)
_APOSTROPHES = re.compile("['’‘`´]")
_WORDS = re.compile(r"[^\W_]+")
