"""One plan for all faults of a case: steps with their days, what to have ready, and the wine as foreseen."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from diagnose.calculators.spread import Range
from diagnose.knowledge.models.treatments import Check
from diagnose.knowledge.rule_base import RuleBase

from .fixes import FixAdvice
from .order import Constraint, constraints, in_order


@dataclass(frozen=True)
class Projected:
    """The numbers of the wine as foreseen, in cellar units, by their name on the `tracked` pages."""

    numbers: Mapping[str, Range]
    open: Mapping[str, str]
    """Followed numbers that cannot be foreseen, and why."""


@dataclass(frozen=True)
class Warned:
    """Something that breaks a step, foreseen on the wine as it will be then."""

    says: str
    source: tuple[str, ...]
    surely: bool = True
    """False where only an end of the range breaks it."""


@dataclass(frozen=True)
class LeftOut:
    """A fix that would stand in the plan but for another that it must not stand beside."""

    advice: FixAdvice
    beside: str
    because: str
    source: tuple[str, ...]


@dataclass(frozen=True)
class Share:
    """What one step asks of a thing: alternatives give a low and a high end; None while a fact is missing."""

    fix: str
    low: float | None
    high: float | None
    missing: tuple[str, ...] = ()
    """The facts that would make it known."""


@dataclass(frozen=True)
class Need:
    """A thing to have ready, merged over the steps, in the cellar unit of its quantity."""

    thing: str
    quantity: str
    low: float | None
    """The least that all steps with known amounts take together; None where no amount is known."""
    high: float | None
    have: float | None
    """The most they take, with the spare."""
    spare_percent: float
    shares: tuple[Share, ...]


@dataclass(frozen=True)
class Ready:
    """Something to have ready that is told in words, and the fixes that ask for it."""

    says: str
    fixes: tuple[str, ...]


@dataclass(frozen=True)
class PlannedStep:
    """A step with its days, and the wine before and after it. Its amounts are those of the wine as it will be."""

    advice: FixAdvice
    start: date
    not_before: bool
    """Whether `start` is only the earliest day, for something it waits for has no day of its own."""
    checks: tuple[date, ...]
    """The days to look whether it worked; empty where no day can be named."""
    waits_for: tuple[Constraint, ...]
    before: Projected
    after: Projected
    warnings: tuple[Warned, ...]


@dataclass(frozen=True)
class WholePlan:
    """Everything a person needs from the shopping to the last look."""

    begins: date
    steps: tuple[PlannedStep, ...]
    """By their day; on one day in the order of work."""
    behind: tuple[Dated, ...]
    """What was done already and is not done again, with the day it was done and the look that counts."""
    left_out: tuple[LeftOut, ...]
    needs: tuple[Need, ...]
    ready: tuple[Ready, ...]
    now: Projected

    @property
    def ends(self) -> date:
        """The last day that is named."""
        return max([self.begins, *(day for step in self.steps for day in (step.start, *step.checks))])


@dataclass(frozen=True)
class Dated:
    """A fix with its days."""

    advice: FixAdvice
    start: date
    not_before: bool
    checks: tuple[date, ...]
    waits_for: tuple[Constraint, ...]


def keep_apart(
    base: RuleBase, steps: Sequence[FixAdvice]
) -> tuple[tuple[FixAdvice, ...], tuple[LeftOut, ...]]:
    """The steps that may stand in one plan, and those that yield, with the reason."""
    kept, left_out = {step.fix: step for step in steps}, []
    while hit := [
        page for page in base.aparts.values() if page.days is None and set(page.fixes) <= set(kept)
    ]:
        # One that yields itself must not push another out first.
        yielding = {page.yields for page in hit}
        page = next((page for page in hit if page.other not in yielding), hit[0])
        left_out.append(LeftOut(kept.pop(page.yields), page.other, page.because, page.source))
    return tuple(kept.values()), tuple(left_out)


def dated(
    base: RuleBase, steps: Sequence[FixAdvice], begins: date, behind: Sequence[Dated] = ()
) -> tuple[Dated, ...]:
    """The days of steps, in the order of the days, and on one day in the order of work.

    A step begins on the first day, unless it comes after another: then on the day of the first check of that one.
    Later checks only watch, and hold nothing up. Where the other names no day, its own start is the earliest day.
    A step that waits some days beside another begins no sooner than that. What is `behind` holds others up alike; no
    fix that is behind is a step as well.
    """
    by_fix = {step.fix: step for step in steps}
    done = {item.advice.fix: item for item in behind}
    order = constraints(base, (*by_fix, *done))
    for step in (by_fix[fix] for fix in in_order(base, list(by_fix))):
        waits_for = tuple(found for found in order if found.fix == step.fix)
        free = [_free_from(done[found.after], found) for found in waits_for]
        start = max([begins, *free, *_apart_from(base, step.fix, done)])
        checks = look_days(base.fixes[step.fix].check, start)
        not_before = any(_without_day(done[found.after], found) for found in waits_for)
        done[step.fix] = Dated(step, start, not_before, checks, waits_for)
    return tuple(sorted((done[fix] for fix in by_fix), key=lambda item: item.start))


def look_days(check: Check, done_on: date) -> tuple[date, ...]:
    """The days to look after something was done. Hours count as the same day; half a day and more as the next one."""
    return tuple(done_on + timedelta(days=math.floor(float(days) + 0.5)) for days in check.days)


def _free_from(other: Dated, order: Constraint) -> date:
    if order.days is not None:
        return other.start + timedelta(days=order.days)
    return other.checks[0] if other.checks else other.start


def _without_day(other: Dated, order: Constraint) -> bool:
    return other.not_before or (order.days is None and not other.checks)


def _apart_from(base: RuleBase, fix: str, done: Mapping[str, Dated]) -> list[date]:
    return [
        done[page.other].start + timedelta(days=page.days)
        for page in base.aparts.values()
        if page.days is not None and page.yields == fix and page.other in done
    ]


def needs_of(base: RuleBase, steps: Sequence[FixAdvice]) -> tuple[Need, ...]:
    """What to weigh or pour out, thing by thing. Amounts of one fix of one thing are ways to choose from."""
    found: dict[tuple[str, str], list[Share]] = {}
    for step in steps:
        for key, share in _shares(base, step).items():
            found.setdefault(key, []).append(share)
    return tuple(_need(base, thing, quantity, shares) for (thing, quantity), shares in found.items())


def _shares(base: RuleBase, step: FixAdvice) -> dict[tuple[str, str], Share]:
    weighed = {page.name: page.weighs for page in base.fixes[step.fix].quantities if page.weighs}
    grouped: dict[tuple[str, str], list[tuple[float | None, tuple[str, ...]]]] = {}
    for amount in step.amounts:
        if amount.name in weighed:
            missing = tuple(given for given in amount.inputs.values() if isinstance(given, str))
            grouped.setdefault((weighed[amount.name], amount.quantity), []).append((amount.value, missing))
    shares = {}
    for key, amounts in grouped.items():
        known = [value for value, _ in amounts if value is not None]
        facts = tuple(dict.fromkeys(name for value, names in amounts if value is None for name in names))
        shares[key] = Share(
            step.fix, min(known, default=None), max(known, default=None), () if known else facts
        )
    return shares


def _need(base: RuleBase, thing: str, quantity: str, shares: Sequence[Share]) -> Need:
    low = [share.low for share in shares if share.low is not None]
    high = [share.high for share in shares if share.high is not None]
    spare = base.things[thing].spare_percent
    return Need(
        thing,
        quantity,
        sum(low) if low else None,
        sum(high) if high else None,
        sum(high) * (1 + spare / 100) if high else None,
        spare,
        tuple(shares),
    )


def ready_of(base: RuleBase, steps: Sequence[FixAdvice]) -> tuple[Ready, ...]:
    """What pages ask to have ready in words; the same words once, with every fix that asks for it."""
    found: dict[str, list[str]] = {}
    for step in steps:
        for line in base.fixes[step.fix].prepare:
            found.setdefault(line, []).append(step.fix)
    return tuple(Ready(says, tuple(fixes)) for says, fixes in found.items())
