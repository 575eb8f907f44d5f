"""The screen of a whole plan: what to have ready, the days, each step with its way out, and the wine as foreseen."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.calculators.spread import Range
from diagnose.casebook.work import Work
from diagnose.judgement.judge import Judged
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.order import Constraint
from diagnose.planning.projection import NOT_MEASURED, fact_words, quantity_of
from diagnose.planning.whole import LeftOut, Need, PlannedStep, Projected, Share, WholePlan
from diagnose.units import System, show_quantity

from .console import Page
from .result import amount_words, nothing_yet, show_locked, show_work
from .timeline import day_words, timeline, timeline_words
from .words import first_down


def show_whole_plan(
    page: Page, base: RuleBase, judged: Judged, plan: WholePlan, work: Mapping[str, Work], units: System
) -> None:
    """One plan for all faults of a case, from the shopping to the last look."""
    shown = _show_cautions_now(page, base, judged)
    show_work(page, base, work, units)
    if not plan.steps:
        page.title("The plan")
        page.say(nothing_yet(judged.plan))
        show_locked(page, base, judged.plan.locked)
        _show_left_out(page, base, plan)
        return
    _show_ready(page, base, plan, units)
    _show_timeline(page, base, plan)
    page.title("Step by step")
    _show_now(page, base, plan, units)
    for number, step in enumerate(plan.steps, 1):
        shown |= _show_step(page, base, plan, number, step, units, shown)
    _show_left_out(page, base, plan)
    show_locked(page, base, judged.plan.locked)
    page.blank()
    page.aside(
        "The days are the earliest. A step that waits for another begins only if the look at that one was good. "
        "The wine is foreseen by reckoning, with the spread of the usual instruments: measure, and then believe that."
    )


def _show_cautions_now(page: Page, base: RuleBase, judged: Judged) -> frozenset[str]:
    """What can hurt a person in the wine as it stands; what a step brings stands at the step."""
    now = [shown.caution for shown in judged.plan.cautions if shown.holds_now]
    people = [name for name in now if base.cautions[name].harms == "person"]
    if people:
        page.title("Mind")
        for name in people:
            page.warn(base.cautions[name].says)
    return frozenset(people)


def _show_ready(page: Page, base: RuleBase, plan: WholePlan, units: System) -> None:
    page.title("Have ready before you begin")
    for need in plan.needs:
        page.item("-", need_words(base, need, units))
    for ready in plan.ready:
        page.item("-", ready.says)
    if not plan.needs and not plan.ready:
        page.say("Nothing beyond what stands in the cellar.")


def need_words(base: RuleBase, need: Need, units: System) -> str:
    """A thing with what all steps take of it, what to have, and what is not known yet."""
    said = base.things[need.thing].name
    if need.low is not None and need.high is not None and need.have is not None:
        takes = between(need.low, need.high, need.quantity, units)
        have = show_quantity(need.have, need.quantity, units)
        said += f": the plan takes {takes}. Have {have}, {need.spare_percent:g} % to spare."
        if len([share for share in need.shares if share.high is not None]) > 1:
            each = [_share_words(base, share, need, units) for share in need.shares if share.high is not None]
            said += f" ({'; '.join(each)}.)"
    else:
        said += ": how much is not known yet."
    for share in need.shares:
        if share.missing:
            facts = " and ".join(fact_words(base, name) for name in share.missing)
            said += f" For {first_down(base.fixes[share.fix].name)} this is needed first: {facts}."
    return said


def _share_words(base: RuleBase, share: Share, need: Need, units: System) -> str:
    assert share.low is not None and share.high is not None
    return (
        f"{between(share.low, share.high, need.quantity, units)} for {first_down(base.fixes[share.fix].name)}"
    )


def _show_timeline(page: Page, base: RuleBase, plan: WholePlan) -> None:
    page.title("The days")
    names = [base.fixes[step.advice.fix].name for step in plan.steps]
    page.drawing(lambda width: timeline(plan, names, width), timeline_words(plan, names))


def _show_now(page: Page, base: RuleBase, plan: WholePlan, units: System) -> None:
    said = numbers_words(base, plan.now, units)
    page.say(f"The wine now: {said or 'no number is known'}.")
    open_ = [base.tracked[name].name for name, why in plan.now.open.items() if why == NOT_MEASURED]
    if open_:
        page.aside(f"Not foreseen, for nobody has measured it: {', '.join(map(first_down, open_))}.")


def _show_step(
    page: Page,
    base: RuleBase,
    plan: WholePlan,
    number: int,
    step: PlannedStep,
    units: System,
    told: frozenset[str],
) -> frozenset[str]:
    """One step; its cautions for people, unless they were told further up. Returns those told here."""
    fix = base.fixes[step.advice.fix]
    page.blank()
    page.item(f"{number}.", f"{fix.name}  [steps {fix.fix}]", style="bold")
    page.say(f"{start_words(step)}.", indent=6)
    for warning in step.warnings:
        page.warn(f"Foreseen: {warning.says}", indent=5)
    named = dict.fromkeys((*fix.cautions, *(caution for each in fix.steps for caution in each.caution)))
    people = [name for name in named if base.cautions[name].harms == "person" and name not in told]
    for name in people:
        page.warn(base.cautions[name].says, indent=5)
    for constraint in step.waits_for:
        page.aside(after_words(base, plan, constraint), indent=6)
    for amount in step.advice.amounts:
        if amount.value is not None:
            page.item("·", f"{amount.says}: {amount_words(amount, units)}", indent=6)
    page.say(f"Look: {look_words(base, step)}. {fix.check.do}", indent=6)
    page.say(f"Good: {fix.check.good}", indent=6)
    page.say(f"If not: {fix.check.if_not}", indent=6)
    page.say(f"If it fails: {fix.if_it_fails}", indent=6)
    for line in changed_words(base, step, units):
        page.say(line, indent=6)
    return frozenset(people)


def start_words(step: PlannedStep) -> str:
    """When a step begins."""
    return f"{'Not before ' if step.not_before else ''}{day_words(step.start)}"


def look_words(base: RuleBase, step: PlannedStep) -> str:
    """When to look whether a step worked."""
    after = base.fixes[step.advice.fix].check.after
    return f"{', '.join(map(day_words, step.checks))} ({after})" if step.checks else after


def after_words(base: RuleBase, plan: WholePlan, constraint: Constraint) -> str:
    """What a step comes after, by its number, or by its name and day where that was done already; and why."""
    for number, step in enumerate(plan.steps, 1):
        if step.advice.fix == constraint.after:
            return f"After step {number}: {constraint.because}"
    done = next(item for item in plan.behind if item.advice.fix == constraint.after)
    name = first_down(base.fixes[constraint.after].name)
    return f"After {name}, done on {done.start}: {constraint.because}"


def changed_words(base: RuleBase, step: PlannedStep, units: System) -> tuple[str, ...]:
    """What the wine is foreseen to be after a step, where the step changes it, and what cannot be foreseen."""
    changed = Projected(
        {name: found for name, found in step.after.numbers.items() if step.before.numbers.get(name) != found},
        {},
    )
    lines = [f"The wine then: {numbers_words(base, changed, units)}."] if changed.numbers else []
    lost: dict[str, list[str]] = {}
    for name, why in step.after.open.items():
        if name in step.before.numbers:
            lost.setdefault(why, []).append(base.tracked[name].name)
    lines += [f"No longer known: {', '.join(map(first_down, names))}: {why}." for why, names in lost.items()]
    return tuple(lines)


def numbers_words(base: RuleBase, state: Projected, units: System) -> str:
    """The followed numbers in one line."""
    return "; ".join(
        f"{first_down(base.tracked[name].name)} {range_words(state.numbers[name], quantity_of(base, name), units)}"
        for name in base.tracked
        if name in state.numbers and (state.numbers[name].high > 0)
    )


def range_words(found: Range, quantity: str, units: System) -> str:
    """A number with its ends, in three digits that mean something."""
    middle = show_quantity(found.value, quantity, units)
    ends = between(found.low, found.high, quantity, units)
    return middle if ends == middle else f"{middle} ({ends})"


def between(low: float, high: float, quantity: str, units: System) -> str:
    """A range with its unit said once where both ends have it."""
    first, last = (show_quantity(max(0.0, end), quantity, units) for end in (low, high))
    if first == last:
        return first
    number, _, unit = first.partition(" ")
    return f"{number} to {last}" if last.endswith(f" {unit}") else f"{first} to {last}"


def _show_left_out(page: Page, base: RuleBase, plan: WholePlan) -> None:
    if not plan.left_out:
        return
    page.title("Left out of this plan")
    for left in plan.left_out:
        name = base.fixes[left.advice.fix].name
        page.item("x", f"{name}. {beside_words(base, left)} {left.because}")


def beside_words(base: RuleBase, left: LeftOut) -> str:
    """What a fix that was left out must not stand beside."""
    return f"It must not stand beside {first_down(base.fixes[left.beside].name)}."
