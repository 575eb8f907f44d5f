"""What a person's words suggest: subjects, findings and readings, with what was not taken and why."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from diagnose.casebook.answers import NotAnAnswer, Units, read_answer, show_answer
from diagnose.engine.facts import Value
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.plain_text import spoken

from .phrases import Match, Phrasebook
from .readings import Gauge, Numbers
from .words import LONGEST, plain, tokens

ALSO = 0.25
"""A subject is suggested beside the first one from this share of its score."""

LONGEST_TITLE = 80
"""Characters of a question's name."""

_SIGNS = ":="
_CLAUSES = re.compile(r"[.;,\n]")


@dataclass(frozen=True)
class Finding:
    """An answer that was heard. `sure` is false where only a unit or the look of a number told the question."""

    observe: str
    value: Value
    words: str
    score: float
    sure: bool = True


@dataclass(frozen=True)
class Heard:
    """What a text suggests. Nothing of it is an answer before the person has said so."""

    topics: tuple[str, ...] = ()
    """The likeliest first."""
    findings: tuple[Finding, ...] = ()
    """In the order of the questions of the rule base."""
    remarks: tuple[str, ...] = ()
    """Sentences about what was not taken."""

    @property
    def anything(self) -> bool:
        """Whether there is something to confirm."""
        return bool(self.topics or self.findings)


class Ear:
    """Listens with the vocabulary of a rule base."""

    def __init__(self, base: RuleBase) -> None:
        self._base = base
        entries, small = list(base.heard.values()), list(base.small_words.values())
        self._book = Phrasebook((entry for entry in entries if not entry.names or entry.topics), small)
        self._gauge = Gauge(base.observations, entries, small)
        self._titles: dict[str, str] = {}
        for name, observation in base.observations.items():
            if observation.kind != "number":
                self._titles.setdefault(spoken(observation.short), name)
                self._titles.setdefault(spoken(name.replace("_", " ")), name)
        for entry in entries:
            if entry.names and base.observations[entry.names].kind != "number":
                self._titles |= {spoken(says): entry.names for says in entry.phrases}

    def hear(self, text: str, units: Units) -> Heard:
        """What a complaint in a person's own words suggests. Deterministic; longer texts are cut, and it says so."""
        said, cut = plain(text)
        marks = tokens(said)
        numbers = self._gauge.read(said, marks, units)
        matches = self._book.matches(marks)
        titled = [one for clause in _CLAUSES.split(said) if (one := self._titled(clause, units, marked=True))]
        heard = [*titled, *self._of_matches(matches), *_of_numbers(numbers)]
        findings, remarks = self._settle(heard, units)
        return Heard(
            _subjects(_beside(matches, numbers), list(self._base.topics)),
            findings,
            (*_too_long(cut), *remarks, *_about(numbers)),
        )

    def note(self, text: str, units: Units) -> Heard:
        """Readings, or a question named with its answer, as typed at a question. No subject is heard in them."""
        said, cut = plain(text)
        titled = self._titled(said, units)
        if titled is not None:
            return Heard(findings=(titled,))
        numbers = self._gauge.read(said, tokens(said), units)
        if not numbers.readings and not numbers.refused:
            return Heard()
        findings, remarks = self._settle(_of_numbers(numbers), units)
        return Heard((), findings, (*_too_long(cut), *remarks, *_about(numbers)))

    def _titled(self, text: str, units: Units, marked: bool = False) -> Finding | None:
        """A question that takes words, called by its name and answered: `colour: red`. `marked` asks for the sign."""
        line = " ".join(text.split())
        for end in range(min(len(line), LONGEST_TITLE), 0, -1):
            rest = line[end:].lstrip(_SIGNS + " ")
            if line[end : end + 1] in (_SIGNS if marked else _SIGNS + " ") and rest:
                name = self._titles.get(spoken(line[:end]))
                if name is not None:
                    try:
                        return Finding(
                            name, read_answer(self._base.observations[name], rest, units), line, 100
                        )
                    except NotAnAnswer:
                        return None
        return None

    def _of_matches(self, matches: Iterable[Match]) -> Iterable[Finding]:
        for match in matches:
            for name, answers in match.means.findings.items() if match.means else ():
                several = self._base.observations[name].kind == "several"
                value: Value = frozenset(answers) if several else answers[0]
                yield Finding(name, value, match.phrase, match.score)

    def _settle(self, heard: Iterable[Finding], units: Units) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
        """One answer for each question: ticks are joined; answers that differ are not taken, and it is said."""
        by_question: dict[str, list[Finding]] = {}
        for finding in heard:
            by_question.setdefault(finding.observe, []).append(finding)
        kept: list[Finding] = []
        remarks: list[str] = []
        for name, observation in self._base.observations.items():
            found = by_question.get(name, [])
            if not found:
                continue
            one = _joined(observation, found)
            if one is not None:
                kept.append(one)
                continue
            said = list(dict.fromkeys(show_answer(observation, each.value, units) for each in found))
            remarks.append(
                f"Two answers for {observation.short} were heard, so none is taken: {'; '.join(said)}."
            )
        return tuple(kept), tuple(remarks)


