"""What a why-tree says follows, CLIPS concludes too: each node from its children, by the rule that is named."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import pytest
from diagnose.engine.facts import Evidence, Fact
from diagnose.engine.truth import Truth
from diagnose.explain.conditions import ConditionStands
from diagnose.explain.said import FOR, WhySaid, why_said
from diagnose.explain.why import Step, WhyCause, why_cause, why_not
from diagnose.judgement.judge import Judged
from diagnose.present.conditions import condition_told
from diagnose.present.words import NARROW
from diagnose.reasoning.weigh import UNKNOWN
from rederived import OneRule, holding, mended, nodes, whole


@pytest.fixture(scope="module")
def one_rule(worked: Any) -> OneRule:
    """Single rules of the shipped base in CLIPS."""
    return OneRule(worked.cellar)


def leading_causes(judged: Judged) -> list[str]:
    """The causes that a person would ask about."""
    return [item.cause for item in judged.standings if item.cause != UNKNOWN][:3]


def pages_spoken_of(judged: Judged) -> Iterator[tuple[str, str]]:
    """Every fix, test and caution that was concluded in a case."""
    for name in judged.facts:
        kind, _, page = name.partition(".")
        if kind in ("fix", "test", "caution") and page:
            yield kind, page


def check_nodes(one_rule: OneRule, steps: tuple[Step, ...], given: set[Fact]) -> int:
    """Each leaf was given; each other node follows in CLIPS from its children. How many followed."""
    inner = 0
    for step in nodes(steps):
        if step.rule is None:
            assert step.behind == ()
            assert step.fact in given, step.fact
            continue
        children = frozenset(child.fact for child in step.behind)
        known = one_rule.fire(step.rule, children).facts
        assert step.fact.value in known.get(step.fact.name, ()), step
        assert step.fact not in children
        inner += 1
    return inner


def check_cause(one_rule: OneRule, why: WhyCause, answers: set[Fact]) -> int:
    """Every finding that spoke follows in CLIPS, back to answers given."""
    count = 0
    for item in why.spoke:
        count += check_nodes(one_rule, item.chain, answers)
        outcome = one_rule.fire(item.rule, frozenset(step.fact for step in item.chain))
        said = {(found.cause, found.observe, found.answer, found.strength) for found in outcome.evidence}
        assert (why.cause, item.observe, item.answer, item.strength) in said
        count += 1
    return count


def test_every_tree_of_a_cause_is_rederived(worked: Any, one_rule: OneRule) -> None:
    """For every worked case: what speaks of a cause, CLIPS concludes from the answers in the leaves."""
    count = sum(
        check_cause(one_rule, why_cause(worked.cellar, judged, cause), set(answers))
        for _, answers, judged in worked.cases
        for cause in leading_causes(judged)
    )
    assert len(worked.cases) > 200
    assert count > 4_000


def test_every_tree_of_a_fix_test_and_caution_is_rederived(worked: Any, one_rule: OneRule) -> None:
    """In worked cases of every topic: each rule that spoke of a page speaks in CLIPS on the facts shown.

    Every third case, or with EVERY_CASE in the environment all of them.
    """
    count = 0
    cases = worked.cases[:: 1 if os.environ.get("EVERY_CASE") else 3]
    for _, answers, judged in cases:
        weighed = {Fact(f"cause.{item.cause}", item.word) for item in judged.standings}
        for kind, page in pages_spoken_of(judged):
            firings = judged.trace.behind(f"{kind}.{page}")
            why = why_said(worked.cellar, judged, kind, page)  # type: ignore[arg-type]
            assert {step.rule for step in why.fired} == {firing.rule for firing in firings}
            count += check_nodes(one_rule, why.fired, set(answers) | weighed)
    assert count > 18 * len(cases)


def silent(worked: Any, judged: Judged) -> Iterator[WhySaid]:
    """Fixes and tests about which something did not speak: those of the plan, and some that it leaves out."""
    base = worked.cellar.base
    named = [item.fix for item in (*judged.plan.steps, *judged.plan.locked)][:2]
    left = [name for name in base.fixes if f"fix.{name}" not in judged.facts][:2]
    for name in (*named, *left):
        yield why_said(worked.cellar, judged, "fix", name)
    for name in [name for name in base.tests if f"test.{name}" not in judged.facts][:1]:
        yield why_said(worked.cellar, judged, "test", name)


def test_what_is_missing_is_all_that_is_missing(worked: Any, one_rule: OneRule) -> None:
    """A rule that did not speak does so in CLIPS once its failed conditions are dropped, or made true.

    A number is made true by the gap told. With all its conditions, and the facts as they are, it stays silent.
    """
    dropped = made_true = 0
    seen = set()
    for _, _, judged in worked.cases[::6]:
        for why in silent(worked, judged):
            for stands in (*why.waiting[:3], *why.not_against[:2]):
                key = stands.rule, tuple((item.name, item.truth, item.found) for item in stands.conditions)
                if key in seen or not (stands.failed or stands.missing):
                    continue
                seen.add(key)
                facts = [Fact(item.name, value) for item in stands.conditions for value in item.found]
                fact = f"{why.kind}.{why.name}"
                assert fact not in one_rule.fire_without(stands.rule, whole(stands), facts).facts
                if all(item.form != "unknown" for item in stands.failed):
                    held = [f for f in facts if f.name in holding(stands).names]
                    assert fact in one_rule.fire_without(stands.rule, holding(stands), held).facts, stands
                    dropped += 1
                mend = mended(worked.cellar, stands)
                if mend is not None:
                    assert fact in one_rule.fire(stands.rule, frozenset(mend)).facts, stands
                    made_true += 1
    assert dropped > 150
    assert made_true > 150


def test_rows_that_did_not_speak_stand_as_told(worked: Any, one_rule: OneRule) -> None:
    """Why not this cause: what would have spoken does so in CLIPS with one of the answers named."""
    count = 0
    for _, _, judged in worked.cases[::10]:
        for cause in leading_causes(judged)[1:]:
            for item in why_not(worked.cellar, judged, cause).not_so[:4]:
                if not item.would_say:
                    continue
                (condition,) = item.stands.conditions
                answer = next(iter(item.would_say))
                page = worked.cellar.base.observables[item.observe]
                value = frozenset({answer}) if getattr(page, "kind", "") == "several" else answer
                evidence = one_rule.fire(item.stands.rule, frozenset({Fact(condition.name, value)})).evidence
                assert isinstance(next(iter(evidence)), Evidence)
                count += 1
    assert count > 20


def test_what_is_missing_is_told_in_the_units_of_the_person(worked: Any) -> None:
    """15 °C where at least 18 °C is wanted: 3 °C too low, or in the US 5.4 °F, since a difference has no zero point."""
    stands = ConditionStands(
        "cellar_temperature", "test", (("at_least", 18.0),), False, Truth.FALSE, (15.0,), 3.0, None, 18.0
    )
    base = worked.cellar.base
    told = {units: condition_told(base, stands, units).replace(NARROW, " ") for units in ("metric", "us")}
    assert ", 3 °C too low" in told["metric"]
    assert ", 5.4 °F too low" in told["us"]


def test_each_kind_of_page_has_its_word() -> None:
    """The words by which rules bring a page up are those that the rules conclude."""
    assert FOR == {"fix": "offered", "test": "requested", "caution": "shown", "question": "withheld"}
