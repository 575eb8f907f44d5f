"""What can be wrong: a cause with its evidence, its look-alikes, its confirmations and its cures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field, model_validator

from ..base import AsTuple, Id, Ids, Item, RulePage, Sources, Text, Texts, Word, Words, mistake
from ..conditions import Condition
from .review import Review


class EvidenceRow(Item):
    """What one observation, or one combination of facts, says about a cause.

    Either `observe` with `says`, a strength word for each answer that speaks, or `when` with one `weight`.
    """

    observe: Id | None = None
    """A question, a state or a derived number with bands."""
    says: Mapping[Word, Word] = Field(default_factory=dict)
    """A strength for each answer that speaks; leave out the answers that say nothing."""
    when: Condition | None = None
    """Or a condition, for a combination."""
    weight: Word | None = None
    """The one strength of that combination."""
    because: Text
    """The reason, as a sentence a person can read."""
    source: Sources
    """Where you have it from."""
    about: Id | None = None
    """The group, if it is another than that of the question."""
    review: Review | None = None
    """Who stands behind this row."""

    @model_validator(mode="after")
    def _one_form(self) -> EvidenceRow:
        by_answer = self.observe is not None and bool(self.says) and not (self.when or self.weight)
        by_condition = self.when is not None and self.weight is not None and not (self.observe or self.says)
        if not (by_answer or by_condition):
            what = "this evidence row is not of one form."
            raise mistake(what, "Write either `observe` and `says`, or `when` and `weight`, and no others.")
        return self


class Mimic(Item):
    """A look-alike, and what tells the two apart."""

    cause: Id
    """The look-alike."""
    told_apart_by: Ids
    """The questions that part the two."""
    how: Text
    """How they part them."""


class Finding(Item):
    """Answers to one observation or state that count as a confirmation."""

    observe: Id
    """A question, a state or a derived number with bands."""
    answers: Words
    """The answers that confirm."""


class Cure(Item):
    """A fix for a cause, and how well it works."""

    fix: Id
    """The fix."""
    how_well: Word
    """A word of the table `how_well`."""
    because: Text
    """Why it helps with this cause."""


class Cause(RulePage):
    """One thing that can be wrong: a page a mentor can read."""

    cause: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    topic: Id
    """The topic it belongs to."""
    summary: Text
    """What it is and when it comes, and when it is not this."""
    fault: Literal["yes", "no"] = "yes"
    """`no` where the wine is sound, such as a ferment that has simply finished."""
    how_common: Word
    """A word of the table `how_common`."""
    common_because: Text
    """Why that word."""
    common_source: Sources
    """Where you have it from."""
    evidence: Annotated[tuple[EvidenceRow, ...], AsTuple]
    """Rows that speak for or against it."""
    mimics: Annotated[tuple[Mimic, ...], AsTuple] = ()
    """Its look-alikes."""
    confirmed_by: Annotated[tuple[Finding, ...], AsTuple] = ()
    """Findings that count as a confirmation."""
    cured_by: Annotated[tuple[Cure, ...], AsTuple]
    """The fixes for it."""
    prevention: Texts = ()
    """How to keep it from coming again."""
    review: Review
    """Who stands behind the page."""
