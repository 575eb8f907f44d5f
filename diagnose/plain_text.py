"""Text that came from a person or a file, made safe to show."""

from __future__ import annotations


def without_controls(text: str) -> str:
    """Text without control signs, so that nothing in a file can move the cursor or colour the screen."""
    return "".join(sign if sign.isprintable() or sign == "\u00a0" else " " for sign in text)
