"""What is said back when something was done or checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from diagnose.casebook.models import CaseFile
from diagnose.casebook.work import Work
from diagnose.judgement.judge import Judged
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.added import Deviation, OverLimit
from diagnose.planning.fixes import FixAdvice
from diagnose.units import show_quantity

from .console import Page
from .result import limit_words
from .words import cause_name, first_down, percent


def show_clock(page: Page, today: date, last: date | None, case: str) -> None:
    """Says once that the clock of the machine is behind the case; nothing is refused for it."""
    if last and today < last:
        page.warn(
            f"The clock of this machine says {today}, but the last event of {case} is of {last}. "
            "Everything is kept as it comes. Set the clock, or give the day with --on."
        )


def show_done(
    page: Page,
    base: RuleBase,
    work: Work,
    check: date | None,
    differs: Sequence[Deviation],
    over: Sequence[OverLimit],
    against: FixAdvice | None,
    case: CaseFile,
    own: Mapping[str, float],
) -> None:
    """A fix that was done: what differs from the plan, what the rules say against it, and when to look."""
    fix = base.fixes[work.fix]
    if work.stands == "begun":
        page.say(f"Kept: {fix.name}, {step_words(work)} of {len(fix.steps)}, done on {work.done_on}.")
    else:
        page.say(f"Kept: {fix.name}, done on {work.done_on}.")
    for item in differs:
        added, planned = (
            show_quantity(value, item.quantity, case.units) for value in (item.added, item.planned)
        )
        more = "more" if item.added > item.planned else "less"
        page.warn(f"{item.says}: {added} went in, {more} than the {planned} planned.")
    for passed in over:
        page.warn(
            f"With what was really added it comes to {passed.reached:.3g} {passed.limit.unit}, above a limit on its "
            f"page. Look whether it counts for you. {limit_words(passed.limit, own.get(passed.limit.limit))}"
        )
    if against and against.state == "forbidden":
        page.warn(
            "These rules would not have done it here. " + " ".join(item.says for item in against.forbidden_by)
        )
    elif against:
        page.warn("It was still locked here: no test had confirmed the cause.")
    if work.stands != "begun":
        page.blank()
        when = f"Check it on {check}" if check else f"Check it after {fix.check.after}"
        page.say(f"{when}: {first_down(fix.check.do)}")
        page.aside(f"Then: diagnose checked {case.case} {work.fix} good (or not-good, or unsure)")


def step_words(work: Work) -> str:
    """The steps done by themselves."""
    steps = [str(step) for step in sorted(work.steps)]
    return f"step{'s' if len(steps) > 1 else ''} {', '.join(steps)}"


def show_turn(
    page: Page,
    base: RuleBase,
    case: CaseFile,
    fix: str,
    found: str,
    answered: tuple[str, str] | None,
    before: Judged,
    after: Judged,
) -> None:
    """A check: what it answers, how the causes stand with it, and how to go on."""
    it = base.fixes[fix]
    words = {"good": "good", "not_good": "not good", "unsure": "unsure"}[found]
    page.say(f"Kept: {it.name}, checked: {words}.")
    if answered:
        page.item("-", f"{answered[0]}: {answered[1]}")
    if found == "not_good":
        page.blank()
        page.say(it.check.if_not)
        page.say(it.if_it_fails)
    stood = {standing.cause: standing for standing in before.standings}
    turned = [
        standing
        for standing in after.standings
        if standing.cause in stood and standing.word != stood[standing.cause].word
    ]
    if turned:
        page.head("What this changes")
    for standing in turned:
        was = stood[standing.cause]
        page.item(
            percent(standing.chance),
            f"{cause_name(base, standing.cause)} · {standing.word}; it was {was.word}, {percent(was.chance)}",
        )
    page.blank()
    if found == "good":
        page.say("It is not advised again. What is still open: diagnose due")
    else:
        page.say(f"The questions and the plan go on with this: diagnose continue {case.case}")
