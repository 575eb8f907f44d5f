"""What every command needs first: the rule base, the settings, a page to write on."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import platformdirs

from diagnose.judgement.judge import Cellar
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page, make_console
from diagnose.settings import Settings
from diagnose.shipped import shipped_folder


def make_cellar(rules: Sequence[Path], settings: Settings | None = None, anew: bool = False) -> Cellar:
    """The rule base made ready, under the law of these settings. Without folders, the rules that came along.

    `anew` reads and checks every file, whatever was kept.
    """
    mine, folders = settings or Settings(), list(rules) or [shipped_folder("rules")]
    base = read_rule_base(folders) if anew else read_rule_base_kept(folders, cache_folder())
    return Cellar(base, mine.law, mine.limits)


def cache_folder() -> Path:
    """The folder for what is kept only to save time: checked rules, and the index of cases."""
    named = os.environ.get("DIAGNOSE_CACHE")
    return Path(named) if named else Path(platformdirs.user_cache_dir("diagnose", appauthor=False))


def make_page() -> Page:
    """A page on standard output."""
    return Page(make_console())
