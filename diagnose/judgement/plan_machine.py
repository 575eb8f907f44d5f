"""A whole plan in machine form: one JSON value with a documented, versioned schema."""

from __future__ import annotations

from datetime import date
from typing import Literal

from pydantic import Field

from diagnose.calculators.spread import Range
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.projection import quantity_of
from diagnose.planning.whole import Need, PlannedStep, Projected, WholePlan
from diagnose.units import canonical_unit

from .machine import AmountOut, Out, amounts_out

PLAN_VERSION: Literal["1.1"] = "1.1"
"""Raised in its first number when a field changes its meaning or goes, in its second when one is added."""


class RangeOut(Out):
    """A foreseen number with its ends."""

    low: float
    value: float
    high: float
    unit: str


class WineOut(Out):
    """The wine as foreseen."""

    numbers: dict[str, RangeOut]
    not_known: dict[str, str] = Field(description="Followed numbers that cannot be foreseen, and why.")


class WaitOut(Out):
    """A step that comes first, and why."""

    after: str
    because: str
    sources: list[str]


class WarningOut(Out):
    """What breaks a step on the wine as it will be then."""

    says: str
    surely: bool = Field(description="False where only an end of the range breaks it.")
    sources: list[str]


class StepOut(Out):
    """A step with its days and its ways out."""

    id: str
    name: str
    start: date
    not_before: bool = Field(
        description="Whether `start` is only the earliest day, for something before it has no day."
    )
    checks: list[date]
    check_after: str
    check: str
    good: str
    if_not: str
    if_it_fails: str
    waits_for: list[WaitOut]
    amounts: list[AmountOut] = Field(description="For the wine as it will be then.")
    before: WineOut
    after: WineOut
    warnings: list[WarningOut]


class BehindOut(Out):
    """A fix that was done and is not done again."""

    id: str
    name: str
    done_on: date
    looks: list[date] = Field(
        description="The look that was good, or else the next one; empty without a day."
    )


class LeftOutOut(Out):
    """A fix that yields to another."""

    id: str
    beside: str
    because: str
    sources: list[str]


class ShareOut(Out):
    """What one step asks of a thing."""

    fix: str
    low: float | None
    high: float | None
    missing: list[str] = Field(description="Facts that would make it known.")


class NeedOut(Out):
    """A thing to have ready; null while no amount is known."""

    id: str
    name: str
    unit: str
    low: float | None
    high: float | None
    have: float | None = Field(description="The most that the steps take, with the spare.")
    spare_percent: float
    shares: list[ShareOut]


class ReadyOut(Out):
    """Something to have ready that is told in words."""

    says: str
    fixes: list[str]


class PlanOut(Out):
    """A whole plan."""

    schema_version: Literal["1.1"] = PLAN_VERSION
    case: str
    rule_base: str
    begins: date
    ends: date
    now: WineOut
    needs: list[NeedOut]
    ready: list[ReadyOut]
    steps: list[StepOut]
    done: list[BehindOut]
    left_out: list[LeftOutOut]


def plan_to_machine(base: RuleBase, plan: WholePlan, case: str) -> PlanOut:
    """The machine form of a whole plan."""
    return PlanOut(
        case=case,
        rule_base=base.edition,
        begins=plan.begins,
        ends=plan.ends,
        now=_wine(base, plan.now),
        needs=[_need(base, need) for need in plan.needs],
        ready=[ReadyOut(says=ready.says, fixes=list(ready.fixes)) for ready in plan.ready],
        steps=[_step(base, step) for step in plan.steps],
        done=[
            BehindOut(
                id=item.advice.fix,
                name=base.fixes[item.advice.fix].name,
                done_on=item.start,
                looks=list(item.checks),
            )
            for item in plan.behind
        ],
        left_out=[
            LeftOutOut(
                id=left.advice.fix, beside=left.beside, because=left.because, sources=list(left.source)
            )
            for left in plan.left_out
        ],
    )


def _step(base: RuleBase, step: PlannedStep) -> StepOut:
    fix = base.fixes[step.advice.fix]
    return StepOut(
        id=fix.fix,
        name=fix.name,
        start=step.start,
        not_before=step.not_before,
        checks=list(step.checks),
        check_after=fix.check.after,
        check=fix.check.do,
        good=fix.check.good,
        if_not=fix.check.if_not,
        if_it_fails=fix.if_it_fails,
        waits_for=[
            WaitOut(after=wait.after, because=wait.because, sources=list(wait.source))
            for wait in step.waits_for
        ],
        amounts=amounts_out(step.advice.amounts),
        before=_wine(base, step.before),
        after=_wine(base, step.after),
        warnings=[
            WarningOut(says=each.says, surely=each.surely, sources=list(each.source))
            for each in step.warnings
        ],
    )


def _wine(base: RuleBase, state: Projected) -> WineOut:
    return WineOut(
        numbers={name: _range(base, name, found) for name, found in state.numbers.items()},
        not_known=dict(state.open),
    )


def _range(base: RuleBase, name: str, found: Range) -> RangeOut:
    unit = canonical_unit(quantity_of(base, name))
    return RangeOut(low=found.low, value=found.value, high=found.high, unit=unit)


def _need(base: RuleBase, need: Need) -> NeedOut:
    return NeedOut(
        id=need.thing,
        name=base.things[need.thing].name,
        unit=canonical_unit(need.quantity),
        low=need.low,
        high=need.high,
        have=need.have,
        spare_percent=need.spare_percent,
        shares=[
            ShareOut(fix=share.fix, low=share.low, high=share.high, missing=list(share.missing))
            for share in need.shares
        ],
    )
