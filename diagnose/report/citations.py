"""Sources numbered in the order in which a page first names them."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.knowledge.rule_base import RuleBase

from .told import Refs, Sentence, SourceTold

SEEN = {
    "read": "read",
    "quoted": "known from a text that quotes it",
    "from_memory": "from memory",
    "common_practice": "common practice",
    "judgement": "judgement of the authors of these rules",
}
"""How a source was seen, in words."""


class Citations:
    """The sources a page has named so far."""

    def __init__(self, base: RuleBase) -> None:
        self.base = base
        self._numbers: dict[str, int] = {}

    def refs(self, sources: Iterable[str]) -> Refs:
        """The numbers of these sources, each once."""
        found = dict.fromkeys(sources)
        return tuple(sorted(self._numbers.setdefault(name, len(self._numbers) + 1) for name in found))

    def sentence(self, says: str, sources: Iterable[str]) -> Sentence:
        """A reason with the numbers of its sources."""
        return Sentence(says, self.refs(sources))

    def told(self) -> tuple[SourceTold, ...]:
        """The list for the end of the page."""
        return tuple(self._told(name, number) for name, number in self._numbers.items())

    def _told(self, name: str, number: int) -> SourceTold:
        page = self.base.sources[name]
        year = f"{page.year:.0f}" if page.year else None
        words = ", ".join(part for part in (page.author, page.title, page.place, year) if part)
        # Only the web is linked to: a link of any other kind could do something.
        link = page.url if page.url and page.url.lower().startswith(("https://", "http://")) else ""
        return SourceTold(number, words, SEEN[page.seen], link)
