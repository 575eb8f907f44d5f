"""Published facts, graded by a second reader, held against the evidence rows of our pages.

A grade says what one finding says about one cause. The fact behind it has the source named in its row; the grade itself
is a judgement, as our strengths are. Each subject has its grades in a file `grades_*.py`.

How a grade and our page are held to agree, by the sum of our strengths for that finding, in decibans (of a
group only the strongest for and the strongest against count):

confirms    13 or more, which is `strongly_for`; or the finding stands in `confirmed_by` and speaks for the cause
supports    above 0, with no row that says `confirms`, and the finding does not stand in `confirmed_by`
neutral     within 3 of 0, which is the slightest word
against     below 0, with no row that says `excludes`
rules_out   -13 or less, which is `strongly_against`
"""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Evidence, Fact, Facts
from diagnose.judgement.judge import Cellar
from diagnose.reasoning.standing import confirming

EFFECTS = ("confirms", "supports", "neutral", "against", "rules_out")


class Grade(NamedTuple):
    """What a finding says about a cause, in the words of the second reader."""

    cause: str
    """Our cause."""
    finding: Mapping[str, Any]
    """Our questions, and the answers that come nearest to the reader's words."""
    grade: str
    """One of `EFFECTS`."""
    source: str
    """Where the fact behind the grade was read; `no source` when the reader had none."""
    beside: Mapping[str, Any] = {}
    """What is known already, where the reader's cause is only a part of ours; what it says by itself is taken off."""


@dataclass(frozen=True)
class Matrix:
    """The grades of one subject, and where our pages say otherwise."""

    title: str
    topic: str
    grades: Mapping[str, Grade]
    disagreements: Mapping[str, str]
    """Graded rows where our page says otherwise, each with the reason."""
    not_compared: Mapping[str, str]
    """Rows of the reader that cannot be put in our questions and causes, each with the reason."""


class Ours(NamedTuple):
    """What our page says about a finding."""

    decibans: float
    words: frozenset[str]
    """The strengths of the rows that speak."""
    confirming: bool
    """Whether the finding stands in the list `confirmed_by` of the page."""

    def agrees(self, grade: str) -> bool:
        """Whether this is what the grade says; see the head of this file."""
        return {
            "confirms": self.decibans >= 13 or (self.confirming and self.decibans > 0),
            "supports": self.decibans > 0 and "confirms" not in self.words and not self.confirming,
            "neutral": abs(self.decibans) <= 3,
            "against": self.decibans < 0 and "excludes" not in self.words,
            "rules_out": self.decibans <= -13,
        }[grade]

    def __str__(self) -> str:
        """The weight with its sign, and whether it confirms."""
        if not self.words:
            return "no row"
        return f"{self.decibans:+.0f} dB" + (", confirms" if self.confirming else "")


def ours(cellar: Cellar, topic: str, row: Grade) -> Ours:
    """What our page says about this finding: in each group the strongest for and the strongest against."""
    base = cellar.base
    before, _ = _evidence(cellar, topic, row.cause, row.beside)
    after, facts = _evidence(cellar, topic, row.cause, {**row.beside, **row.finding})
    return Ours(
        _decibans(cellar, after) - _decibans(cellar, before),
        frozenset(item.strength for item in after - before),
        bool(confirming(base, base.causes[row.cause], facts)),
    )


def facts_of(cellar: Cellar, found: Mapping[str, Any]) -> list[Fact]:
    """Findings as written in a table, answered as a person would."""
    asked = cellar.base.observations
    return [Fact(name, read_answer(asked[name], told, "metric")) for name, told in found.items()]


def _evidence(
    cellar: Cellar, topic: str, cause: str, found: Mapping[str, Any]
) -> tuple[frozenset[Evidence], Facts]:
    """What these findings say about a cause, and the facts that follow from them."""
    trace = cellar.chain.start(facts_of(cellar, found))
    return frozenset(item for item in trace.evidence if item.cause == cause), trace.facts


def _decibans(cellar: Cellar, rows: frozenset[Evidence]) -> float:
    groups: dict[str, list[float]] = {}
    for item in rows:
        groups.setdefault(item.about, []).append(cellar.base.word("strength", item.strength))
    return sum(max(0.0, *told) + min(0.0, *told) for told in groups.values())


@cache
def all_matrices() -> Mapping[str, Matrix]:
    """The matrix of every subject, by the name of its file."""
    names = sorted(file.stem for file in Path(__file__).parent.glob("grades_*.py"))
    return {name.removeprefix("grades_"): importlib.import_module(name).MATRIX for name in names}