def _joined(observation: Observation, found: list[Finding]) -> Finding | None:
    """The one answer of several heard; None where they differ."""
    best = max(found, key=lambda each: (each.sure, each.score))
    values = {each.value for each in found}
    if len(values) == 1:
        return best
    if observation.kind != "several":
        return None
    ticks: frozenset[str] = frozenset().union(
        *(each.value for each in found if isinstance(each.value, frozenset))
    )
    ticks -= frozenset(observation.standing_alone)
    words = ", ".join(dict.fromkeys(each.words for each in found))
    return Finding(observation.observe, ticks, words, min(each.score for each in found)) if ticks else None


def _of_numbers(numbers: Numbers) -> list[Finding]:
    return [Finding(one.observe, one.value, one.words, 100, one.named) for one in numbers.readings]


def _beside(matches: list[Match], numbers: Numbers) -> list[Match]:
    """The clear phrases that are no mere name of a reading; the others only where there is nothing better."""
    free = [match for match in matches if not numbers.used.issuperset(range(match.start, match.end))]
    clear = [match for match in free if not match.entry.vague]
    return next((some for some in (clear, free) if _suggests(some)), matches)


def _suggests(matches: Iterable[Match]) -> bool:
    return any(match.means and match.means.topics for match in matches)


def _subjects(matches: Iterable[Match], order: list[str]) -> tuple[str, ...]:
    """The subjects by how much of what was said speaks for them; what can hurt people goes first."""
    scores: dict[str, float] = {}
    urgent: set[str] = set()
    told: set[tuple[str, str]] = set()
    for match in matches:
        for place, topic in enumerate(match.means.topics if match.means else ()):
            if (match.entry.heard, topic) in told:
                continue  # the same thing said twice is not said twice as strongly
            told.add((match.entry.heard, topic))
            scores[topic] = scores.get(topic, 0) + _weight(match) / (place + 1)
            if match.entry.first and not match.turned:
                urgent.add(topic)
    if not scores:
        return ()
    ranked = sorted(scores, key=lambda topic: (topic not in urgent, -scores[topic], order.index(topic)))
    least = ALSO * max(scores.values())
    return tuple(topic for topic in ranked if topic in urgent or scores[topic] >= least)


def _weight(match: Match) -> float:
    """A longer phrase says more than a single word."""
    return match.score * (1 + (match.length - 1) / 4)


def _about(numbers: Numbers) -> Iterable[str]:
    yield from dict.fromkeys(numbers.refused)
    if numbers.untaken:
        listed = ", ".join(dict.fromkeys(numbers.untaken))
        yield f"Not taken, since nothing says what it measures: {listed}."


def _too_long(cut: bool) -> Iterable[str]:
    if cut:
        yield f"Only the first {LONGEST:,} characters were read."


def plain_finding(base: RuleBase, finding: Finding, units: Units) -> str:
    """A finding as a short line: the question and the answer."""
    observation = base.observations[finding.observe]
    return f"{observation.short}: {show_answer(observation, finding.value, units)}"
