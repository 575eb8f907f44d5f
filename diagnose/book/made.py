"""The rules as a book. Nothing is concluded here; what stands on the pages is put into sentences and in order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from diagnose.judgement.judge import Cellar
from diagnose.knowledge.models.vocabulary import Topic
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.glossary import words_by_use
from diagnose.present.result import limit_words
from diagnose.report.citations import Citations
from diagnose.report.procedures import HARMS, Procedures
from diagnose.report.told import CautionTold
from diagnose.review.coverage import cases_of, coverage
from diagnose.review.trying import Tried
from diagnose.units import System

from .causes import CausePages, common_words, decibans
from .links import Linker, anchor
from .picture import draw_topic
from .reasoned import ReasonedPages
from .told import (
    Book,
    BookSource,
    CaseLine,
    Cases,
    CausePage,
    CauseSheet,
    CautionPage,
    CoveredTold,
    GlossaryTold,
    LimitPage,
    Piece,
    Pieces,
    TopicPage,
    WordsPage,
    WordTold,
)
from .work import WorkPages

KINDS = {
    "cause": "Causes (rows of evidence, confirmations)",
    "state": "States",
    "derive": "Numbers worked out",
    "observe": "Bands of numbers that are asked",
    "test": "Tests",
    "fix": "Fixes",
    "caution": "Cautions",
    "rule": "Free rules",
}
"""What the kinds of pages that rules are made of are called."""


def make_book(cellar: Cellar, tried: Sequence[Tried], units: System, today: date) -> Book:
    """The book of a rule base, with what these worked cases say of it; `today` is the day it is made."""
    base, links, citations = cellar.base, Linker(cellar.base), Citations(cellar.base)
    for name in sorted(base.sources):
        citations.refs([name])  # numbered by name, whatever page comes first
    worked = _Worked(cellar, tried, links)
    causes = CausePages(base, links, citations)
    work = WorkPages(links, Procedures(base, units, cellar.figures, citations), citations, worked.of)
    reasoned = ReasonedPages(links, citations, worked.of, units)
    words = {name: _words(base, citations, name) for name in base.words}
    return Book(
        title=f"The rule book of {base.edition}",
        about=base.name.about,
        made=today.isoformat(),
        law=cellar.law,
        counts=_counts(base),
        reviewed=_reviewed(base),
        strengths=words["strength"],
        topics=tuple(
            _topic(
                links,
                page,
                [causes.page(name, worked.of("cause", name)) for name in _causes_of(base, page.topic)],
            )
            for page in base.topics.values()
        ),
        tests=tuple(work.tests()),
        fixes=tuple(work.fixes()),
        never_done=tuple(work.never_done()),
        questions=tuple(reasoned.questions()),
        states=tuple(reasoned.states()),
        rules=tuple(reasoned.rules()),
        planning=tuple(reasoned.planning()),
        cautions=tuple(_cautions(links, citations)),
        limits=tuple(_limits(cellar, citations)),
        words=tuple(page for name, page in words.items() if name != "strength"),
        glossary=tuple(_glossary(base, citations)),
        covered=worked.covered(),
        cases=tuple(worked.lines()),
        sources=tuple(
            BookSource(told, name, base.sources[name].note or "")
            for told, name in zip(citations.told(), sorted(base.sources), strict=True)
        ),
    )


def make_cause_sheet(base: RuleBase, cause: str, today: date) -> CauseSheet:
    """One cause as a sheet to print."""
    citations = Citations(base)
    page = CausePages(base, Linker(base, linked=False), citations).page(cause, None)
    return CauseSheet(page.name, today.isoformat(), base.edition, page, citations.told())


class _Worked:
    """What the worked cases say of each page."""

    def __init__(self, cellar: Cellar, tried: Sequence[Tried], links: Linker) -> None:
        self.base, self.rules, self.links = cellar.base, cellar.rules, links
        self.tried = [item for item in tried if item.outcome is not None]
        self.count = cases_of(self.rules, {item.case: item.spoke for item in self.tried})
        self.likely: dict[str, list[str]] = {}
        for item in self.tried:
            for cause, word in item.outcome.firsts.values() if item.outcome else ():
                if word in ("likely", "confirmed"):
                    self.likely.setdefault(cause, []).append(item.case)

    def of(self, kind: str, name: str) -> Cases | None:
        """The cases of a page; None where no cases were tried, or where no rule is made of the page."""
        count = self.count.get(f"{kind}/{name}")
        if not self.tried or count is None:
            return None
        cases = self.likely.get(name, []) if kind == "cause" else []
        return Cases(count, len(self.tried), tuple(self._case(case) for case in cases))

    def _case(self, case: str) -> Piece:
        return Piece(case.replace("_", " "), self.links.to("case", case))

    def covered(self) -> tuple[CoveredTold, ...]:
        """The table of coverage; empty without cases."""
        if not self.tried:
            return ()
        return tuple(
            CoveredTold(
                KINDS.get(kind.kind, kind.kind),
                kind.rules,
                kind.spoke,
                f"{100 * kind.spoke / kind.rules:.0f} %",
                tuple(self._silent(dict.fromkeys(rule.page for rule in kind.silent))),
            )
            for kind in coverage(self.rules, [item.spoke for item in self.tried])
        )

    def _silent(self, pages: Iterable[tuple[str, str]]) -> Pieces:
        """Pages that have a rule that never spoke."""
        places = {"observe": "question", "derive": "number"}
        return tuple(
            Piece(name.replace("_", " "), self.links.to(places.get(kind, kind), name)) for kind, name in pages
        )

    def lines(self) -> Iterable[CaseLine]:
        """Every case in a line."""
        for item in self.tried:
            assert item.outcome is not None
            first, word = item.outcome.firsts[item.topic]
            topic = Piece(self.base.topics[item.topic].name, self.links.to("topic", item.topic))
            name = item.case.replace("_", " ")
            yield CaseLine(
                anchor("case", item.case), name, topic, self.links.cause(first), word, len(item.spoke)
            )


def _causes_of(base: RuleBase, topic: str) -> list[str]:
    return [name for name, cause in base.causes.items() if cause.topic == topic]


def _topic(links: Linker, page: Topic, causes: Sequence[CausePage]) -> TopicPage:
    return TopicPage(
        anchor=anchor("topic", page.topic),
        id=page.topic,
        name=page.name,
        complaint=page.complaint,
        opening=tuple(
            (links.finding(step.observe), links.sentence(step.when) if step.when else ())
            for step in page.opening
        ),
        causes=tuple(causes),
        unknown=page.unknown_cause,
        unknown_common=common_words(links.base, page.how_common_unknown),
        if_unknown=page.if_unknown,
        picture=draw_topic(links.base, page.topic),
    )


def _words(base: RuleBase, citations: Citations, name: str) -> WordsPage:
    table = base.words[name]
    signed = name == "strength"
    return WordsPage(
        anchor=anchor("words", name),
        id=name.replace("_", " "),
        about=table.about,
        values=tuple(
            (word.replace("_", " "), decibans(value) if signed else f"{value:g}")
            for word, value in table.values.items()
        ),
        because=citations.sentence(table.because, table.source),
    )


def _cautions(links: Linker, citations: Citations) -> Iterable[CautionPage]:
    base = links.base
    tests, fixes, rules = _stands(base)
    for name, page in base.cautions.items():
        yield CautionPage(
            anchor=anchor("caution", name),
            id=name,
            told=CautionTold(HARMS[page.harms], page.says),
            refs=citations.refs(page.source),
            stands=(
                *links.tests(tests.get(name, ())),
                *links.fixes(fixes.get(name, ())),
                *(
                    Piece(f"rule {rule.replace('_', ' ')}", links.to("rule", rule))
                    for rule in rules.get(name, ())
                ),
            ),
        )


def _stands(base: RuleBase) -> tuple[Mapping[str, Sequence[str]], ...]:
    """For each caution the tests, the fixes and the rules that show it."""
    tests: dict[str, list[str]] = {}
    fixes: dict[str, list[str]] = {}
    rules: dict[str, list[str]] = {}
    for found, pages in ((tests, base.tests), (fixes, base.fixes)):
        for name, page in pages.items():
            shown = {*page.cautions, *(caution for step in page.steps for caution in step.caution)}
            for caution in sorted(shown):
                found.setdefault(caution, []).append(name)
    for name, rule in base.rules.items():
        for caution in rule.warn:
            rules.setdefault(caution, []).append(name)
    return tests, fixes, rules


def _limits(cellar: Cellar, citations: Citations) -> Iterable[LimitPage]:
    for name, page in cellar.base.limits.items():
        yield LimitPage(
            anchor("limit", name),
            name,
            limit_words(page, cellar.figures.get(name)),
            page.note or "",
            citations.refs(page.source),
        )


def _glossary(base: RuleBase, citations: Citations) -> Iterable[GlossaryTold]:
    for whose, words in words_by_use(base):
        told = (
            WordTold(
                anchor("word", word.word), ", ".join(word.called), word.means, citations.refs(word.source)
            )
            for word in words
        )
        yield GlossaryTold(f"Words of {whose}", tuple(told))


def _counts(base: RuleBase) -> str:
    rows = sum(len(cause.evidence) for cause in base.causes.values())
    return (
        f"{len(base.causes)} causes with {rows} rows of evidence, {len(base.tests)} tests, {len(base.fixes)} fixes, "
        f"{len(base.observations)} questions, {len(base.states)} states, {len(base.rules)} free rules, "
        f"{len(base.cautions)} cautions, {len(base.limits)} limits, {len(base.sources)} sources."
    )


def _reviewed(base: RuleBase) -> str:
    done = sum(cause.review.status == "reviewed" for cause in base.causes.values())
    return f"{done} of {len(base.causes)} causes have been reviewed by a mentor; the others are drafts."
