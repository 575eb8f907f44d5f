"""A cause as a page: its evidence in sentences, what looks like it, what confirms it, and what helps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from diagnose.engine.behind import confirming_tests
from diagnose.knowledge.models.causes import Cause, EvidenceRow
from diagnose.knowledge.models.review import Review
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.judgements import strength_words
from diagnose.present.words import answer_words, percent
from diagnose.report.citations import Citations

from .links import Linker, anchor
from .told import Cases, CausePage, Confirmation, MimicTold, Piece, Pieces, Reason, RowTold


class CausePages:
    """Writes causes out."""

    def __init__(self, base: RuleBase, links: Linker, citations: Citations) -> None:
        self.base, self.links, self.citations = base, links, citations

    def page(self, name: str, cases: Cases | None) -> CausePage:
        """One cause."""
        base, cause = self.base, self.base.causes[name]
        shared = Counter(group for row in cause.evidence if (group := self._group(row)))
        return CausePage(
            anchor=anchor("cause", name),
            name=cause.name,
            id=name,
            topic=Piece(base.topics[cause.topic].name, self.links.to("topic", cause.topic)),
            review=review_words(cause.review),
            sound=cause.fault == "no",
            summary=cause.summary,
            common=common_words(base, cause.how_common),
            common_because=self.citations.sentence(cause.common_because, cause.common_source),
            rows=tuple(self._row(row, shared) for row in cause.evidence),
            mimics=tuple(self._mimics(cause)),
            confirmed=tuple(self._confirmations(cause)),
            cures=tuple(self._cures(cause)),
            prevention=cause.prevention,
            cases=cases,
        )

    def _row(self, row: EvidenceRow, shared: Mapping[str, int]) -> RowTold:
        group, base = self._group(row), self.base
        if row.when is not None:
            found, weights = self.links.sentence(row.when), {"": str(row.weight)}
        else:
            found, weights = (self.links.finding(str(row.observe)),), dict(row.says)
        return RowTold(
            found=found,
            speaks=tuple(
                (
                    f"“{answer_words(base, str(row.observe), answer)}”" if answer else "",
                    strength_words(word),
                    decibans(base.word("strength", word)),
                )
                for answer, word in weights.items()
            ),
            because=self.citations.sentence(row.because, row.source),
            with_others=group.replace("_", " ") if shared.get(group, 0) > 1 else "",
        )

    def _group(self, row: EvidenceRow) -> str:
        """The group a row is counted in; rows without one answer the same question or stand alone."""
        if row.about:
            return row.about
        observable = self.base.observables.get(row.observe) if row.observe else None
        return (observable.about or "") if observable else ""

    def _mimics(self, cause: Cause) -> list[MimicTold]:
        return [
            MimicTold(self.links.cause(mimic.cause), mimic.how, self.links.facts(mimic.told_apart_by))
            for mimic in cause.mimics
        ]

    def _confirmations(self, cause: Cause) -> list[Confirmation]:
        found = []
        for finding in cause.confirmed_by:
            answers = " or ".join(
                f"“{answer_words(self.base, finding.observe, answer)}”" for answer in finding.answers
            )
            says: Pieces = (self.links.finding(finding.observe), Piece(f": {answers}"))
            found.append(Confirmation(says, self.links.tests(confirming_tests(self.base, finding))))
        return found

    def _cures(self, cause: Cause) -> list[Reason]:
        return [
            Reason(
                self.links.fixes([cure.fix])[0],
                f"helps {cure.how_well} ({percent(self.base.word('how_well', cure.how_well))} of the trouble)",
                self.citations.sentence(cure.because, ()),
            )
            for cure in cause.cured_by
        ]


def decibans(value: float) -> str:
    """A strength in figures, with its sign."""
    return f"{value:+g}".replace("-", "−")


def common_words(base: RuleBase, word: str) -> str:
    """How common a cause is, in a word and a figure."""
    said = (
        f"{word.replace('_', ' ')} (about {percent(base.word('how_common', word))} before anything is asked)"
    )
    return said[:1].upper() + said[1:]


def review_words(review: Review) -> str:
    """Who stands behind a page."""
    if review.status == "reviewed":
        return f"Reviewed by {review.by}, {review.on}."
    return "A draft: no mentor has reviewed this page yet."
