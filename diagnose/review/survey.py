"""What every search for weaknesses needs of the rules: what a fact can be, who reads it, and what can be concluded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from diagnose.engine.compile import EngineRule, compile_rules
from diagnose.engine.facts import Fact
from diagnose.engine.truth import Branch, Leaf, branches
from diagnose.knowledge.conditions import Condition
from diagnose.knowledge.links.conditions import CONCLUDED, GIVEN
from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.knowledge.models.facts import Band, Observable, Observation, State
from diagnose.knowledge.problems import Place
from diagnose.knowledge.rule_base import RuleBase

from .algebra import Domain, Ways, can_hold


@dataclass(frozen=True)
class Met:
    """What a set of worked cases met: rows by cause and number, and fixes offered."""

    cases: int
    rows: frozenset[tuple[str, int]]
    fixes: frozenset[str]


@dataclass(frozen=True)
class Spoken:
    """One thing a row of evidence says: under which condition, and how strongly."""

    cause: str
    row: int
    answer: str
    ways: Ways
    weight: float
    about: str
    """The group it counts in; of a group only the strongest counts."""


@dataclass(frozen=True)
class Survey:
    """A rule base under one law, looked at as a whole."""

    base: RuleBase

    @cached_property
    def domains(self) -> Mapping[str, Domain]:
        """What each fact can be."""
        found: dict[str, Domain] = {}
        for observable in self.base.observables.values():
            found[observable.id] = _domain(observable)
        for name, words in self._standings():
            found[name] = Domain("word", words)
        found.update((name, Domain("word", words)) for name, words in self._given())
        return found

    def _given(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """What a case tells beside its answers: how a fix stands that was done."""
        pages = {"fix": self.base.fixes}
        for prefix, (kind, _, words) in GIVEN.items():
            yield from ((f"{prefix}.{name}", words) for name in pages[kind])

    def _standings(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """How causes can stand; one without a confirming finding is never confirmed, the unknown one neither."""
        words = CONCLUDED["cause"]
        yield "cause.unknown", words[:-1]
        for name, cause in self.base.causes.items():
            yield f"cause.{name}", words if cause.confirmed_by else words[:-1]

    @cached_property
    def rules(self) -> tuple[EngineRule, ...]:
        """Every page as rules."""
        return compile_rules(self.base)

    def place(self, kind: str, name: str, part: int | None = None) -> Place:
        """Where a page is written, or one of its rows or rules."""
        parts = (
            self.base.evidence_places.get(name, ())
            if kind == "cause"
            else self.base.rule_places.get((kind, name), ())
        )
        return parts[part] if part is not None and part < len(parts) else self.base.places[kind, name]

    def spoken(self, cause: str) -> Iterator[Spoken]:
        """Everything the rows of a cause say, answer by answer."""
        for number, row in enumerate(self.base.causes[cause].evidence):
            if row.observe is None:
                assert row.when is not None
                about = row.about or f"{cause}/{number}"
                weight = self.base.word("strength", str(row.weight))
                yield Spoken(cause, number, "", branches(row.when), weight, about)
            else:
                observable = self.base.observables[row.observe]
                about = row.about or observable.about or observable.id
                for answer, word in row.says.items():
                    ways = (answered(observable, answer),)
                    yield Spoken(cause, number, answer, ways, self.base.word("strength", word), about)

    @cached_property
    def leaves_read(self) -> Mapping[str, frozenset[Leaf]]:
        """For each fact, the tests of it in any condition; no test where it is only asked to be known."""
        found: dict[str, set[Leaf]] = {}
        for condition in conditions(self.base):
            for way in branches(condition):
                for name in (*way.known, *way.unknown):
                    found.setdefault(name, set())
                for leaf in way.tests:
                    found.setdefault(leaf.name, set()).add(leaf)
        return {name: frozenset(leaves) for name, leaves in found.items()}

    @cached_property
    def reach(self) -> Mapping[str, frozenset[str] | None]:
        """For each fact that can come about, its words; None for a number."""
        found: dict[str, frozenset[str] | None] = {
            name: None if page.kind == "number" else frozenset(page.answers)
            for name, page in self.base.observations.items()
        }
        found.update((name, frozenset(words)) for name, words in (*self._standings(), *self._given()))
        waiting = list(self.rules)
        while True:
            speaking = [rule for rule in waiting if any(self._reached(way, found) for way in rule.branches)]
            if not speaking:
                return found
            waiting = [rule for rule in waiting if rule not in speaking]
            for rule in speaking:
                for name, word in _concluded(rule, self.base):
                    words = found.get(name) or frozenset()
                    found[name] = None if word is None else words | {word}

    def _reached(self, way: Branch, reach: Mapping[str, frozenset[str] | None]) -> bool:
        return all(name in reach for name in way.names) and all(
            _passes(leaf, reach[leaf.name]) for leaf in way.tests
        )

    def reachable(self, ways: Ways) -> bool:
        """Whether a condition can come true with what can be answered and concluded."""
        return any(self._reached(way, self.reach) and can_hold([way], self.domains) for way in ways)


def conditions(base: RuleBase) -> Iterator[Condition]:
    """Every condition on any page."""
    written: list[Condition | None] = [page.ask_when for page in base.observations.values()]
    written += [rule.when for state in base.states.values() for rule in state.rules]
    written += [number.when for number in base.derived.values()]
    written += [row.when for cause in base.causes.values() for row in cause.evidence]
    written += [test.only_if for test in base.tests.values()]
    for fix in base.fixes.values():
        written += [fix.offer_when, *(never.when for never in fix.never_when)]
    written += [rule.when for rule in base.rules.values()]
    written += [page.when for page in base.limits.values()] + [page.when for page in base.clashes.values()]
    written += [step.when for topic in base.topics.values() for step in topic.opening]
    yield from (condition for condition in written if condition is not None)


def answered(observable: Observable, answer: str) -> Branch:
    """The condition that a fact has this answer; for a number, that it lies in this band."""
    bands: Mapping[str, Band] = {} if isinstance(observable, State) else observable.bands
    if bands:
        return Branch(tests=_in_band(observable.id, bands, answer), known=(observable.id,))
    several = isinstance(observable, Observation) and observable.kind == "several"
    return Branch(tests=(Leaf(observable.id, (("includes" if several else "is", answer),)),))


def _in_band(name: str, bands: Mapping[str, Band], answer: str) -> tuple[Leaf, ...]:
    parts: list[tuple[str, float]] = []
    starts = bands[answer].starts
    if starts is not None:
        parts.append(("at_least", starts))
    ends = next((bands[after].starts for before, after in pairwise(bands) if before == answer), None)
    if ends is not None:
        parts.append(("below", ends))
    return (Leaf(name, tuple(parts)),) if parts else ()


def _domain(observable: Observable) -> Domain:
    if isinstance(observable, State):
        return Domain("word", observable.answers)
    if not isinstance(observable, Observation):
        return Domain("number")
    if observable.kind == "number":
        assert observable.plausible is not None
        return Domain("number", (), (), *observable.plausible)
    if observable.kind == "several":
        return Domain("several", observable.answers, observable.standing_alone)
    return Domain("word", observable.answers)


def _passes(leaf: Leaf, words: frozenset[str] | None) -> bool:
    """Whether some word passes; ticked answers and numbers are left to the algebra."""
    if words is None or any(operator.startswith("includes") for operator, _ in leaf.parts):
        return True
    return any(leaf.passes(word) for word in words)


def _concluded(rule: EngineRule, base: RuleBase) -> Iterator[tuple[str, str | None]]:
    """What a rule can conclude: facts with their words, or with None for a number."""
    kind, name = rule.page
    if rule.id.startswith("band/"):
        yield from ((rule.concludes[0], answer) for answer in base.observables[name].answers)
    elif kind == "derive":
        yield name, None
    elif not rule.id.startswith("evidence/"):
        yield from ((fact.name, str(fact.value)) for fact in rule.conclude({}) if isinstance(fact, Fact))


def row_name(row: EvidenceRow, number: int) -> str:
    """What a row is called where a weakness is accepted: the question it reads, or its number."""
    return row.observe or f"row_{number + 1}"
