"""What can be wrong: a cause with its evidence, its look-alikes, its confirmations and its cures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field, model_validator

from ..base import AsTuple, Id, Ids, Item, Sources, Text, Texts, Word, Words, mistake
from ..conditions import Condition
from .review import Review


class EvidenceRow(Item):
    """What one observation, or one combination of facts, says about a cause.

    Either `observe` with `says`, a strength word for each answer that speaks, or `when` with one `weight`.
    """

    observe: Id | None = None
    says: Mapping[Word, Word] = Field(default_factory=dict)
    when: Condition | None = None
    weight: Word | None = None
    because: Text
    source: Sources
    about: Id | None = None
    review: Review | None = None

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
    told_apart_by: Ids
    how: Text


class Finding(Item):
    """Answers to one observation or state that count as a confirmation."""

    observe: Id
    answers: Words


class Cure(Item):
    """A fix for a cause, and how well it works."""

    fix: Id
    how_well: Word
    because: Text


class Cause(Item):
    """One thing that can be wrong: a page a mentor can read."""

    cause: Id
    name: Text
    topic: Id
    summary: Text
    fault: Literal["yes", "no"] = "yes"
    """`no` where the wine is sound, such as a ferment that has simply finished."""
    how_common: Word
    common_because: Text
    common_source: Sources
    evidence: Annotated[tuple[EvidenceRow, ...], AsTuple]
    mimics: Annotated[tuple[Mimic, ...], AsTuple] = ()
    confirmed_by: Annotated[tuple[Finding, ...], AsTuple] = ()
    cured_by: Annotated[tuple[Cure, ...], AsTuple]
    prevention: Texts = ()
    review: Review
