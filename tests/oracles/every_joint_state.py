"""The worth of a question from first principles: every joint state of causes and answers, one at a time.

What follows from an answer is asked of CLIPS, the chance of a finding is taken from the written model, and the gain
is the information that the answer and the state of the wine share. Of the program it uses the pages alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

from clips_machine import ClipsMachine
from diagnose.engine.facts import Evidence, Fact, Value
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN, FindingRows, Row
from written_weighing import WrittenFinding, written_findings

AtWork = frozenset[str]
"""The causes that are at work together."""
MOST_COMPARED = 2
"""Questions are compared on sets of at most so many causes."""


@dataclass(frozen=True)
class Worth:
    """What a question tells, in bits, and that for each minute."""

    gain: float
    worth: float


def each_its_own(at_work: AtWork) -> Hashable:
    """Every set of causes is a decision of its own."""
    return at_work


def worths(
    base: RuleBase,
    topic: str,
    machine: ClipsMachine,
    facts: Iterable[Fact],
    decision: Callable[[AtWork], Hashable] = each_its_own,
) -> dict[str, Worth]:
    """The worth of every question that is not answered yet and leads anywhere.

    `decision` says what is done about a set of causes; sets with the same decision are not told apart.
    """
    known = tuple(facts)
    answered = {fact.name for fact in known}
    priors = _priors(base, topic)
    before = _findings(base, machine, known)
    now = _chances(priors, before)
    found = {}
    for name, page in base.observations.items():
        if name in answered or not page.answers:
            continue
        readiness = {}
        for answer in page.answers:
            after = _findings(base, machine, (*known, Fact(name, _value(page, answer))))
            weight = _weight(base, page, answer)
            readiness[answer] = {s: weight * _times(after, s) / _times(before, s) for s in now}
        joint: dict[tuple[Hashable, str], float] = {}
        for at_work, chance in now.items():
            whole = sum(ready[at_work] for ready in readiness.values())
            for answer, ready in readiness.items():
                at = decision(at_work), answer
                joint[at] = joint.get(at, 0.0) + chance * ready[at_work] / whole
        gain = _shared_information(joint)
        found[name] = Worth(gain, gain / (_minutes(base, page) + base.words["asking"].values["a_question"]))
    return found


def worth_asking(base: RuleBase, found: Mapping[str, Worth]) -> dict[str, Worth]:
    """The questions that tell enough, and enough for each minute."""
    least = base.words["asking"].values
    return {
        name: one
        for name, one in found.items()
        if one.gain >= least["least_gain"] and one.worth >= least["least_worth"]
    }


def _shared_information(joint: Mapping[tuple[Hashable, str], float]) -> float:
    """How much two things tell of each other, in bits."""
    decisions: dict[Hashable, float] = {}
    answers: dict[str, float] = {}
    for (decision, answer), chance in joint.items():
        decisions[decision] = decisions.get(decision, 0.0) + chance
        answers[answer] = answers.get(answer, 0.0) + chance
    return math.fsum(
        chance * math.log2(chance / (decisions[decision] * answers[answer]))
        for (decision, answer), chance in joint.items()
        if chance > 0
    )


# ---------------------------------------------------------------- causes and findings, from the pages


def _priors(base: RuleBase, topic: str) -> dict[str, float]:
    common = base.words["how_common"].values
    found = {cause.cause: common[cause.how_common] for cause in base.causes.values() if cause.topic == topic}
    return {**found, UNKNOWN: common[base.topics[topic].how_common_unknown]}


def _chances(priors: Mapping[str, float], findings: Iterable[WrittenFinding]) -> dict[AtWork, float]:
    """The chance of every set of causes that is compared, with these findings made."""
    found = [*findings]
    weights: dict[AtWork, float] = {}
    for size in range(1, MOST_COMPARED + 1):
        for chosen in combinations(priors, size):
            beforehand = math.prod(
                chance if cause in chosen else 1 - chance for cause, chance in priors.items()
            )
            weights[frozenset(chosen)] = beforehand * _times(found, frozenset(chosen))
    total = sum(weights.values())
    return {at_work: weight / total for at_work, weight in weights.items()}


def _times(findings: Iterable[WrittenFinding], at_work: AtWork) -> float:
    """How many times more often all these findings are made with these causes than in a sound wine."""
    return math.prod(finding.chance(at_work) / finding.sound for finding in findings)


def _findings(base: RuleBase, machine: ClipsMachine, facts: Iterable[Fact]) -> list[WrittenFinding]:
    together: dict[tuple[str, str], list[Evidence]] = {}
    for item in machine.start(facts).evidence:
        together.setdefault((item.observe, item.answer), []).append(item)
    return written_findings(
        [_finding(base, observe, answer, items) for (observe, answer), items in sorted(together.items())]
    )


def _finding(base: RuleBase, observe: str, answer: str, items: Iterable[Evidence]) -> FindingRows:
    often = base.words["normally"].values
    rows = tuple(
        Row(
            item.cause,
            item.row,
            round(10 * math.log10(_met_with(base, item) / _met_without(base, item)), 9),
            item.about,
        )
        for item in sorted(items, key=lambda item: (item.cause, item.row))
    )
    page = base.observables.get(observe)
    if page is None:
        # A combination counts as met sometimes, where not to meet it is usual.
        normal = often["sometimes"] / (often["sometimes"] + often["usual"])
        return FindingRows(observe, answer, normal, False, rows)
    weights = {word: _weight(base, page, word) for word in page.answers}
    ticked = isinstance(page, Observation) and page.kind == "several"
    others = often["usual"] if ticked else sum(weights.values()) - weights[answer]
    normal = weights[answer] / (weights[answer] + others)
    return FindingRows(observe, answer, normal, answer in page.nothing_answers, rows)


def _met_without(base: RuleBase, item: Evidence) -> float:
    """The chance of this answer in a sound wine."""
    page, often = base.observables.get(item.observe), base.words["normally"].values
    if page is None:
        return often["sometimes"] / (often["sometimes"] + often["usual"])
    if isinstance(page, Observation) and page.kind == "several":
        return _weight(base, page, item.answer) / (_weight(base, page, item.answer) + often["usual"])
    return _weight(base, page, item.answer) / sum(_weight(base, page, answer) for answer in page.answers)


def _met_with(base: RuleBase, item: Evidence) -> float:
    """The chance of this answer with the cause: its odds against the rest are raised, and a few answers are slips."""
    page, strengths = base.observables.get(item.observe), base.words["strength"].values
    without, slip = _met_without(base, item), base.words["slips"].values["an_answer"]
    this = without * 10 ** (strengths[item.strength] / 10)
    if page is None or (isinstance(page, Observation) and page.kind == "several"):
        rest = 1 - without
    else:
        says = base.causes[item.cause].evidence[item.row].says
        total = sum(_weight(base, page, answer) for answer in page.answers)
        rest = sum(
            _weight(base, page, answer) / total * 10 ** (strengths.get(says.get(answer, ""), 0.0) / 10)
            for answer in page.answers
            if answer != item.answer
        )
    return (1 - slip) * this / (this + rest) + slip * without


def _weight(base: RuleBase, page: object, answer: str) -> float:
    """How often an answer is met in a sound wine; where the page is silent, nothing found is usual."""
    silent = "usual" if answer in page.nothing_answers else "sometimes"  # type: ignore[attr-defined]
    return base.words["normally"].values[page.normally.get(answer, silent)]  # type: ignore[attr-defined]


# ---------------------------------------------------------------- answers and minutes


def _value(page: Observation, answer: str) -> Value:
    """A value that is this answer; of a band its very start, or the lowest value that can be right."""
    if page.kind == "several":
        return frozenset({answer})
    if page.kind == "number":
        starts = page.bands[answer].starts
        assert page.plausible is not None
        return page.plausible[0] if starts is None else starts
    return answer


def _minutes(base: RuleBase, page: Observation) -> float:
    effort, waiting = base.words["effort"].values, base.words["waiting"].values
    tests = [test for test in base.tests.values() if page.observe in test.yields]
    if not tests:
        return effort[page.effort]
    return min(effort[test.hands_on] + waiting[test.waiting] for test in tests)
