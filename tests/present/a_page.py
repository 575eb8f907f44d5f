"""What a person reads of a screen, in a row."""

from __future__ import annotations

import io
from collections.abc import Callable

from diagnose.present.console import Page, make_console


def lines_of(show: Callable[[Page], object], width: int = 88, plain: bool = False) -> list[str]:
    """The lines of a screen as they are printed."""
    out = io.StringIO()
    show(Page(make_console(out, width), plain))
    return out.getvalue().replace("\u00a0", " ").splitlines()


def read(show: Callable[[Page], object], width: int = 88, plain: bool = False) -> str:
    """The words of a screen with a single space between them, however its lines break."""
    return " ".join(" ".join(lines_of(show, width, plain)).split())


def plainly(text: str) -> str:
    """A sentence with ordinary spaces."""
    return " ".join(text.replace("\u00a0", " ").split())
