"""Why a fix, a test, a caution or a question stands as it does: the rules that spoke of it, and those that did not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from diagnose.engine.facts import Fact, shown
from diagnose.judgement.judge import Cellar, Judged
from diagnose.planning.fixes import FixAdvice

from .conditions import STANDING, RuleStands, stands
from .why import Step, WhyCause, step_for, why_cause

Kind = Literal["fix", "test", "caution", "question"]
"""The kinds of pages that rules say something of."""

FOR: dict[str, str] = {"fix": "offered", "test": "requested", "caution": "shown", "question": "withheld"}
"""For each kind, the word by which a rule brings it up."""


@dataclass(frozen=True)
class WhySaid:
    """What rules say of a page: what fired, what could have and why it did not.

    `causes` are those whose standing made a rule fire, each with what stands behind it.
    """

    kind: Kind
    name: str
    fired: tuple[Step, ...]
    waiting: tuple[RuleStands, ...]
    """Rules that would bring it up, and have not spoken."""
    not_against: tuple[RuleStands, ...]
    """Rules that would forbid or withhold it, and have not spoken."""
    causes: tuple[WhyCause, ...]
    advice: FixAdvice | None = None
    """For a fix, how it stands in the plan."""
    answered: tuple[Step, ...] = ()
    """For a test, what it would tell and is known already."""

    @property
    def words(self) -> tuple[str, ...]:
        """What was concluded, each word once."""
        return tuple(dict.fromkeys(shown(step.fact.value) for step in self.fired))

    @property
    def stands(self) -> str:
        """One word for how it stands: `open`, `locked`, `forbidden`, `offered`, `requested`, `withheld`, `shown`,
        `answered`, or `not spoken of`."""
        if self.advice:
            return self.advice.state
        if "withheld" in self.words:
            return "withheld"
        if self.answered:
            return "answered"
        return self.words[0] if self.words else "not spoken of"


def why_said(cellar: Cellar, judged: Judged, kind: Kind, name: str) -> WhySaid:
    """Why a page is brought up, forbidden or withheld, or not spoken of at all."""
    fact = f"{kind}.{name}"
    fired = tuple(
        Step(
            Fact(fact, shown(item.value)),
            firing.rule,
            cellar.rules[firing.rule].because,
            cellar.rules[firing.rule].source,
            tuple(step_for(cellar, judged.trace, inner) for inner in firing.matched),
        )
        for firing in judged.trace.behind(fact)
        for item in firing.concluded
        if isinstance(item, Fact) and item.name == fact
    )
    silent = [name for name in _rules_about(cellar, fact) if name not in {step.rule for step in fired}]
    brings = {name for name in silent if Fact(fact, FOR[kind]) in cellar.rules[name].conclude({})}
    base = cellar.base
    return WhySaid(
        kind,
        name,
        fired,
        _nearest_first(stands(cellar, judged, name) for name in silent if name in brings),
        _nearest_first(stands(cellar, judged, name) for name in silent if name not in brings),
        _causes_behind(cellar, judged, fired),
        judged.plan.of(name) if kind == "fix" else None,
        tuple(
            step_for(cellar, judged.trace, Fact(observation, value))
            for observation in (base.tests[name].yields if kind == "test" else ())
            for value in judged.facts.get(observation, ())
        ),
    )


def _rules_about(cellar: Cellar, fact: str) -> list[str]:
    return [rule.id for rule in cellar.rules.values() if fact in rule.concludes]


def _nearest_first(found: Iterable[RuleStands]) -> tuple[RuleStands, ...]:

    return tuple(sorted(found, key=lambda item: (len(item.failed), len(item.missing), item.rule)))


def _causes_behind(cellar: Cellar, judged: Judged, fired: tuple[Step, ...]) -> tuple[WhyCause, ...]:
    """The causes whose standing the rules that spoke read, in the order they stand."""
    read = {
        inner.fact.name.removeprefix(STANDING)
        for step in fired
        for inner in step.behind
        if inner.fact.name.startswith(STANDING)
    }
    named = dict.fromkeys(item.cause for item in judged.standings if item.cause in read)
    return tuple(why_cause(cellar, judged, cause) for cause in named)
