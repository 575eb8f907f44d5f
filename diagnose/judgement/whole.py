"""One plan for all faults of a judged case, with the wine as foreseen and what later steps would meet in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from diagnose.engine.facts import Fact, Facts
from diagnose.engine.trace import Trace
from diagnose.engine.truth import Truth, branches
from diagnose.engine.truth import judge as judge_condition
from diagnose.knowledge.models.vocabulary import Limit
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import amounts
from diagnose.planning.projection import as_facts as as_foreseen
from diagnose.planning.projection import projected_after, projected_now, quantity_of
from diagnose.planning.whole import (
    Dated,
    PlannedStep,
    Projected,
    Warned,
    WholePlan,
    dated,
    keep_apart,
    needs_of,
    ready_of,
)
from diagnose.reasoning.standing import as_facts
from diagnose.units import show_quantity

from .judge import Cellar, Judged


def whole_plan(cellar: Cellar, judged: Judged, given: Iterable[Fact], begins: date) -> WholePlan:
    """The whole plan of a judged case. `given` are the facts of the case, `begins` is the first day of work."""
    base, facts = cellar.base, tuple(given)
    chosen, left_out = keep_apart(base, judged.plan.steps)
    now = projected_now(base, judged.facts)
    steps: list[PlannedStep] = []
    state = now
    for item in dated(base, chosen, begins):
        steps.append(_step(cellar, judged, facts, item, state))
        state = steps[-1].after
    planned = [step.advice for step in steps]
    return WholePlan(begins, tuple(steps), left_out, needs_of(base, planned), ready_of(base, planned), now)


def _step(
    cellar: Cellar, judged: Judged, given: Sequence[Fact], item: Dated, before: Projected
) -> PlannedStep:
    """A step on the wine as it will be then: its amounts, what it does, and what breaks it."""
    base, fix = cellar.base, cellar.base.fixes[item.advice.fix]
    trace = _foreseen(cellar, judged, given, before)
    advice = replace(item.advice, amounts=amounts(fix, trace.facts))
    after = projected_after(base, fix, advice.amounts, before, trace.facts)
    warnings = (
        *_forbidden(cellar, judged, fix.fix, trace),
        *_met(base, fix.fix, trace.facts),
        *_over_limit(cellar, before, after, trace.facts),
    )
    return PlannedStep(
        advice, item.start, item.not_before, item.checks, item.waits_for, before, after, warnings
    )


def _foreseen(cellar: Cellar, judged: Judged, given: Sequence[Fact], state: Projected) -> Trace:
    """Everything that would follow from the facts with the foreseen numbers in them, causes as they stand today."""
    cellar.chain.start(as_foreseen(cellar.base, given, state))
    return cellar.chain.add(as_facts(judged.standings))


def _forbidden(cellar: Cellar, judged: Judged, fix: str, trace: Trace) -> Iterator[Warned]:
    """Why the rules would forbid this fix on the foreseen wine, though they do not today."""
    now = {firing.rule for firing in judged.trace.behind(f"fix.{fix}", "forbidden")}
    then = dict.fromkeys(firing.rule for firing in trace.behind(f"fix.{fix}", "forbidden"))
    for name in then:
        if name not in now:
            rule = cellar.rules[name]
            yield Warned(rule.because, rule.source)


def _met(base: RuleBase, fix: str, facts: Facts) -> Iterator[Warned]:
    for page in base.foreseen.values():
        if fix in page.before and judge_condition(branches(page.when), facts) is Truth.TRUE:
            yield Warned(page.says, page.source)


def _over_limit(cellar: Cellar, before: Projected, after: Projected, facts: Facts) -> Iterator[Warned]:
    """Limits of the person's law that this step passes or may pass; what stood over them before is not told again."""
    base = cellar.base
    for name, found in after.numbers.items():
        was = before.numbers.get(name)
        if was is not None and found.value <= was.value:
            continue
        for limit in _limits(cellar, name, facts):
            side = found.against(limit.value)
            if side == "below" or (was is not None and was.against(limit.value) == side):
                continue
            quantity = quantity_of(base, name)
            said = show_quantity(found.value, quantity, "metric")
            verb = "passes" if side == "above" else "may pass"
            says = f"{base.tracked[name].name}: {said} {verb} the limit of {limit.value:g} {limit.unit} ({limit.name})."
            yield Warned(says, limit.source, side == "above")


def _limits(cellar: Cellar, name: str, facts: Facts) -> Iterator[Limit]:
    of = cellar.base.tracked[name].limit_of
    for key, limit in cellar.base.limits.items():
        if of is None or limit.of != of or limit.jurisdiction != cellar.law:
            continue
        if limit.when is None or judge_condition(branches(limit.when), facts) is Truth.TRUE:
            yield limit.model_copy(update={"value": cellar.figures.get(key, limit.value)})
