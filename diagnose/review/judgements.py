"""Which rows of evidence no text stands behind, so that a mentor knows where to look first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from diagnose.knowledge.models.causes import Cause, EvidenceRow
from diagnose.knowledge.problems import Place
from diagnose.knowledge.rule_base import RuleBase

TEXTS = frozenset({"read", "quoted"})
"""What `seen` says of a source that is a text: somebody can look it up."""


class RestsOn(Enum):
    """What a row rests on that is not a text."""

    JUDGEMENT = "judgement"
    """Somebody's judgement, and no text."""
    TRADE = "trade"
    """Common practice or memory, and no text."""
    PARTLY = "partly"
    """A text, and beside it judgement, common practice or memory."""


@dataclass(frozen=True)
class RowWithoutText:
    """A row of evidence that does not rest on texts alone."""

    cause: str
    row: EvidenceRow
    place: Place
    rests_on: RestsOn
    other_than_texts: tuple[str, ...]
    """Its sources that are no texts."""


@dataclass(frozen=True)
class TopicCount:
    """How many rows of evidence a topic has, and how many of them rest on what."""

    rows: int
    resting: Mapping[RestsOn, int]

    @property
    def on_texts(self) -> int:
        """Rows that rest on texts alone."""
        return self.rows - sum(self.resting.values())


def rests_on(base: RuleBase, row: EvidenceRow) -> RestsOn | None:
    """What the row rests on that is not a text; nothing when it rests on texts alone."""
    seen = {base.sources[source].seen for source in row.source}
    if seen <= TEXTS:
        return None
    if seen & TEXTS:
        return RestsOn.PARTLY
    return RestsOn.JUDGEMENT if "judgement" in seen else RestsOn.TRADE


def rows_without_text(base: RuleBase) -> Mapping[str, Mapping[str, tuple[RowWithoutText, ...]]]:
    """By topic and cause, in the order of the rules, the rows that do not rest on texts alone."""
    found: dict[str, dict[str, tuple[RowWithoutText, ...]]] = {topic: {} for topic in base.topics}
    for name, cause in base.causes.items():
        rows = _rows(base, cause)
        if rows:
            found[cause.topic][name] = rows
    return {topic: causes for topic, causes in found.items() if causes}


def _rows(base: RuleBase, cause: Cause) -> tuple[RowWithoutText, ...]:
    places = base.evidence_places[cause.cause]
    return tuple(
        RowWithoutText(
            cause.cause,
            row,
            place,
            kind,
            tuple(source for source in row.source if base.sources[source].seen not in TEXTS),
        )
        for row, place in zip(cause.evidence, places, strict=True)
        if (kind := rests_on(base, row))
    )


def counts(base: RuleBase) -> Mapping[str, TopicCount]:
    """For each topic with causes, how many rows it has and what they rest on."""
    rows: Counter[str] = Counter()
    resting: dict[str, Counter[RestsOn]] = {}
    for cause in base.causes.values():
        rows[cause.topic] += len(cause.evidence)
        kinds = (rests_on(base, row) for row in cause.evidence)
        resting.setdefault(cause.topic, Counter()).update(kind for kind in kinds if kind)
    return {topic: TopicCount(rows[topic], resting[topic]) for topic in base.topics if topic in resting}


def counts_by_source(base: RuleBase) -> Mapping[str, int]:
    """For each source that is no text, the rows that name it, most first."""
    found = Counter(
        source
        for cause in base.causes.values()
        for row in cause.evidence
        for source in row.source
        if base.sources[source].seen not in TEXTS
    )
    return dict(found.most_common())
