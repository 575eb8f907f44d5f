"""The page that a person means by what they type: its id, part of it, or words of what it is called."""

from __future__ import annotations

import difflib
from collections.abc import Mapping

from .models.rules import NeverDone
from .models.treatments import Fix


def names_of(pages: Mapping[str, Fix] | Mapping[str, NeverDone]) -> dict[str, str]:
    """Each page with its name and what else people call it, in one line."""
    return {name: "; ".join((page.name, *page.called)) for name, page in pages.items()}


def page_meant(typed: str, pages: Mapping[str, str]) -> tuple[str | None, tuple[str, ...]]:
    """The page that is surely meant, of those given with what they are called; None and the nearest where none is."""
    close = pages_meant(typed, pages)
    if len(close) == 1:
        return close[0], ()
    wanted = _as_id(typed)
    near = close or difflib.get_close_matches(wanted, list(pages), n=4, cutoff=0.5) or sorted(pages)[:8]
    return None, tuple(near)


def pages_meant(typed: str, pages: Mapping[str, str]) -> list[str]:
    """The pages that may be meant: the one of that id, or all that hold it in their id, or in what they are called."""
    wanted = _as_id(typed)
    if wanted in pages:
        return [wanted]
    return _holding(wanted, {name: name for name in pages}) or _holding(typed.strip().lower(), pages)


def _as_id(typed: str) -> str:
    return typed.strip().lower().replace(" ", "_").replace("-", "_")


def _holding(words: str, pages: Mapping[str, str]) -> list[str]:
    return [name for name, called in pages.items() if words and words in called.lower()]
