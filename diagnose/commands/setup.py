"""What every command needs first: the rule base, the settings, a page to write on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page, make_console
from diagnose.settings import Settings
from diagnose.shipped import shipped_folder


def make_cellar(rules: Sequence[Path], settings: Settings | None = None) -> Cellar:
    """The rule base made ready, under the law of these settings. Without folders, the rules that came along."""
    mine = settings or Settings()
    return Cellar(read_rule_base(rules or [shipped_folder("rules")]), mine.law, mine.limits)


def make_page() -> Page:
    """A page on standard output."""
    return Page(make_console())
