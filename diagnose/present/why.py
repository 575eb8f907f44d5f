"""The screens that answer why, and why not."""

from __future__ import annotations

from diagnose.engine.truth import Truth
from diagnose.explain.why import RuleStands, Step, WhyCause, WhyFix, WhyNot
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import System, show_quantity

from .console import Page
from .words import (
    answer_words,
    cause_name,
    fact_words,
    first_down,
    observable_name,
    percent,
    weight_marks,
    weight_words,
)


def show_why_cause(page: Page, base: RuleBase, why: WhyCause, units: System) -> None:
    """The balance sheet of a cause: for, against, counted once, not looked at."""
    page.title(f"Why {cause_name(base, why.cause)}: {percent(why.chance)}, {why.word}")
    common = why.how_common.replace("_", " ")
    page.say(f"How common it is where something is wrong: {common}.")
    if why.cause == UNKNOWN:
        page.say("Nothing speaks for it or against it; it gains when every known cause is spoken against.")
    for head, chosen in (
        ("Speaks for it", [item for item in why.spoke if item.decibans > 0 and not item.repeats]),
        ("Speaks against it", [item for item in why.spoke if item.decibans < 0 and not item.repeats]),
    ):
        if chosen:
            page.head(head)
        for item in chosen:
            found = f"{observable_name(base, item.observe)}: {answer_words(base, item.observe, item.answer)}"
            strength = item.strength.replace("_", " ")
            page.item(weight_marks(item.decibans), f"{found} ({strength})")
            page.aside(f"{item.because} [{sources_words(base, item.source)}]", indent=9)
            if abs(item.here) < abs(item.decibans) / 2 and item.decibans > 0:
                page.aside("Here it weighs less than half of that: other causes explain it too.", indent=9)
            for step in item.chain:
                if step.rule:
                    _show_step(page, base, step, units, 9)
    repeated = [item for item in why.spoke if item.repeats]
    if repeated:
        page.head("Said twice, counted once")
        for item in repeated:
            page.item(
                "-",
                f"{observable_name(base, item.observe)} repeats {observable_name(base, str(item.repeats))}",
            )
    _show_confirmation(page, base, why)
    _show_silent(page, base, why)


def _show_confirmation(page: Page, base: RuleBase, why: WhyCause) -> None:
    if why.confirmed_by:
        names = ", ".join(observable_name(base, fact.name) for fact in why.confirmed_by)
        page.head("Confirmed by")
        page.say(names, indent=2)
    elif why.could_confirm:
        page.head("Would confirm it")
        for observe, answers in why.could_confirm:
            said = " or ".join(answer_words(base, observe, answer) for answer in answers)
            page.item("-", f"{observable_name(base, observe)}: {said}")


def _show_silent(page: Page, base: RuleBase, why: WhyCause) -> None:
    unseen = [item for item in why.silent if not item.looked]
    if unseen:
        page.head("Nobody has looked yet")
        for item in unseen[:8]:
            page.item("-", f"{observable_name(base, item.observe)} (could say {weight_words(item.most)})")


def show_why_not(page: Page, base: RuleBase, why: WhyNot) -> None:
    """What parted the first cause from another."""
    winner, other = cause_name(base, why.winner), cause_name(base, why.other)
    page.title(f"Why {first_down(winner)} and not {first_down(other)}")
    if abs(why.prior_gap) >= 1:
        more = winner if why.prior_gap > 0 else other
        page.say(f"{more} is the more common one.")
    found = [item for item in why.differences if item.winner > item.other]
    if found:
        page.head("Known, and it parts them")
    for item in found[:8]:
        said = f"{observable_name(base, item.observe)}: {answer_words(base, item.observe, item.answer)}"
        page.item("-", f"{said} ({_against(item.winner, item.other)})")
        page.aside(item.because, indent=6)
    turned = [item for item in why.differences if item.winner < item.other]
    if turned:
        page.head(f"Known, and it speaks for {first_down(other)}")
    for item in turned[:5]:
        said = f"{observable_name(base, item.observe)}: {answer_words(base, item.observe, item.answer)}"
        page.item("-", f"{said} ({_against(item.other, item.winner)})")
    if why.never_looked:
        page.head("Never looked at, and it could still speak")
        names = [observable_name(base, item.observe) for item in why.never_looked[:6]]
        page.say("; ".join(dict.fromkeys(names)), indent=2)


