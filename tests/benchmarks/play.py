"""The one door through which the benchmarks reach the program: a rule base made ready, and consultations on it.

When the program's own calls change, only this module must follow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from diagnose.casebook.in_memory import InMemory
from diagnose.casebook.models import CaseFile
from diagnose.casebook.store import load_case
from diagnose.engine.chain import Chain
from diagnose.engine.facts import Evidence, Fact, Facts, Value
from diagnose.interview.session import Consultation
from diagnose.judgement.judge import Cellar, judge, opened
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.findings import findings, normal_chance, normal_weights, priors
from diagnose.reasoning.questions import cost_of, may_be_asked
from diagnose.reasoning.weigh import MOST_AT_ONCE, UNKNOWN, weigh
from diagnose.shipped import shipped_folder

__all__ = ["MOST_AT_ONCE", "UNKNOWN", "Known", "Play", "Rules", "Value", "shipped", "worked_cases"]

Standings = tuple[tuple[str, float], ...]
"""Causes with their chances, most likely first."""


@dataclass(frozen=True)
class Known:
    """What follows from some answers: facts and evidence."""

    facts: Facts
    evidence: frozenset[Evidence]


class Rules:
    """A rule base made ready, with what the simulated people and the strategies need to know of it."""

    def __init__(self, base: RuleBase) -> None:
        self.base = base
        self.cellar = Cellar(base)

    @property
    def topics(self) -> tuple[str, ...]:
        """Every kind of trouble."""
        return tuple(self.base.topics)

    def _chain(self, topic: str) -> Chain:
        return self.cellar.ahead((topic,))

    def observation(self, name: str) -> Observation:
        """The page of a question."""
        return self.base.observations[name]

    @cached_property
    def _questions(self) -> dict[str, tuple[str, ...]]:
        found = {}
        for topic in self.topics:
            ours = {f"evidence.{cause}" for cause in priors(self.base, topic)}
            chain = self._chain(topic)
            found[topic] = tuple(
                name
                for name in self.base.observations
                if any(ours.intersection(rule.concludes) for rule in chain.downstream(name))
            )
        return found

    def questions(self, topic: str) -> tuple[str, ...]:
        """Every question whose answer can speak for or against a cause of the topic, in the order of the files."""
        return self._questions[topic]

    def sets(self, topic: str) -> tuple[tuple[tuple[str, ...], float], ...]:
        """Every set of causes with its chance before anything is asked."""
        return weigh(priors(self.base, topic), ()).sets

    def normally(self, name: str) -> Mapping[str, float]:
        """For each answer of a question its weight in a sound wine."""
        return normal_weights(self.base, self.observation(name))

    @cache  # noqa: B019  (a rule base lives as long as the process)
    def normal(self, finding: str, answer: str) -> float:
        """The chance of an answer in a sound wine."""
        return normal_chance(self.base, finding, answer)

    def says_nothing(self, finding: str, answer: str) -> bool:
        """Whether an answer means that nothing was found."""
        page = self.base.observables.get(finding)
        return page is not None and answer in page.nothing_answers

    def decibans(self, item: Evidence) -> float:
        """The strength of a piece of evidence as a number."""
        return self.base.word("strength", item.strength)

    def cost(self, name: str) -> tuple[float, str | None]:
        """Minutes an answer costs, waiting counted in part, and the test that yields it."""
        return cost_of(self.base, self.observation(name))

    @property
    def attention(self) -> float:
        """Minutes that any question costs besides."""
        return self.base.word("asking", "a_question")

    def known(self, topic: str, answers: Mapping[str, Value]) -> Known:
        """What follows from these answers."""
        return Known(*self._chain(topic).run(Fact(name, value) for name, value in answers.items()))

    def evidence_if(self, topic: str, known: Known, name: str, value: Value) -> frozenset[Evidence]:
        """The evidence there would be if this were answered too."""
        change = self._chain(topic).change(known.facts, known.evidence, Fact(name, value))
        return (known.evidence - change.lost) | change.gained

    def may_ask(self, name: str, known: Known) -> bool:
        """Whether a question makes sense with what is known."""
        return may_be_asked(self.observation(name), known.facts)

    def standings(self, topic: str, known: Known) -> Standings:
        """The chances on what is known, without a plan."""
        before = priors(self.base, topic)
        return tuple(weigh(before, findings(self.base, known.evidence, before)).chances.items())

    def causes(self, topic: str) -> tuple[str, ...]:
        """Every cause of the topic, the unknown one included."""
        return tuple(priors(self.base, topic))

    def ratios_alone(self, topic: str, known: Known) -> dict[str, float]:
        """For each cause alone, how many times more often what is known is met than with none, by the program."""
        before = priors(self.base, topic)
        cells = weigh(before, findings(self.base, known.evidence, before)).cells
        return {cause: math.prod(cell.ratio((cause,)) for cell in cells) for cause in before}

    def opened(self, topic: str, answers: Mapping[str, Value]) -> tuple[str, ...]:
        """The other topics that these answers open."""
        facts = self.cellar.chain.start(Fact(name, value) for name, value in answers.items()).facts
        return tuple(other for other in opened(self.base, facts) if other != topic)

    def judged(self, topic: str, answers: Mapping[str, Value]) -> tuple[Standings, str | None]:
        """The whole judgement on these answers: the standings, and the fix advised first."""
        facts = [Fact(name, value) for name, value in answers.items()]
        found = judge(self.cellar, topic, facts, machine="chain")
        first = found.plan.steps[0].fix if found.plan.steps else None
        return tuple((standing.cause, standing.chance) for standing in found.of(topic)), first


class Play:
    """One consultation, as a person would have it, with nothing on the disk."""

    def __init__(self, rules: Rules, topic: str) -> None:
        case = CaseFile.model_validate({"case": "played", "title": "Played", "topic": topic})
        self._talk = Consultation(rules.cellar, InMemory(case))

    def next_question(self) -> str | None:
        """The question asked now; None when nothing is worth asking."""
        question = self._talk.next_question()
        return question.observation.observe if question else None

    def make_ready(self) -> None:
        """What the program does while a person reads the first question."""
        self._talk.make_ready()

    def answer(self, name: str, value: Value | None) -> None:
        """Answer a question; None is *don't know*."""
        question = self._talk.question_about(name)
        if value is None:
            self._talk.skip(question)
        else:
            written: Any = sorted(value) if isinstance(value, frozenset) else value
            self._talk.answer(question, written)

    def standings(self) -> Standings:
        """Causes with their chances, most likely first."""
        judged = self._talk.judged
        return tuple((standing.cause, standing.chance) for standing in judged.of(judged.topics[0]))

    def advice(self) -> str | None:
        """The fix advised first."""
        steps = self._talk.judged.plan.steps
        return steps[0].fix if steps else None

    def expected_gain(self, name: str) -> float | None:
        """What the question asked now was expected to tell, in bits; None when it was not chosen for that."""
        question = self._talk.next_question()
        if question is None or question.reason != "telling":
            return None
        return next((found.gain for found in self._talk.candidates if found.observation == name), None)


@cache
def shipped() -> Rules:
    """The shipped rules, made ready once in a process."""
    return Rules(read_rule_base([shipped_folder("rules")]))


@dataclass(frozen=True)
class WorkedCase:
    """A worked case: its answers, and the cause it must have first."""

    name: str
    topic: str
    answers: Mapping[str, Value]
    first_cause: str


def worked_cases(rules: Rules) -> list[WorkedCase]:
    """Every worked case that names its first cause."""
    found = []
    for file in sorted(Path(shipped_folder("cases")).rglob("*.yaml")):
        case, state = load_case(file, rules.base)
        if case.expect and case.expect.first_cause:
            found.append(WorkedCase(case.case, case.topic, dict(state.answers), case.expect.first_cause))
    return found
