"""What the pages lean on: the name of the rule base, its words with their numbers, sources, limits and topics."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import StringConstraints, model_validator

from ..base import VERSION_PATTERN, AsTuple, Id, Ids, Item, Number, Sources, Text, Texts, Word
from ..conditions import Condition


class RuleBaseName(Item):
    """The name and version of a whole rule base; each case remembers the version it was judged with."""

    rule_base: Id
    version: Annotated[str, StringConstraints(pattern=VERSION_PATTERN)]
    about: Text


class WordTable(Item):
    """Words that carry a number, such as the strengths of evidence: one table, one place."""

    words: Id
    about: Text
    values: Mapping[Word, Number]
    because: Text
    source: Sources


class Source(Item):
    """Where a fact comes from. `seen` says whether it was read at the source or recalled."""

    source: Id
    title: Text
    author: Text | None = None
    year: Number | None = None
    place: Text | None = None
    url: Text | None = None
    seen: Literal["read", "quoted", "from_memory", "common_practice", "judgement"]
    note: Text | None = None


class Limit(Item):
    """A legal or usual limit: dated, sourced, and open to be overridden by the person."""

    limit: Id
    name: Text
    value: Number
    unit: Text
    jurisdiction: Word
    of: Word | None = None
    when: Condition | None = None
    year_of_text: Number | None = None
    source: Sources
    note: Text | None = None


class Instrument(Item):
    """How well the usual instrument of a small cellar knows a quantity: the spread that `about` stands for."""

    instrument: Id
    name: Text
    measures: Word
    plus_minus: Number | None = None
    percent: Number | None = None
    because: Text
    source: Sources

    @model_validator(mode="after")
    def _says_how_well(self) -> Instrument:
        if not (self.plus_minus or self.percent):
            raise ValueError("an instrument needs `plus_minus` or `percent`, above 0")
        return self


class Clash(Item):
    """Answers that cannot all be right. Both are kept; the person is told, and asked to measure again."""

    clash: Id
    when: Condition
    says: Text
    measure_again: Annotated[tuple[Id, ...], AsTuple]
    how: Text
    source: Sources


class Gate(Item):
    """One thing that must be in order, as a state, and the tests that show whether it is."""

    state: Id
    find_out: Ids = ()


class Gates(Item):
    """What must all be in order before a step that cannot be taken back, and the state that sums it up."""

    gates: Id
    name: Text
    verdict: Id
    each: Annotated[tuple[Gate, ...], AsTuple]


class OpeningStep(Item):
    """A question that every consultation of the topic begins with."""

    observe: Id
    when: Condition | None = None


class Topic(Item):
    """A kind of trouble a person comes with."""

    topic: Id
    name: Text
    complaint: Text
    opening: Annotated[tuple[OpeningStep, ...], AsTuple]
    unknown_cause: Text
    how_common_unknown: Word
    if_unknown: Texts
