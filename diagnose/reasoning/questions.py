"""Which question tells most for the least effort, and when enough is known.

The gain of a question is the expected fall in doubt about what to do, in bits. It is divided by the minutes of work
the answer costs plus a constant for the attention any question takes. Causes that the same treatment helps best are
not told apart. In a topic where what to do is likely already, only questions that could still change how a cause
stands are asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from diagnose.engine.chain import Chain
from diagnose.engine.facts import Evidence, Facts, Value
from diagnose.engine.truth import Truth, branches, judge
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase

from .decisions import Decisions
from .foretell import Foretold, Outlook, inside, sample_answers
from .weigh import Weighing

LEAST_LIKELY = 0.01
"""Answers less likely than this are not worth a question, nor worth naming."""


@dataclass(frozen=True)
class AnswerEffect:
    """What one possible answer would do: how likely it is, and in each topic it moves the chances after it."""

    answer: str
    likely: float
    chances: Mapping[str, Mapping[str, float]]


@dataclass(frozen=True)
class Candidate:
    """A question that could be asked now."""

    observation: str
    gain: float
    """Expected fall in doubt about what to do, in bits, over all topics."""
    cost: float
    """Minutes of work, waiting counted in part."""
    worth: float
    """Gain for each minute, attention included."""
    test: str | None
    """The test that yields the answer, if it takes one."""
    effects: tuple[AnswerEffect, ...]


def may_be_asked(observation: Observation, facts: Facts) -> bool:
    """Whether a question makes sense now: not answered yet by itself or by another way, and `ask_when` holds."""
    if observation.observe in facts or (observation.instead_of and observation.instead_of in facts):
        return False
    return observation.ask_when is None or judge(branches(observation.ask_when), facts) is Truth.TRUE


@dataclass(frozen=True)
class State:
    """What is known, as far as the choice of a question depends on it."""

    base: RuleBase
    chain: Chain
    weighings: Mapping[str, Weighing]
    facts: Facts
    evidence: frozenset[Evidence]
    named: Decisions
    settled: frozenset[str] = frozenset()
    """Topics in which what to do is likely already."""


def rank_questions(state: State, left_out: Iterable[str]) -> tuple[Candidate, ...]:
    """Every question worth asking, best first; ties by name. `left_out` were skipped or put off."""
    asked = _open(state, left_out)
    found = [candidate for candidate in _candidates(state, asked) if _is_worth_asking(state.base, candidate)]
    return tuple(sorted(found, key=lambda candidate: (-candidate.worth, candidate.observation)))


def all_open(state: State, left_out: Iterable[str] = ()) -> tuple[Candidate, ...]:
    """Every question that could move a cause, whether it is worth its cost or not; most telling first."""
    found = _candidates(state, _open(state, left_out), everywhere=True)
    return tuple(sorted(found, key=lambda candidate: (-candidate.gain, candidate.observation)))


def _open(state: State, left_out: Iterable[str]) -> list[Observation]:
    """The questions that make sense now and lead to evidence."""
    skip = set(left_out)
    return [
        page
        for name, page in state.base.observations.items()
        if name not in skip and state.chain.downstream(name) and may_be_asked(page, state.facts)
    ]


def choose(base: RuleBase, ranked: Sequence[Candidate], group: str | None) -> Candidate:
    """The question to ask: the best, unless another nearly as good can be answered where the person is already.

    `group` is the heading of the last question answered. Needs at least one candidate.
    """
    near = ranked[0].worth * base.word("asking", "stay_with")
    here = [
        item for item in ranked if item.worth >= near and base.observations[item.observation].group == group
    ]
    return next(iter(here), ranked[0])


def worth_starting(state: State, ranked: Sequence[Candidate], passed_over: Iterable[str]) -> str | None:
    """A test that takes a day or more and tells more than any other question: it is set going before the rest is asked.

    None when there is none, or when one was passed over already (skipped, or put off and perhaps going): a person
    sets one such test going, not a bench full of them.
    """
    base = state.base
    if any(_days_of_waiting(base, base.observations[name]) for name in passed_over):
        return None
    best = max(ranked, key=lambda item: (item.gain, item.observation), default=None)
    if best is None or best.gain < base.word("asking", "start_early"):
        return None
    return best.observation if _days_of_waiting(base, base.observations[best.observation]) else None


def _days_of_waiting(base: RuleBase, page: Observation) -> bool:
    test = cost_of(base, page)[1]
    long_wait = base.word("asking", "a_long_wait")
    return test is not None and base.word("waiting", base.tests[test].waiting) >= long_wait


def effects_of(state: State, observation: Observation) -> Candidate | None:
    """What each answer to one question would change, whether it is worth asking or not."""
    return next(iter(_candidates(state, [observation], everywhere=True)), None)


def _candidates(state: State, asked: Sequence[Observation], everywhere: bool = False) -> Iterable[Candidate]:
    base = state.base
    outlook = Outlook(base, state.chain, state.weighings, state.facts, state.evidence, state.named)
    for name, by_topic in outlook.foretell(asked).items():
        page = base.observations[name]
        counted = [
            foretold
            for topic, foretold in by_topic.items()
            if everywhere or topic not in state.settled or _changes_a_word(base, foretold)
        ]
        if not counted:
            continue
        gain = sum(foretold.gain for foretold in counted)
        cost, test = cost_of(base, page)
        worth = gain / (cost + base.word("asking", "a_question"))
        yield Candidate(name, gain, cost, worth, test, _effects(base, page, by_topic))


def _changes_a_word(base: RuleBase, foretold: Foretold) -> bool:
    """Whether some answer that may well be given would change the word for how a cause stands."""
    starts = sorted(base.words["standing"].values.values())
    after, now = np.digitize(foretold.chances, starts), np.digitize(foretold.now, starts)
    return bool(((after != now).any(axis=1) & (foretold.likely >= LEAST_LIKELY)).any())


def _effects(base: RuleBase, page: Observation, by_topic: Mapping[str, Foretold]) -> tuple[AnswerEffect, ...]:
    """Each answer with what it would do; how likely it is comes from the topic that has most to learn."""
    most = max(by_topic.values(), key=lambda foretold: foretold.gain)
    return tuple(
        AnswerEffect(
            answer_word(page, value),
            float(most.likely[row]),
            {
                topic: dict(zip(foretold.causes, foretold.chances[row].tolist(), strict=True))
                for topic, foretold in by_topic.items()
            },
        )
        for row, value in enumerate(sample_answers(base, page))
    )


def answer_word(observation: Observation, value: Value) -> str:
    """The answer word that a sample value stands for."""
    if isinstance(value, frozenset):
        return ", ".join(sorted(value))
    if isinstance(value, str):
        return value
    return next(band for band in observation.bands if inside(observation, band) == value)


def _is_worth_asking(base: RuleBase, candidate: Candidate) -> bool:
    enough = candidate.gain >= base.word("asking", "least_gain")
    return enough and candidate.worth >= base.word("asking", "least_worth")


def cost_of(base: RuleBase, observation: Observation) -> tuple[float, str | None]:
    """Minutes an answer costs, and the cheapest test that yields it, if it takes one."""
    tests = base.tests_yielding.get(observation.observe, ())
    if not tests:
        return base.word("effort", observation.effort), None
    costs = {
        test: base.word("effort", base.tests[test].hands_on) + base.word("waiting", base.tests[test].waiting)
        for test in tests
    }
    cheapest = min(sorted(costs), key=lambda test: costs[test])
    return costs[cheapest], cheapest
