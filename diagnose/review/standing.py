"""Which rows of evidence, tests and fixes somebody stands behind, and which have changed since."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from diagnose.engine.behind import confirming_tests
from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.knowledge.models.review import Review
from diagnose.knowledge.models.treatments import BenchTest, Fix
from diagnose.knowledge.problems import Place
from diagnose.knowledge.rule_base import RuleBase

Reviewed: TypeAlias = "EvidenceRow | BenchTest | Fix"
Standing = Literal["draft", "changed", "reviewed"]


@dataclass(frozen=True)
class Card:
    """Something a mentor reads and accepts, or does not: a row of a cause, a test or a fix."""

    kind: Literal["cause", "test", "fix"]
    page: str
    row: int | None
    """Which row of the cause, counted from nought."""
    item: Reviewed
    topics: frozenset[str]
    """The subjects it belongs to; none where no cause leads to it."""
    place: Place

    @property
    def print(self) -> str:
        """The eight signs of what it says now."""
        return print_of(self.kind, self.page, self.item)

    @property
    def review(self) -> Review | None:
        """What is written of its review."""
        return self.item.review

    @property
    def standing(self) -> Standing:
        """`changed` where it was reviewed and reads otherwise today; that counts as a draft."""
        if self.review is None or self.review.status == "draft":
            return "draft"
        return "reviewed" if self.review.of == self.print else "changed"


def print_of(kind: str, page: str, item: Reviewed) -> str:
    """Eight signs that follow from what an item says. New words, strengths or sources give others; new line breaks
    and remarks do not."""
    said = item.model_dump(mode="json", by_alias=True, exclude={"review"}, exclude_defaults=True)
    plain = json.dumps([kind, page, said], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(plain.encode()).hexdigest()[:8]


def cards(base: RuleBase) -> tuple[Card, ...]:
    """All cards in the order of the rules: the rows of the causes, then tests, then fixes."""
    tests, fixes = _topics_of_tests(base), _topics_of_fixes(base)
    return (
        *_rows(base),
        *(
            Card("test", name, None, test, tests.get(name, frozenset()), base.places["test", name])
            for name, test in base.tests.items()
        ),
        *(
            Card("fix", name, None, fix, fixes.get(name, frozenset()), base.places["fix", name])
            for name, fix in base.fixes.items()
        ),
    )


def _rows(base: RuleBase) -> Iterator[Card]:
    for name, cause in base.causes.items():
        places = base.evidence_places[name]
        for number, (row, place) in enumerate(zip(cause.evidence, places, strict=True)):
            yield Card("cause", name, number, row, frozenset({cause.topic}), place)


def _topics_of_tests(base: RuleBase) -> Mapping[str, frozenset[str]]:
    found: dict[str, frozenset[str]] = {}
    for cause in base.causes.values():
        for finding in cause.confirmed_by:
            for test in confirming_tests(base, finding):
                found[test] = found.get(test, frozenset()) | {cause.topic}
    return found


def _topics_of_fixes(base: RuleBase) -> Mapping[str, frozenset[str]]:
    found: dict[str, frozenset[str]] = {}
    for cause in base.causes.values():
        for cure in cause.cured_by:
            found[cure.fix] = found.get(cure.fix, frozenset()) | {cause.topic}
    return found
