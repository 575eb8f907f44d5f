"""Which page a person means, asked back where it is not sure."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.knowledge.called import page_meant
from diagnose.present.console import Page


def page_named(page: Page, typed: str, pages: Mapping[str, str]) -> str | None:
    """The page a person means: by id, by part of it, or by words of its name or of what else it is called."""
    name, near = page_meant(typed, pages)
    if name is None:
        page.say(f"Which one? {', '.join(near)}", indent=2)
    return name
