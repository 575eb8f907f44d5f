"""The screens of the glossary: one word, all of them, and the hard words of a question."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diagnose.knowledge.glossary import hard_words_in, word_meant, words_near
from diagnose.knowledge.models.vocabulary import GlossaryWord
from diagnose.knowledge.rule_base import RuleBase

from .console import Page
from .words import sources_words

_ASKS = re.compile(
    r"\s*(?:what(?: is|\'?s| are| does)|define)\s+(?P<word>.{1,60}?)(?:\s+mean)?\s*\??\s*", re.I
)
_FEW = 3
"""Words after `what is` that can be a term; a longer line says something else."""

WHOSE = {"trade": "the trade", "numbers": "reckoning", "ours": "this program"}


def explained(page: Page, base: RuleBase, typed: str) -> bool:
    """Whether a line asked for a word, such as `what is NTU`; if so, it was answered."""
    asks = _ASKS.fullmatch(typed)
    if asks is None:
        return False
    found = word_meant(base, asks["word"])
    if found is not None:
        show_word(page, base, found)
        return True
    near = words_near(base, asks["word"])
    # A person's complaint may begin so too: `what is wrong with my cider, it fizzes`.
    if not near or len(asks["word"].split()) > _FEW:
        return False
    page.say(f"The glossary has no '{asks['word']}'. It has {', '.join(near)}.", indent=2)
    return True


def show_word(page: Page, base: RuleBase, word: GlossaryWord) -> None:
    """A word and what it means."""
    page.item("=", _told(base, word), says="means")


def show_glossary(page: Page, base: RuleBase) -> None:
    """Every word, by whose it is."""
    page.title("Words explained")
    page.say("At any question, type what is and a word.")
    for whose, words in words_by_use(base):
        page.head(f"Words of {whose}")
        for word in words:
            page.item("-", _told(base, word))


def words_by_use(base: RuleBase) -> Iterator[tuple[str, list[GlossaryWord]]]:
    """The words of each that uses them, in the order of the alphabet."""
    for whose, says in WHOSE.items():
        words = [word for word in base.glossary.values() if word.whose == whose]
        if words:
            yield says, sorted(words, key=lambda word: word.called[0].casefold())


def _told(base: RuleBase, word: GlossaryWord) -> str:
    source = f" [{sources_words(base, word.source)}]" if word.source else ""
    return f"{', '.join(word.called)}: {word.means}{source}"


def offer_words(page: Page, base: RuleBase, text: str) -> None:
    """Says which hard words of a text can be asked for; nothing where there are none."""
    words = [word.called[0] for word in hard_words_in(base, text)]
    if words:
        others = f" Explained too: {', '.join(words[1:])}." if words[1:] else ""
        page.aside(f"A new word? Type: what is {words[0]}.{others}")
