"""From the engine's evidence to findings ready for the weighing: words become numbers here."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from diagnose.engine.facts import Evidence
from diagnose.knowledge.models.facts import Observable, Observation
from diagnose.knowledge.rule_base import RuleBase

from .weigh import UNKNOWN, FindingRows, Row


def priors(base: RuleBase, topic: str) -> dict[str, float]:
    """The chance of each cause of a topic before anything was asked, the unknown cause included."""
    found = {
        cause.cause: base.word("how_common", cause.how_common)
        for cause in base.causes.values()
        if cause.topic == topic
    }
    found[UNKNOWN] = base.word("how_common", base.topics[topic].how_common_unknown)
    return dict(sorted(found.items()))


def findings(base: RuleBase, evidence: Iterable[Evidence], causes: Iterable[str]) -> tuple[FindingRows, ...]:
    """Evidence about these causes, grouped by finding."""
    wanted = set(causes)
    groups: dict[tuple[str, str], list[Row]] = {}
    for item in evidence:
        if item.cause in wanted:
            groups.setdefault((item.observe, item.answer), []).append(row_of(base, item))
    return tuple(
        FindingRows(
            key=observe,
            answer=answer,
            normal=normal_chance(base, observe, answer),
            nothing=is_nothing(base, observe, answer),
            rows=tuple(sorted(rows, key=lambda row: (row.cause, row.row))),
        )
        for (observe, answer), rows in sorted(groups.items())
    )


def row_of(base: RuleBase, item: Evidence) -> Row:
    """One piece of evidence, its word as a number."""
    key = item.cause, item.row, item.observe, item.answer
    if key not in base.memo:
        # Rounded, so that an answer that says nothing is not taken for one that speaks a trillionth against.
        base.memo[key] = round(10 * math.log10(_times_more_often(base, item)), 9)
    return Row(item.cause, item.row, base.memo[key], item.about)


def _times_more_often(base: RuleBase, item: Evidence) -> float:
    """How many times more often a finding is met with a cause than in a sound wine.

    A strength word says how many times the *odds* of an answer rise, against the other answers. An answer that is met
    in most sound wines cannot be met ten times more often with any cause. And now and then an answer is a slip, and
    says nothing.
    """
    raised = _odds(base, item.strength)
    answers = _answers(base, item.observe)
    if answers is None:
        normal = normal_chance(base, item.observe, item.answer)
        whole = normal * raised + 1 - normal
    else:
        says = base.causes[item.cause].evidence[item.row].says
        total = sum(answers.values())
        whole = sum(
            weight / total * (_odds(base, says[answer]) if answer in says else 1.0)
            for answer, weight in answers.items()
        )
    slip = base.word("slips", "an_answer")
    return (1 - slip) * raised / whole + slip


def _odds(base: RuleBase, strength: str) -> float:
    return float(10 ** (base.word("strength", strength) / 10))


def _answers(base: RuleBase, observe: str) -> Mapping[str, float] | None:
    """The answers that exclude one another, with their weights in a sound wine; None for what is met or not met."""
    observable = base.observables.get(observe)
    if observable is None or (isinstance(observable, Observation) and observable.kind == "several"):
        return None
    return normal_weights(base, observable)


def normal_chance(base: RuleBase, observe: str, answer: str) -> float:
    """How often an answer is met when none of the causes is at work, from the words on its page."""
    observable = base.observables.get(observe)
    if observable is None:
        # A combination of facts has no page: like an answer of which a page says nothing, it is met sometimes.
        return _against_usual(base, base.word("normally", "sometimes"))
    weights = normal_weights(base, observable)
    if isinstance(observable, Observation) and observable.kind == "several":
        # Each ticked answer is a finding of its own, met or not met.
        return _against_usual(base, weights[answer])
    return weights[answer] / sum(weights.values())


def _against_usual(base: RuleBase, weight: float) -> float:
    """The chance of a finding that is met or not met, where not to meet it is usual."""
    return weight / (weight + base.word("normally", "usual"))


def normal_weights(base: RuleBase, observable: Observable) -> Mapping[str, float]:
    """For each answer of a page, how often it is met in a sound wine, as a weight."""
    return {
        answer: base.word("normally", observable.normally.get(answer, _usual(observable, answer)))
        for answer in observable.answers
    }


def _usual(observable: Observable, answer: str) -> str:
    """Where a page says nothing: nothing found is usual, anything else is met sometimes."""
    return "usual" if answer in observable.nothing_answers else "sometimes"


def is_nothing(base: RuleBase, observe: str, answer: str) -> bool:
    """Whether an answer means that nothing was found."""
    observable = base.observables.get(observe)
    return observable is not None and answer in observable.nothing_answers
