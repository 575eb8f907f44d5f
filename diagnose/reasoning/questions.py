"""Which question tells most for the least effort.

The gain of a question is the expected fall in doubt about which causes are at work, in bits. It is divided by
the minutes of work the answer costs plus a constant for the attention any question takes. What each answer
would lead to is worked out on plain values.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from diagnose.engine.chain import Chain
from diagnose.engine.facts import Evidence, Fact, Facts, Value
from diagnose.engine.truth import Truth, branches, judge
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase

from .findings import findings, normal_weights
from .weigh import Cell, Weighing, count_once, make_cells

PAIRS = 2
"""Questions are compared on sets of at most this many causes; the verdict itself uses larger ones."""


@dataclass(frozen=True)
class AnswerEffect:
    """What one possible answer would do: how likely it is, and the chances of causes after it."""

    answer: str
    likely: float
    chances: Mapping[str, float]


@dataclass(frozen=True)
class Candidate:
    """A question that could be asked now."""

    observation: str
    gain: float
    """Expected fall in doubt, in bits."""
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


def rank_questions(
    base: RuleBase,
    chain: Chain,
    weighing: Weighing,
    facts: Facts,
    evidence: frozenset[Evidence],
    left_out: Iterable[str],
) -> tuple[Candidate, ...]:
    """Every question worth asking, best first; ties by name. `left_out` were skipped or put off."""
    skip = set(left_out)
    doubt = _Doubt(base, chain, weighing, facts, evidence)
    found = []
    for name, observation in base.observations.items():
        if name in skip or not may_be_asked(observation, facts) or not chain.downstream(name):
            continue
        candidate = doubt.candidate(observation)
        if candidate and _is_worth_asking(base, candidate):
            found.append(candidate)
    return tuple(sorted(found, key=lambda candidate: (-candidate.worth, candidate.observation)))


def _is_worth_asking(base: RuleBase, candidate: Candidate) -> bool:
    enough = candidate.gain >= base.word("asking", "least_gain")
    return enough and candidate.worth >= base.word("asking", "least_worth")


def effects_of(
    base: RuleBase,
    chain: Chain,
    weighing: Weighing,
    facts: Facts,
    evidence: frozenset[Evidence],
    observation: Observation,
) -> Candidate | None:
    """What each answer to one question would change, whether it is worth asking or not."""
    return _Doubt(base, chain, weighing, facts, evidence).candidate(observation)


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


def sample_answers(base: RuleBase, observation: Observation) -> Mapping[Value, float]:
    """One value for each answer that could be given, with its weight in a sound wine."""
    weights = normal_weights(base, observation)
    if observation.kind == "several":
        return {frozenset({answer}): weight for answer, weight in weights.items()}
    if observation.kind == "number":
        return {_inside(observation, band): weight for band, weight in weights.items()}
    plain: dict[Value, float] = {answer: weight for answer, weight in weights.items()}  # noqa: C416
    return plain


def _inside(observation: Observation, band: str) -> float:
    """A value inside a band."""
    assert observation.plausible is not None
    low, high = observation.plausible
    names = list(observation.bands)
    start = observation.bands[band].starts
    following = names.index(band) + 1
    end = observation.bands[names[following]].starts if following < len(names) else None
    return ((low if start is None else start) + (high if end is None else end)) / 2


class _Doubt:
    """What is needed to weigh many possible answers from one state of knowledge."""

    def __init__(
        self, base: RuleBase, chain: Chain, weighing: Weighing, facts: Facts, evidence: frozenset[Evidence]
    ) -> None:
        self.base, self.chain, self.facts, self.evidence = base, chain, facts, evidence
        self.causes = tuple(weighing.priors)
        small = [(causes, chance) for causes, chance in weighing.sets if len(causes) <= PAIRS]
        total = math.fsum(chance for _, chance in small)
        self.sets = [(causes, chance / total) for causes, chance in small]
        self.now = _entropy(chance for _, chance in self.sets)
        self.cells = {(cell.key, cell.answer): cell for cell in weighing.cells}

    def candidate(self, observation: Observation) -> Candidate | None:
        """The gain and cost of asking, or None when no answer would move anything."""
        answers = sample_answers(self.base, observation)
        if not answers:
            return None
        scores = [self._scores(observation.observe, value, weight) for value, weight in answers.items()]
        sums = [math.fsum(at) for at in zip(*scores, strict=True)]
        effects, left = [], 0.0
        for value, score in zip(answers, scores, strict=True):
            joint = [
                chance * part / whole for (_, chance), part, whole in zip(self.sets, score, sums, strict=True)
            ]
            likely = math.fsum(joint)
            if likely <= 0:
                continue
            left += likely * _entropy(part / likely for part in joint)
            effects.append(AnswerEffect(self._word(observation, value), likely, self._chances(score)))
        gain = max(0.0, self.now - left)
        cost, test = cost_of(self.base, observation)
        worth = gain / (cost + self.base.word("asking", "a_question"))
        return Candidate(observation.observe, gain, cost, worth, test, tuple(effects))

    def _scores(self, name: str, value: Value, weight: float) -> Sequence[float]:
        """For each set of causes, how readily it gives this answer, up to a factor common to the answers."""
        new, old = self._changed_cells(name, value)
        if not new and not old:
            return [weight] * len(self.sets)
        speaking = {cause for cell in (*new, *old) for cause in cell.ratios}
        known: dict[tuple[str, ...], float] = {}
        scores = []
        for causes, _ in self.sets:
            key = tuple(cause for cause in causes if cause in speaking)
            if key not in known:
                gained = math.prod(cell.ratio(key) for cell in new)
                known[key] = weight * gained / math.prod(cell.ratio(key) for cell in old)
            scores.append(known[key])
        return scores

    def _changed_cells(self, name: str, value: Value) -> tuple[list[Cell], list[Cell]]:
        """The findings that would be new or different with this answer, and those they replace."""
        rules = {rule.id for rule in self.chain.downstream(name)}
        gone = {item for item in self.evidence if item.rule in rules}
        after = (self.evidence - gone) | self.chain.what_if(self.facts, Fact(name, value))
        if after == self.evidence:
            return [], []
        rows = findings(self.base, after, self.causes)
        cells = {(cell.key, cell.answer): cell for cell in make_cells(rows, count_once(rows))}
        new = [cell for key, cell in cells.items() if self.cells.get(key) != cell]
        old = [cell for key, cell in self.cells.items() if cells.get(key) != cell]
        return new, old

    def _chances(self, score: Sequence[float]) -> Mapping[str, float]:
        """The chances the weighing would give after this answer, on the sets compared here."""
        after = [chance * part for (_, chance), part in zip(self.sets, score, strict=True)]
        total = math.fsum(after)
        found = dict.fromkeys(self.causes, 0.0)
        for (causes, _), chance in zip(self.sets, after, strict=True):
            for cause in causes:
                found[cause] += chance / total
        return found

    def _word(self, observation: Observation, value: Value) -> str:
        if isinstance(value, frozenset):
            return ", ".join(sorted(value))
        if isinstance(value, str):
            return value
        return next(band for band in observation.bands if _inside(observation, band) == value)


def _entropy(chances: Iterable[float]) -> float:
    return -math.fsum(chance * math.log2(chance) for chance in chances if chance > 0)
