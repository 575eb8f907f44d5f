"""What the pages lean on: the name of the rule base, its words with their numbers, sources, limits and topics."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import StringConstraints, model_validator

from ..base import (
    VERSION_PATTERN,
    AsTuple,
    Id,
    Ids,
    Item,
    Number,
    RulePage,
    Sources,
    Text,
    Texts,
    Word,
    mistake,
)
from ..conditions import Condition

Version = Annotated[str, StringConstraints(pattern=VERSION_PATTERN)]


class Changed(Item):
    """What one version of the rules changed for people."""

    version: Version
    says: Texts


class RuleBaseName(Item):
    """The name and version of a whole rule base; each case remembers the version it was judged with."""

    rule_base: Id
    version: Version
    about: Text
    changes: Annotated[tuple[Changed, ...], AsTuple] = ()
    """What changed, version by version, the newest first."""

    @property
    def edition(self) -> str:
        """Its name and version."""
        return f"{self.rule_base} {self.version}"

    @model_validator(mode="after")
    def _newest_change_is_this_version(self) -> RuleBaseName:
        told = [change.version for change in self.changes]
        if told and told[0] != self.version:
            what = f"the version is {self.version}, and the newest of the `changes` is {told[0]}."
            raise mistake(what, "Tell first what this version changes, or mend the version.", "changes")
        if any(_as_numbers(old) >= _as_numbers(new) for new, old in pairwise(told)):
            what = f"the `changes` do not stand in order: {', '.join(told)}."
            raise mistake(what, "Put the newest version first, and each one once.", "changes")
        return self


def _as_numbers(version: str) -> tuple[int, ...]:
    return tuple(int(part) for part in version.split("."))


class TakenOut(Item):
    """A page of the rules below that a cellar does not use, and why."""

    taken_out: Id
    kind: Word
    because: Text


class WordTable(RulePage):
    """Words that carry a number, such as the strengths of evidence: one table, one place."""

    words: Id
    about: Text
    values: Mapping[Word, Number]
    because: Text
    source: Sources


class Source(RulePage):
    """Where a fact comes from. `seen` says whether it was read at the source or recalled."""

    source: Id
    title: Text
    author: Text | None = None
    year: Number | None = None
    place: Text | None = None
    url: Text | None = None
    seen: Literal["read", "quoted", "from_memory", "common_practice", "judgement"]
    note: Text | None = None


class Limit(RulePage):
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


class Instrument(RulePage):
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


class Clash(RulePage):
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


class Gates(RulePage):
    """What must all be in order before a step that cannot be taken back, and the state that sums it up."""

    gates: Id
    name: Text
    verdict: Id
    each: Annotated[tuple[Gate, ...], AsTuple]


class OpeningStep(Item):
    """A question that every consultation of the topic begins with."""

    observe: Id
    when: Condition | None = None


class Topic(RulePage):
    """A kind of trouble a person comes with."""

    topic: Id
    name: Text
    complaint: Text
    opening: Annotated[tuple[OpeningStep, ...], AsTuple]
    unknown_cause: Text
    how_common_unknown: Word
    if_unknown: Texts
