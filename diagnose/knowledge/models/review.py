"""What a mentor says about the rules themselves: who stands behind them, how a question should be worded, and
weaknesses left as they are."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import StringConstraints, model_validator

from ..base import PRINT_PATTERN, FactNames, Id, Item, Number, RulePage, Text, Texts, Word, mistake


class Review(Item):
    """Who stands behind a page or a row."""

    status: Literal["draft", "reviewed"]
    """`draft`, or `reviewed` once somebody who knows has read it."""
    by: Text | None = None
    """The initials of that person."""
    on: Text | None = None
    """The day."""
    of: Annotated[str, StringConstraints(pattern=PRINT_PATTERN)] | None = None
    """Eight signs that follow from what was reviewed; once it reads otherwise they no longer fit."""
    remark: Text | None = None
    """What the reader had to say about it."""

    @model_validator(mode="after")
    def _reviewed_names_someone(self) -> Review:
        if self.status == "reviewed" and not (self.by and self.on):
            what = "`reviewed` does not say by whom and when."
            raise mistake(what, "Add `by:` (initials) and `on:` (a date), or leave it a `draft`.", "status")
        return self


class Wording(RulePage):
    """How a question should be worded, so that a beginner can answer it. Several such items count together."""

    wording: Id
    """The name."""
    longest_question: Number | None = None
    """The most letters of a question, spaces included; a longer one loses its reader."""
    jargon: Texts = ()
    """Trade words and short forms that a beginner may not know."""
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
