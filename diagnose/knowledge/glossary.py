"""The glossary: the page of a word that a person asks about, and the trade words that stand in a text."""

from __future__ import annotations

import difflib
import re

from diagnose.plain_text import spoken

from .models.vocabulary import GlossaryWord
from .rule_base import RuleBase

_ARTICLES = ("a ", "an ", "the ")


def word_meant(base: RuleBase, typed: str) -> GlossaryWord | None:
    """The page of this word, in any of its spellings, in one or many, with or without an article."""
    wanted = spoken(typed)
    for article in _ARTICLES:
        wanted = wanted.removeprefix(article)
    known = _spellings(base)
    return known.get(wanted) or known.get(wanted.removesuffix("s")) or known.get(f"{wanted}s")


def words_near(base: RuleBase, typed: str) -> tuple[str, ...]:
    """Words of the glossary that look like this one, or hold it; a few at most."""
    wanted, known = spoken(typed), _spellings(base)
    holding = [says for says in known if wanted and wanted in says.split()]
    near = holding or difflib.get_close_matches(wanted, list(known), n=4, cutoff=0.7)
    return tuple(dict.fromkeys(known[says].called[0] for says in near))[:6]


def hard_words_in(base: RuleBase, text: str) -> tuple[GlossaryWord, ...]:
    """The words in a text that `wording` pages count as hard and the glossary explains, in their order there."""
    hard = {word for page in base.wording.values() for word in page.jargon}
    found = {place.start(): word for word in hard if (place := place_of(word, text))}
    pages = (word_meant(base, found[at]) for at in sorted(found))
    return tuple({page.word: page for page in pages if page}.values())


def place_of(word: str, text: str) -> re.Match[str] | None:
    """Where a word stands in a text; capitals count only where the word has them."""
    flags = re.IGNORECASE if word.islower() else 0
    return re.search(rf"\b{re.escape(word)}\b", text, flags)


def _spellings(base: RuleBase) -> dict[str, GlossaryWord]:
    """Each spelling with its page; the name of the page too, which the Tab key types."""
    return {spoken(says): page for page in base.glossary.values() for says in (page.word, *page.called)}