def show_why_fix(page: Page, base: RuleBase, why: WhyFix, units: System) -> None:
    """Why a fix is offered, locked, forbidden or not spoken of."""
    fix = base.fixes[why.fix]
    state = why.advice.state if why.advice else "not spoken of"
    page.title(f"Why: {fix.name} ({state})")
    if why.advice:
        for serve in why.advice.serves:
            well = serve.how_well.replace("_", " ")
            name = cause_name(base, serve.cause)
            page.item(
                "-",
                f"For {first_down(name)} ({percent(serve.chance)}), which it removes {well}: {serve.because}",
            )
        burdens = ", ".join(f"{name.replace('_', ' ')} {word}" for name, word in why.advice.burdens.items())
        undo = "can be undone" if fix.can_be_undone == "yes" else "cannot be undone"
        page.say(f"Costs: {burdens}; {undo}. Rank {why.advice.score:+.2f}.", indent=2)
        if why.advice.unlocked_by:
            names = ", ".join(base.tests[test].name for test in why.advice.unlocked_by)
            page.say(
                f"Locked, because it cannot be undone and no test has confirmed the cause. Opens with: {names}.",
                2,
            )
        for amount in why.advice.amounts:
            inputs = ", ".join(f"{name} {_plain(value)}" for name, value in amount.inputs.items())
            value = "not known yet"
            if amount.value is not None:
                value = show_quantity(amount.value, amount.quantity, units)
            page.item("·", f"{amount.says}: {value}, by {amount.calculator} from {inputs}")
    if why.fired:
        page.head("Rules that spoke")
        for step in why.fired:
            _show_step(page, base, step, units, 2)
    if why.waiting:
        page.head("Rules that did not speak")
        for stands in why.waiting[:8]:
            _show_stands(page, base, stands)


def _against(one: float, other: float) -> str:
    return f"{weight_marks(one) or 'nothing'} for the one, {weight_marks(other) or 'nothing'} for the other"


def _plain(value: float | str) -> str:
    return f"{value:g}" if isinstance(value, float) else f"{value} (not known)"


def _show_step(page: Page, base: RuleBase, step: Step, units: System, indent: int) -> None:
    said = fact_words(base, step.fact, units)
    if step.rule is None:
        page.item("←", f"you said: {said}", indent=indent)
        return
    source = f" [{sources_words(base, step.source)}]" if step.source else ""
    page.item("←", f"{said}. {step.because}{source} (rule {step.rule})", indent=indent)
    for behind in step.behind:
        _show_step(page, base, behind, units, indent + 3)


def _show_stands(page: Page, base: RuleBase, stands: RuleStands) -> None:
    verdicts = {Truth.TRUE: "holds", Truth.FALSE: "is not so", Truth.UNKNOWN: "nobody has looked"}
    page.item("-", f"{stands.because} (rule {stands.rule})")
    for leaf in stands.conditions:
        value = f", it is {leaf.value}" if leaf.truth is Truth.FALSE and leaf.value else ""
        page.aside(f"{leaf.says}: {verdicts[leaf.truth]}{value}", indent=6)


def sources_words(base: RuleBase, sources: tuple[str, ...]) -> str:
    """Sources as a short reference."""
    return "; ".join(dict.fromkeys(source_words(base, source) for source in sources))


def source_words(base: RuleBase, source: str) -> str:
    """One source as a short reference."""
    page = base.sources[source]
    parts = [page.author, page.title if not page.author else None, f"{page.year:.0f}" if page.year else None]
    return ", ".join(part for part in parts if part) or page.title
