"""The whole plan in a report: what to have ready, the days, the steps, and the wine as foreseen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import FixAdvice
from diagnose.planning.projection import quantity_of
from diagnose.planning.whole import PlannedStep, Projected, WholePlan
from diagnose.present.plan import (
    after_words,
    beside_words,
    changed_words,
    look_words,
    need_words,
    range_words,
    start_words,
)
from diagnose.present.result import standing_words
from diagnose.present.timeline import day_words
from diagnose.present.words import first_down
from diagnose.units import System

from .case import CaseJudged
from .procedures import Procedures
from .timeline import draw_days
from .told import DayTold, Named, PlannedTold, PlanTold, Sentence

NOT_KNOWN = "not known"


def tell_plan(it: CaseJudged, whole: WholePlan, sheets: Procedures) -> PlanTold:
    """The whole plan in words, with the numbers of its sources."""
    base, units = it.base, it.case.units
    days = tuple(_days(it, whole))
    said = "; ".join(f"{day.what}: begins {day.begins}, look {day.look}" for day in days)
    states = [whole.now, *(step.after for step in whole.steps)]
    return PlanTold(
        begins=f"{day_words(whole.begins)} {whole.begins.year}",
        ready=(
            *(need_words(base, need, units) for need in whole.needs),
            *(each.says for each in whole.ready),
        ),
        days=days,
        drawing=draw_days(whole, said),
        steps=tuple(_step(it, whole, sheets, step) for step in whole.steps),
        heads=("Now", *(f"After step {number}" for number in range(1, len(states)))),
        numbers=tuple(_numbers(base, states, units)) if whole.steps else (),
        left_out=tuple(
            Named(
                base.fixes[left.advice.fix].name,
                (sheets.citations.sentence(left.because, left.source),),
                beside_words(base, left),
            )
            for left in whole.left_out
        ),
    )


def serves(it: CaseJudged, sheets: Procedures, advice: FixAdvice) -> tuple[Sentence, ...]:
    """For which causes a fix is, how well it works, and why."""
    sources = {reason.says: reason.source for reason in advice.offered_by}
    return tuple(
        sheets.citations.sentence(
            f"For {first_down(it.cause_name(serve.cause))}, which it removes "
            f"{serve.how_well.replace('_', ' ')}: {serve.because}",
            sources.get(serve.because, ()),
        )
        for serve in advice.serves
    )


def _days(it: CaseJudged, whole: WholePlan) -> Iterator[DayTold]:
    """What was done and is still to be looked at, then the steps."""
    work = it.state.done()
    for item in whole.behind:
        name = it.base.fixes[item.advice.fix].name
        yield DayTold(name, "done", standing_words(it.base, work[item.advice.fix]))
    for number, step in enumerate(whole.steps, 1):
        name = it.base.fixes[step.advice.fix].name
        yield DayTold(f"{number}. {name}", start_words(step), look_words(it.base, step))


def _step(it: CaseJudged, whole: WholePlan, sheets: Procedures, step: PlannedStep) -> PlannedTold:
    base, advice = it.base, step.advice
    page, work = base.fixes[advice.fix], it.state.done().get(advice.fix)
    begun = work.steps if work and work.stands == "begun" else ()
    fix = sheets.fix(
        advice.fix, advice.amounts, (*serves(it, sheets, advice), *sheets.offered(advice)), begun
    )
    after = (
        sheets.citations.sentence(after_words(base, whole, wait), wait.source) for wait in step.waits_for
    )
    look = f"Look: {look_words(base, step)}. {page.check.do}"
    return PlannedTold(
        # What to have ready stands before the steps, for all of them together.
        fix=replace(fix, after=tuple(after), prepare=(), check=look),
        when=start_words(step),
        warnings=tuple(sheets.citations.sentence(each.says, each.source) for each in step.warnings),
        then=changed_words(base, step, it.case.units),
    )


def _numbers(
    base: RuleBase, states: Iterable[Projected], units: System
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The followed numbers that are known at any time, a line for each; none for what stays nought."""
    all_states = tuple(states)
    for name, page in base.tracked.items():
        found = [state.numbers.get(name) for state in all_states]
        if any(each is not None and each.high > 0 for each in found):
            quantity = quantity_of(base, name)
            cells = (NOT_KNOWN if each is None else range_words(each, quantity, units) for each in found)
            yield page.name, tuple(cells)
