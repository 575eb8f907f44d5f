"""What a mentor says about the rules themselves: how a question should be worded, and weaknesses left as they are."""

from __future__ import annotations

from ..base import FactNames, Id, Number, RulePage, Text, Texts, Word


class Wording(RulePage):
    """How a question should be worded, so that a beginner can answer it. Several such items count together."""

    wording: Id
    """The name."""
    longest_question: Number | None = None
    """The most letters of a question, spaces included; a longer one loses its reader."""
    jargon: Texts = ()
    """Trade words and short forms that a beginner may not know."""
    in_glossary: Texts = ()
    """Those of them that the glossary explains."""
    because: Text
    """Why so."""


class Accepted(RulePage):
    """Weaknesses of one kind that stay as they are, and why."""

    accepted: Id
    """The name."""
    weakness: Word
    """The kind of weakness."""
    pages: FactNames = ()
    """The pages it is accepted on, each as its kind and its name, such as `cause.oak_dust`; none for all pages."""
    part: Word | None = None
    """The row, answer or other page it is about; without it, all of that kind on these pages."""
    because: Text
    """Why it stays."""
