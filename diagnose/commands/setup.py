"""What every command needs first: the rule base, the settings, a page to write on."""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs

from diagnose.judgement.judge import Cellar
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page, make_console
from diagnose.settings import Settings, read_settings
from diagnose.shipped import shipped_folder

CACHE_VARIABLE = "DIAGNOSE_CACHE"
"""Environment variable that names another folder for what only saves time."""


def make_cellar(rules: RuleFolders, settings: Settings | None = None, anew: bool = False) -> Cellar:
    """The rule base made ready, under the law of these settings.

    `anew` reads and checks every file, whatever was kept.
    """
    mine, folders = settings or Settings(), in_use(rules, settings)
    if anew:
        base = read_rule_base(folders.below, folders.own)
    else:
        base = read_rule_base_kept(folders.below, cache_folder(), folders.own)
    return Cellar(base, mine.law, mine.limits)


def in_use(rules: RuleFolders, settings: Settings | None = None) -> RuleFolders:
    """The folders that are read. With none named below, the rules that came along, and what the settings put on top."""
    if rules.below:
        return rules
    kept = (Path(folder) for folder in (settings or read_settings()).own)
    return RuleFolders((shipped_folder("rules"),), tuple(dict.fromkeys((*kept, *rules.own))))


def cache_folder() -> Path:
    """The folder for what is kept only to save time: checked rules, and the index of cases."""
    named = os.environ.get(CACHE_VARIABLE)
    return Path(named) if named else Path(platformdirs.user_cache_dir("diagnose", appauthor=False))


def make_page() -> Page:
    """A page on standard output."""
    return Page(make_console())
