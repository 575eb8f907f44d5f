"""What every command needs first: the rule base, the settings, a page to write on."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from diagnose.judgement.judge import Cellar
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.read import read_rule_base
from diagnose.places import cache_folder
from diagnose.present.console import Page, make_console
from diagnose.settings import Settings, read_settings
from diagnose.shipped import shipped_folder


def make_cellar(rules: RuleFolders, settings: Settings | None = None, anew: bool = False) -> Cellar:
    """The rule base made ready, under the law of these settings.

    `anew` reads and checks every file, whatever was kept.
    """
    mine, folders = settings or Settings(), in_use(rules, settings)
    if anew:
        base = read_rule_base(folders.below, folders.own)
    else:
        base = read_rule_base_kept(folders.below, cache_folder(), folders.own, _tell_of_reading)
    return Cellar(base, mine.law, mine.limits)


def in_use(rules: RuleFolders, settings: Settings | None = None) -> RuleFolders:
    """The folders that are read. With none named below, the rules that came along, and what the settings put on top."""
    if rules.below:
        return rules
    kept = (Path(folder) for folder in (settings or read_settings()).own)
    return RuleFolders((shipped_folder("rules"),), tuple(dict.fromkeys((*kept, *rules.own))))


def _tell_of_reading() -> None:
    """Somebody who waits at a terminal is told what for; what is piped or printed stays as it is."""
    if sys.stderr.isatty():
        click.echo("Reading the rules anew; this takes some seconds.", err=True)


def make_page() -> Page:
    """A page on standard output; plain where this call, the settings or a terminal that cannot draw want it so."""
    context = click.get_current_context(silent=True)
    # The option stands before every command, so it is the outermost one that holds it.
    said = context.find_root().params.get("plain") if context else None
    plain = said if said is not None else read_settings().plain or os.environ.get("TERM") == "dumb"
    return Page(make_console(), plain)
