"""The last screens: what is probably wrong, what to test, what to do in which order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from diagnose.casebook.work import Work
from diagnose.days.due import check_day
from diagnose.engine.compile import REFUSED
from diagnose.engine.facts import Value
from diagnose.judgement.judge import Judged
from diagnose.knowledge.models.rules import NeverDone
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.vocabulary import Clash, Limit
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import Amount, FixAdvice
from diagnose.planning.plan import Plan
from diagnose.reasoning.questions import Candidate, cost_of
from diagnose.reasoning.turning import TurningPoint, turning_points
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import System, show_quantity

from .console import Page
from .question import time_words, work_words
from .steps import BLANK, show_steps
from .words import answer_words, cause_name, first_down, observable_name, percent, with_own


def show_causes(page: Page, base: RuleBase, judged: Judged, brought: Collection[str], most: int = 5) -> None:
    """The causes that are still possible, most likely first, for each kind of trouble."""
    page.title("What is probably wrong")
    for topic, first in judged.firsts.items():
        if len(judged.topics) > 1:
            page.head(
                base.topics[topic].name + ("" if topic in brought else " (your answers point to this too)")
            )
        for standing in judged.of(topic)[:most]:
            if standing.word == "unlikely" and standing is not first:
                break
            name = cause_name(base, standing.cause)
            page.item(
                percent(standing.chance).rjust(4),
                f"{name} · {standing.word}"
                + ("" if standing.cause == UNKNOWN else f"  [why {standing.cause}]"),
                style="bold" if standing is first else "",
            )
    for name, values in judged.facts.items():
        if name.startswith(REFUSED):
            page.warn(f"{observable_name(base, name.removeprefix(REFUSED))}: {values[0]}")
    show_clashes(page, base, judged.clashes)
    page.blank()
    if not judged.trace.evidence:
        page.say("Nothing that was told so far speaks for any of them. These are only the commonest ones.")
        return
    for topic, first in judged.firsts.items():
        if topic not in brought and not first.is_likely:
            page.say(
                f"{base.topics[topic].name}: not clear yet. Your answers point to it without saying why."
            )
        elif first.cause == UNKNOWN:
            page.say(base.topics[topic].unknown_cause)
            for line in base.topics[topic].if_unknown:
                page.item("-", line)
        else:
            page.say(with_own(base, "cause", first.cause, base.causes[first.cause].summary))


def show_never_done(page: Page, base: RuleBase, wrong: NeverDone) -> None:
    """A wrong way that somebody asked for: why it is never done, its dangers, and what is done instead."""
    page.title(f"{wrong.name}: never done")
    page.warn(wrong.because)
    for caution in wrong.caution:
        page.warn(base.cautions[caution].says)
    if wrong.instead:
        page.say("Instead:")
        for fix in wrong.instead:
            page.item("-", f"{base.fixes[fix].name}  [steps {fix}]")


def show_clashes(page: Page, base: RuleBase, clashes: Iterable[Clash]) -> None:
    """Answers that cannot all be right: both are kept, and which to measure again is said."""
    for clash in clashes:
        page.warn(clash_words(base, clash))


def clash_words(base: RuleBase, clash: Clash) -> str:
    """What does not fit together, and what to measure again."""
    names = " and ".join(first_down(observable_name(base, name)) for name in clash.measure_again)
    return f"These do not fit together. {clash.says} Both are kept. Measure again: {names}. {clash.how}"


def contradiction_words(base: RuleBase, name: str, values: Iterable[Value]) -> str:
    """A finding that came out with several values at once."""
    said = " and ".join(f"“{answer_words(base, name, str(value))}”" for value in values)
    return f"{observable_name(base, name)}: the findings say both {said}. Measure that again."


def show_plan(
    page: Page,
    base: RuleBase,
    judged: Judged,
    doubts: tuple[Candidate, ...],
    units: System,
    work: Mapping[str, Work],
) -> None:
    """What was done, tests, fixes in order, what is locked and what must not be done."""
    plan = judged.plan
    show_cautions(page, base, judged)
    show_work(page, base, work, units)
    if plan.tests:
        page.title("Test before you treat")
        for proposed in plan.tests[:5]:
            test = base.tests[proposed.test]
            where = " · laboratory" if test.where == "laboratory" else ""
            page.item("-", f"{test.name} ({time_words(test)}){where}  [test {proposed.test}]")
            page.aside(with_own(base, "test", proposed.test, proposed.reasons[0].says), indent=6)
    page.title("What to do, in this order")
    if not plan.steps:
        page.say(nothing_yet(plan))
    for number, advice in enumerate(plan.steps, 1):
        fix = base.fixes[advice.fix]
        page.item(f"{number}.", f"{fix.name}  [steps {fix.fix}]", style="bold")
        page.say(with_own(base, "fix", fix.fix, fix.does), indent=6)
        _show_dose(page, fix, advice, units, indent=6)
        for constraint in plan.order:
            if constraint.fix == advice.fix:
                page.aside(
                    f"After {first_down(base.fixes[constraint.after].name)}: {constraint.because}", indent=6
                )
        page.aside(f"Then: {fix.check.after}, {first_down(fix.check.do)}", indent=6)
    show_locked(page, base, plan.locked)
    _show_others(page, base, plan.others)
    if plan.forbidden_in_play:
        page.title("Not now")
        for advice in plan.forbidden_in_play:
            page.item("x", f"{base.fixes[advice.fix].name}: {advice.forbidden_by[0].says}")
    _show_doubt(page, base, judged, doubts)


def show_work(page: Page, base: RuleBase, work: Mapping[str, Work], units: System) -> None:
    """Each fix that was done: how it stands, and what really went in."""
    if work:
        page.title("What was done")
    for item in work.values():
        page.item("-", f"{base.fixes[item.fix].name}: {standing_words(base, item)}")
        for says, amount in added_words(base, item, units):
            page.item("·", f"{says}: {amount} went in", indent=6)


def added_words(base: RuleBase, work: Work, units: System) -> tuple[tuple[str, str], ...]:
    """What really went in, by the words of the page."""
    fix = base.fixes[work.fix]
    says = {"dose": "Dose", **{quantity.name: quantity.says for quantity in fix.quantities}}
    return tuple(
        (says[name], show_quantity(value, fix.amount_quantities[name], units))
        for name, value in work.amounts.items()
        if name in fix.amount_quantities
    )


def standing_words(base: RuleBase, work: Work) -> str:
    """How a fix stands that was done, with its days."""
    fix, done = base.fixes[work.fix], f"done on {work.done_on}"
    if work.stands == "begun":
        return f"begun, {done}; {len(work.steps)} of {len(fix.steps)} steps"
    if work.stands in ("good", "not_good"):
        found = "good" if work.stands == "good" else f"not good. {fix.if_it_fails}"
        return f"{done}, checked on {work.checked_on}: {found}"
    day = check_day(fix.check, work)[1]
    again = "not clear yet, " if work.stands == "unsure" else ""
    return f"{done}, {again}check {f'on {day}' if day else f'after {fix.check.after}'}"


def nothing_yet(plan: Plan) -> str:
    """Why a plan has no steps."""
    why = "a test must confirm the cause first" if plan.locked else "no cause is likely enough to treat"
    return f"Nothing yet: {why}."


def _show_dose(page: Page, fix: Fix, advice: FixAdvice, units: System, indent: int) -> None:
    if fix.trial and fix.dose:
        known = [amount for amount in advice.amounts if amount.value is not None]
        if not known:
            page.say(f"Dose: from a bench trial first. {fix.dose.says}", indent=indent)
    for amount in advice.amounts:
        if amount.value is not None:
            page.item("·", f"{amount.says}: {amount_words(amount, units)}", indent=indent)


def show_locked(page: Page, base: RuleBase, locked: tuple[FixAdvice, ...]) -> None:
    """The fixes that cannot be undone and whose cause no test has confirmed, with the tests that would."""
    if not locked:
        return
    page.title("Locked until a test confirms it")
    for advice in locked:
        names = [base.tests[test].name for test in advice.unlocked_by]
        keys = f" Opens with: {', '.join(names)}." if names else ""
        page.item("#", f"{base.fixes[advice.fix].name}. It cannot be undone.{keys}")


def _show_others(page: Page, base: RuleBase, others: tuple[FixAdvice, ...]) -> None:
    if others:
        names = ", ".join(f"{base.fixes[advice.fix].name} [steps {advice.fix}]" for advice in others[:5])
        page.head("Other ways")
        page.say(names, indent=2)


def show_cautions(page: Page, base: RuleBase, judged: Judged) -> None:
    """What can hurt a person now: from the state of the wine, and from the fixes chosen.

    Cautions of tests and of fixes that are not chosen stand at their own steps.
    """
    chosen = {f"caution/fix/{advice.fix}" for advice in judged.plan.steps}
    urgent = [
        base.cautions[shown.caution]
        for shown in judged.plan.cautions
        if shown.holds_now or any(reason.rule in chosen for reason in shown.reasons)
    ]
    people = [caution for caution in urgent if caution.harms == "person"]
    if people:
        page.title("Mind")
        for caution in people:
            page.warn(caution.says)


def cost_words(base: RuleBase, observation: str) -> str:
    """What it costs to find out."""
    page = base.observations[observation]
    test = cost_of(base, page)[1]
    return time_words(base.tests[test]) if test else work_words(page.effort)


def turning_told(judged: Judged, doubts: tuple[Candidate, ...]) -> list[TurningPoint]:
    """The answers that would put another cause first; one of a question stands for all that would do the same."""
    turning = turning_points(judged.first_causes, doubts)
    told = {(point.observation, point.cause): point for point in reversed(turning)}
    return [*reversed(told.values())]


def _show_doubt(page: Page, base: RuleBase, judged: Judged, doubts: tuple[Candidate, ...]) -> None:
    """What could still change the advice, and what it would cost to find out."""
    turning = turning_told(judged, doubts)
    page.title("What could change this")
    if not turning and not judged.contradictions:
        page.say("No single answer that is still open would put another cause first.")
    for point in turning[:4]:
        found = answer_words(base, point.observation, point.answer)
        cause = first_down(cause_name(base, point.cause))
        short = base.observations[point.observation].short
        page.item(
            "-",
            f"{short}: “{found}” would put {cause} first. It costs {cost_words(base, point.observation)}.",
        )
    for name, values in judged.contradictions.items():
        page.warn(contradiction_words(base, name, values))


def amount_words(amount: Amount, units: System) -> str:
    """An amount with its unit, or a blank to fill in."""
    if amount.value is None:
        return BLANK
    return show_quantity(amount.value, amount.quantity, units)


def show_fix(
    page: Page,
    base: RuleBase,
    fix_id: str,
    amounts: tuple[Amount, ...],
    units: System,
    own_limits: Mapping[str, float],
) -> None:
    """A fix as a sheet to work from: quantities for this vessel, cautions at the step, limits as they count here."""
    fix = base.fixes[fix_id]
    page.title(fix.name)
    page.say(with_own(base, "fix", fix_id, fix.does))
    if fix.done_by == "professional":
        page.warn("This is work for a professional with a licence; here is what to expect and to ask for.")
    if fix.dose:
        page.head("Dose")
        page.say(fix.dose.says, indent=2)
        for name in fix.dose.limit:
            page.aside(limit_words(base.limits[name], own_limits.get(name)), indent=2)
    if fix.trial:
        page.head("Bench trial first")
        page.say(fix.trial.says, indent=2)
    if fix.prepare:
        page.head("Have ready")
        for line in fix.prepare:
            page.item("-", line)
    page.head("Steps")
    filled = {amount.name: amount_words(amount, units) for amount in amounts}
    shown = show_steps(page, base, fix.steps, filled)
    rest = [caution for caution in fix.cautions if caution not in shown]
    if rest:
        page.head("Mind also")
        for caution in rest:
            page.warn(base.cautions[caution].says, indent=2)
    page.head("Did it work?")
    page.say(f"After {fix.check.after}: {fix.check.do}", indent=2)
    page.say(f"Good: {fix.check.good}", indent=2)
    page.say(f"If not: {fix.check.if_not}", indent=2)
    page.say(f"If it fails: {fix.if_it_fails}", indent=2)


def limit_words(limit: Limit, own: float | None = None) -> str:
    """A limit with the year of the text it was read in, or the figure the person set in its place."""
    if own is not None and own != limit.value:
        return (
            f"Your own limit: {limit.name}, {own:g} {limit.unit}, instead of {limit.value:g} ({limit.jurisdiction}). "
            "The law where you are and the label come first."
        )
    year = f", text of {limit.year_of_text:.0f}" if limit.year_of_text else ""
    return (
        f"Limit ({limit.jurisdiction}{year}): {limit.name}, {limit.value:g} {limit.unit}. "
        "Laws change; the law where you are and the label come first."
    )


def show_so_far(page: Page, base: RuleBase, judged: Judged) -> None:
    """Where things stand in the middle of a consultation."""
    page.head("So far")
    for topic in judged.topics:
        if len(judged.topics) > 1:
            page.say(base.topics[topic].name, indent=2, style="bold")
        for standing in judged.of(topic)[:3]:
            page.item(
                percent(standing.chance).rjust(4), f"{cause_name(base, standing.cause)} · {standing.word}"
            )
    page.aside("Not a verdict yet.", indent=2)
