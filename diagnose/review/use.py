"""Weaknesses of use: what nobody reads, offers, asks for or cites, and what lacks a caution or a text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from diagnose.engine.behind import confirming_tests
from diagnose.knowledge.models.facts import Compute, Observation
from diagnose.knowledge.rule_base import KIND_FIELDS, RuleBase

from .judgements import TEXTS
from .survey import Met, Survey
from .weakness import Weakness


def not_read(survey: Survey) -> Iterator[Weakness]:
    """Questions whose answer nothing reads, and single answers that nothing reads."""
    read, known = _words_read(survey), _known_read(survey)
    for name, page in survey.base.observations.items():
        if name not in read and name not in known and name not in survey.leaves_read:
            yield Weakness(
                "question_not_read",
                f"observe.{name}",
                survey.place("observe", name),
                f"no row, condition or sum reads the answer to '{name}'.",
                "Let a row, a state or a sum read it, or stop asking.",
            )
        elif name not in known:
            yield from _answers_not_read(survey, page, read.get(name, set()))


def _answers_not_read(survey: Survey, page: Observation, read: set[str]) -> Iterator[Weakness]:
    leaves = survey.leaves_read.get(page.observe, frozenset())
    if page.kind == "number" and leaves:
        return  # the number itself is read, and its bands are only how it is shown
    several = page.kind == "several"
    for answer in page.answers:
        value = frozenset({answer}) if several else answer
        if answer not in read and not any(leaf.passes(value) for leaf in leaves):
            yield Weakness(
                "answer_not_read",
                f"observe.{page.observe}",
                survey.place("observe", page.observe),
                f"no row and no condition reads the answer '{answer}' of '{page.observe}'.",
                "Say in a row what it speaks for or against, or take the answer out.",
                answer,
            )


def _words_read(survey: Survey) -> dict[str, set[str]]:
    """By question, state or number, the answers that rows and confirmations name."""
    found: dict[str, set[str]] = {}
    for cause in survey.base.causes.values():
        for row in cause.evidence:
            if row.observe:
                found.setdefault(row.observe, set()).update(row.says)
        for finding in cause.confirmed_by:
            found.setdefault(finding.observe, set()).update(finding.answers)
    return found


def _known_read(survey: Survey) -> set[str]:
    """Facts that a sum or a bench trial reads as they are, whatever the answer."""
    base = survey.base
    sums: list[Compute] = [number.compute for number in base.derived.values()]
    sums += [quantity.compute for fix in base.fixes.values() for quantity in fix.quantities]
    found = {value for one in sums for value in one.with_.values() if isinstance(value, str)}
    for fix in base.fixes.values():
        agent = fix.trial.agent if fix.trial else None
        if agent:
            found |= {name for name in (agent.dose_kept_as, agent.strength_kept_as) if name}
    return found


# ---------------------------------------------------------------- fixes and tests


def weak_fixes(survey: Survey, met: Met | None) -> Iterator[Weakness]:
    """Fixes without a caution or a text behind the dose, and those that nothing offers."""
    base = survey.base
    curing = {cure.fix for cause in base.causes.values() for cure in cause.cured_by}
    offered = curing | {fix for rule in base.rules.values() for fix in rule.offer}
    for name, fix in base.fixes.items():
        cautioned = fix.cautions or any(step.caution for step in fix.steps)
        seen = {base.sources[source].seen for source in fix.dose.source} if fix.dose else TEXTS
        for kind, weak, what, mend in (
            (
                "fix_without_caution",
                fix.treats == "yes" and not cautioned,
                f"'{name}' has no caution.",
                "Name what can hurt the person or the wine, under `cautions` or at the step.",
            ),
            (
                "dose_without_text",
                not seen & TEXTS,
                f"the dose of '{name}' rests on {' and '.join(sorted(seen))} alone.",
                "Find a text, or leave it and say so in the dose.",
            ),
            (
                "fix_for_nothing",
                name not in offered,
                f"no cause is cured by '{name}' and no rule offers it.",
                "Name it under `cured_by` of a cause, or take it out.",
            ),
            (
                "fix_in_no_case",
                met is not None and name in offered and name not in met.fixes,
                f"none of {met.cases if met else 0} cases is offered '{name}'.",
                "Write a case that must be offered it.",
            ),
        ):
            if weak:
                yield Weakness(kind, f"fix.{name}", survey.place("fix", name), what, mend)


def weak_tests(survey: Survey) -> Iterator[Weakness]:
    """Tests that nothing asks for."""
    base = survey.base
    asked = {
        test
        for cause in base.causes.values()
        for finding in cause.confirmed_by
        for test in confirming_tests(base, finding)
    }
    asked |= {test for rule in base.rules.values() for test in rule.request}
    asked |= {test for gates in base.gates.values() for gate in gates.each for test in gate.find_out}
    for name in base.tests:
        if name not in asked:
            yield Weakness(
                "test_not_asked_for",
                f"test.{name}",
                survey.place("test", name),
                f"no cause has '{name}' among what confirms it, and no rule or gate asks for it.",
                "Name what it answers under `confirmed_by` of a cause, or ask for it in a rule.",
            )


# ---------------------------------------------------------------- sources


def weak_sources(survey: Survey) -> Iterator[Weakness]:
    """Sources that no page names, and texts that cannot be found by what is said of them."""
    used = sources_used(survey.base)
    for name, source in survey.base.sources.items():
        if name not in used:
            yield Weakness(
                "source_not_used",
                f"source.{name}",
                survey.place("source", name),
                f"no page names '{name}'.",
                "Name it where it is used, or take it out.",
            )
        if source.seen in TEXTS and not (source.url or source.place or source.author or source.year):
            yield Weakness(
                "source_without_place",
                f"source.{name}",
                survey.place("source", name),
                f"'{name}' is a text, and has neither `url` nor `place`, `author` or `year`.",
                "Say where it can be found.",
            )


def sources_used(base: RuleBase) -> set[str]:
    """Every source that a page names."""
    found: set[str] = set()
    for kind, field in KIND_FIELDS.items():
        if kind != "source":
            for page in getattr(base, field).values():
                found.update(_sources(page.model_dump()))
    return found


def _sources(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from (
                inner if key in ("source", "common_source") and isinstance(inner, tuple) else _sources(inner)
            )
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from _sources(inner)
