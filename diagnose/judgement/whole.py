"""One plan for all faults of a judged case, with the wine as foreseen and what later steps would meet in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from types import MappingProxyType

from diagnose.casebook.case import CaseState
from diagnose.casebook.work import Work
from diagnose.days.due import check_day
from diagnose.engine.facts import Fact, Facts
from diagnose.engine.trace import Trace
from diagnose.engine.truth import Truth, branches
from diagnose.engine.truth import judge as judge_condition
from diagnose.knowledge.models.vocabulary import Limit
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import FixAdvice, amounts
from diagnose.planning.projection import (
    Poured,
    projected_after,
    projected_now,
    projected_since,
    quantity_of,
)
from diagnose.planning.projection import as_facts as as_foreseen
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

NEVER_READ: Mapping[str, date] = MappingProxyType({})


def plan_of_case(cellar: Cellar, judged: Judged, state: CaseState, begins: date) -> WholePlan:
    """The whole plan of a case from where its work stands."""
    return whole_plan(cellar, judged, state.facts(), begins, state.done().values(), state.read_on)


def whole_plan(
    cellar: Cellar,
    judged: Judged,
    given: Iterable[Fact],
    begins: date,
    work: Iterable[Work] = (),
    read_on: Mapping[str, date] = NEVER_READ,
) -> WholePlan:
    """The whole plan of a judged case. `given` are the facts of the case, `begins` is the first day of work.

    The wine is foreseen from what was measured and from the `work` done since; `read_on` are the days of the facts.
    """
    base, facts = cellar.base, tuple(given)
    chosen, left_out = keep_apart(base, judged.plan.steps)
    done = {item.fix: item for item in work if item.stands != "begun"}
    poured = [_poured(base, judged, item) for item in done.values()]
    now = projected_since(base, poured, projected_now(base, judged.facts), read_on, judged.facts)
    behind = tuple(
        _behind(base, advice, done[advice.fix]) for advice in judged.plan.done if advice.fix in done
    )
    steps: list[PlannedStep] = []
    state = now
    for item in dated(base, chosen, begins, behind):
        steps.append(_step(cellar, judged, facts, item, state))
        state = steps[-1].after
    planned = [step.advice for step in steps]
    needs, ready = needs_of(base, planned), ready_of(base, planned)
    return WholePlan(begins, tuple(steps), behind, left_out, needs, ready, now)


def _poured(base: RuleBase, judged: Judged, work: Work) -> Poured:
    """What went in: as it was told, and as planned where nothing was told."""
    fix = base.fixes[work.fix]
    planned = amounts(fix, judged.facts)
    really = tuple(replace(each, value=work.amounts.get(each.name, each.value)) for each in planned)
    return Poured(fix, work.done_on, really)


def _behind(base: RuleBase, advice: FixAdvice, work: Work) -> Dated:
    """The day a fix was done, and the look that counts: the one that was good, or else the next."""
    good = work.stands == "good"
    look = work.checked_on if good else check_day(base.fixes[work.fix].check, work)[1]
    return Dated(advice, work.done_on, False, (look,) if look else (), ())


def _step(
    cellar: Cellar, judged: Judged, given: Sequence[Fact], item: Dated, before: Projected
) -> PlannedStep:
    """A step on the wine as it will be then: its amounts, what it does, and what breaks it."""
    base, fix = cellar.base, cellar.base.fixes[item.advice.fix]
    trace = _foreseen(cellar, judged, given, before)
    advice = replace(item.advice, amounts=amounts(fix, trace.facts))
    after = projected_after(base, fix, advice.amounts, before, trace.facts)
    warnings = (
        *_forbidden(cellar, fix.fix, trace),
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


def _forbidden(cellar: Cellar, fix: str, trace: Trace) -> Iterator[Warned]:
    """Why the rules would forbid this fix on the foreseen wine; what they forbid today is in no plan."""
    for name in dict.fromkeys(firing.rule for firing in trace.behind(f"fix.{fix}", "forbidden")):
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
