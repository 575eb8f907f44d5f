"""What the pages lean on: the name of the rule base, its words with their numbers, sources, limits and topics."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, StringConstraints, model_validator

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
    """The version."""
    says: Texts
    """What it changed."""


class RuleBaseName(Item):
    """The name and version of a whole rule base; each case remembers the version it was judged with."""

    rule_base: Id
    """The name."""
    version: Version
    """Three numbers, such as `0.1.0`; raise it when you change a rule."""
    about: Text
    """What it covers."""
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


class GlossaryWord(RulePage):
    """A word that a beginner may not know, and what it means in a sentence."""

    word: Id
    """The name of the page."""
    called: Annotated[Texts, Field(min_length=1)]
    """The word as it is shown, then other spellings and short forms by which a person may ask for it."""
    whose: Literal["trade", "numbers", "ours"] = "trade"
    """`trade` where any book of winemaking uses it so, `numbers` for a word of reckoning, `ours` for one that this
    program uses in a sense of its own."""
    means: Text
    """What it means, in a sentence or two of plain words."""
    source: Sources = ()
    """Where you have it from; none where any book of the trade says so, or this program itself."""


class TakenOut(Item):
    """A page of the rules below that a cellar does not use, and why."""

    taken_out: Id
    """The name of the page."""
    kind: Word
    """Its kind, such as `fix`."""
    because: Text
    """Why it is not used."""


class WordTable(RulePage):
    """Words that carry a number, such as the strengths of evidence: one table, one place."""

    words: Id
    """The name of the table."""
    about: Text
    """What its numbers mean."""
    values: Mapping[Word, Number]
    """The words, each with its number."""
    because: Text
    """Why these numbers."""
    source: Sources
    """Where you have it from."""


class Source(RulePage):
    """Where a fact comes from. `seen` says whether it was read at the source or recalled."""

    source: Id
    """The name."""
    title: Text
    """The title."""
    author: Text | None = None
    """Who wrote it."""
    year: Number | None = None
    """When."""
    place: Text | None = None
    """Where in it: a page, a table, a section."""
    url: Text | None = None
    """Where it can be read."""
    seen: Literal["read", "quoted", "from_memory", "common_practice", "judgement"]
    """`read` (you read it), `quoted` (you read another text that quotes it), `from_memory`, `common_practice` or
    `judgement`."""
    note: Text | None = None
    """Anything a reader should know."""


class Law(RulePage):
    """Whose limits a person may choose to keep, by the word that limits name it with."""

    law: Id
    """The word that stands at the `jurisdiction` of its limits."""
    name: Text
    """Whose law it is, as people say it."""


class Limit(RulePage):
    """A legal or usual limit: dated, sourced, and open to be overridden by the person."""

    limit: Id
    """The name."""
    name: Text
    """What is limited."""
    value: Number
    """The figure."""
    unit: Text
    """Its unit."""
    jurisdiction: Word
    """Whose law, such as `us` or `eu`."""
    of: Word | None = None
    """A word for what is limited, the same in every law, such as `total_so2`: `diagnose calculate --limit
    total_so2` finds the limits of your law by it."""
    when: Condition | None = None
    """A condition: the wines it is for, by colour and sugar for example."""
    year_of_text: Number | None = None
    """The year of the text that was read."""
    source: Sources
    """Where you have it from."""
    note: Text | None = None
    """Anything a reader should know."""


class Instrument(RulePage):
    """How well the usual instrument of a small cellar knows a quantity: the spread that `about` stands for."""

    instrument: Id
    """The name."""
    name: Text
    """What it is called."""
    measures: Word
    """The quantity it measures; one instrument for each."""
    plus_minus: Number | None = None
    """The spread that holds nineteen readings out of twenty, in the first unit of the quantity."""
    percent: Number | None = None
    """The same as a share of the reading; where both are given the larger counts."""
    because: Text
    """Why so much."""
    source: Sources
    """Where you have it from."""

    @model_validator(mode="after")
    def _says_how_well(self) -> Instrument:
        if not (self.plus_minus or self.percent):
            raise ValueError("an instrument needs `plus_minus` or `percent`, above 0")
        return self


class Clash(RulePage):
    """Answers that cannot all be right. Both are kept; the person is told, and asked to measure again."""

    clash: Id
    """The name."""
    when: Condition
    """The condition that cannot be."""
    says: Text
    """What does not fit, in a sentence or two."""
    measure_again: Annotated[tuple[Id, ...], AsTuple]
    """The questions to ask again, the likelier slip first."""
    how: Text
    """How to find out which is right."""
    source: Sources
    """Where you have it from."""


class Gate(Item):
    """One thing that must be in order, as a state, and the tests that show whether it is."""

    state: Id
    """The state."""
    find_out: Ids = ()
    """The tests that show it."""


class Gates(RulePage):
    """What must all be in order before a step that cannot be taken back, and the state that sums it up."""

    gates: Id
    """The name."""
    name: Text
    """The head of the screen."""
    verdict: Id
    """The state that sums it up."""
    each: Annotated[tuple[Gate, ...], AsTuple]
    """The gates, in the order shown."""


class OpeningStep(Item):
    """A question that every consultation of the topic begins with."""

    observe: Id
    """The question."""
    when: Condition | None = None
    """A condition; the question is left out when it does not hold."""


class Topic(RulePage):
    """A kind of trouble a person comes with."""

    topic: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    complaint: Text
    """What a person with this trouble would say."""
    opening: Annotated[tuple[OpeningStep, ...], AsTuple]
    """The questions every consultation begins with, in order."""
    unknown_cause: Text
    """What it means when none of the causes fits."""
    how_common_unknown: Word
    """How common that is: a word of the table `how_common`."""
    if_unknown: Texts
    """What to do then."""
