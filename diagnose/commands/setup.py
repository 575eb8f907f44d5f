"""What every command needs first: the rule base, the settings, a page to write on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page, make_console
from diagnose.shipped import shipped_folder


def make_cellar(rules: Sequence[Path]) -> Cellar:
    """The rule base made ready. Without folders, the rules that came along."""
    return Cellar(read_rule_base(rules or [shipped_folder("rules")]))


def make_page() -> Page:
    """A page on standard output."""
    return Page(make_console())
