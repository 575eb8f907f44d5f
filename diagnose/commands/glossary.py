"""What a word means."""

from __future__ import annotations

import click

from diagnose.knowledge.glossary import word_meant, words_near
from diagnose.knowledge.own import RuleFolders
from diagnose.present.glossary import show_glossary, show_word
from diagnose.settings import read_settings

from .setup import make_cellar, make_page
from .status import DONE


def glossary(rules: RuleFolders, typed: str) -> int:
    """Say what this word means; without one, list all. Raises UsageError for a word that is not there."""
    base = make_cellar(rules, read_settings()).base
    if not typed.strip():
        show_glossary(make_page(), base)
        return DONE
    found = word_meant(base, typed)
    if found is None:
        near = words_near(base, typed)
        has = f"It has {', '.join(near)}." if near else "`diagnose glossary` lists its words."
        raise click.UsageError(f"The glossary has no '{typed[:40]}'. {has}")
    show_word(make_page(), base, found)
    return DONE
