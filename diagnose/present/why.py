"""The screens that answer why, and why not. A sentence and a paragraph are told in `told`; the full tree is here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diagnose.engine.truth import Truth
from diagnose.explain.asked import Explained
from diagnose.explain.conditions import RuleStands
from diagnose.explain.plan import AmountFrom, WhyDose, WhyOrder, WhyQuestion
from diagnose.explain.said import WhySaid
from diagnose.explain.why import Silent, Spoke, Step, WhyCause, WhyNot
from diagnose.knowledge.models.rules import NeverDone
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import System, show_quantity

from .conditions import condition_told
from .console import Page
from .result import show_never_done
from .told import (
    Length,
    amount_told,
    apart,
    decibans,
    own_told,
    paragraph,
    prior_words,
    said_name,
    sentence,
    stands_words,
)
from .words import (
    answer_words,
    cause_name,
    fact_words,
    first_down,
    observable_name,
    percent,
    sources_words,
    weight_marks,
    weight_words,
)


def show_explained(page: Page, base: RuleBase, found: Explained, units: System, length: Length) -> None:
    """Why, at the length asked for."""
    if length == "sentence":
        page.say(sentence(base, found, units))
    elif length == "paragraph":
        page.say(paragraph(base, found, units))
    elif isinstance(found, WhyCause):
        show_why_cause(page, base, found, units)
    elif isinstance(found, WhyNot):
        show_why_not(page, base, found, units)
    elif isinstance(found, WhySaid):
        show_why_said(page, base, found, units)
    elif isinstance(found, WhyDose):
        show_why_dose(page, base, found, units)
    elif isinstance(found, WhyOrder):
        show_why_order(page, base, found)
    elif isinstance(found, WhyQuestion):
        show_why_question(page, base, found, units)
    else:
        show_never_done(page, base, found)
    if length == "full" and (own := own_told(base, found)):
        page.head("Your own page")
        page.say(own, indent=2)


# ---------------------------------------------------------------- causes


def show_why_cause(page: Page, base: RuleBase, why: WhyCause, units: System) -> None:
    """The balance sheet of a cause: for, against, counted once, not looked at."""
    page.title(f"Why {cause_name(base, why.cause)}: {percent(why.chance)}, {why.word}")
    page.say(prior_words(why))
    if why.cause == UNKNOWN:
        page.say("Nothing speaks for it or against it; it gains when every known cause is spoken against.")
    counted = [item for item in why.spoke if not item.repeats]
    for head, chosen in (
        ("Speaks for it", [item for item in counted if item.decibans > 0]),
        ("Speaks against it", [item for item in counted if item.decibans < 0]),
    ):
        if chosen:
            page.head(head)
        for item in chosen:
            _show_spoke(page, base, item, units)
    repeated = [item for item in why.spoke if item.repeats]
    if repeated:
        page.head("Said twice, counted once")
        for item in repeated:
            page.item(
                "-",
                f"{observable_name(base, item.observe)} ({decibans(item.decibans)}) repeats "
                f"{observable_name(base, str(item.repeats))}",
            )
    _show_confirmation(page, base, why)
    _show_silent(page, base, why.silent)


def _show_spoke(page: Page, base: RuleBase, item: Spoke, units: System) -> None:
    found = f"{observable_name(base, item.observe)}: {answer_words(base, item.observe, item.answer)}"
    strength = f"{item.strength.replace('_', ' ')}, {decibans(item.decibans)}"
    page.item(weight_marks(item.decibans), f"{found} ({strength})")
    page.aside(f"{item.because} [{sources_words(base, item.source)}]", indent=9)
    if abs(item.here - item.decibans) >= 0.5:
        page.aside(f"Here it weighs {decibans(item.here)}{shared_words(base, item)}.", indent=9)
    for step in item.chain:
        if step.rule:
            _show_step(page, base, step, units, 9)


def shared_words(base: RuleBase, item: Spoke) -> str:
    """What explains a part of a finding away, as the end of a sentence."""
    if item.shared_with and item.here < item.decibans:
        names = ", ".join(first_down(cause_name(base, cause)) for cause in item.shared_with[:3])
        return f", since this would bring it too: {names}"
    if item.elsewhere and item.here < item.decibans:
        return ", since another trouble of this wine brings it too"
    return ", beside the other causes"


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


def _show_silent(page: Page, base: RuleBase, silent: Iterable[Silent]) -> None:
    unseen = [item for item in silent if not item.looked]
    if unseen:
        page.head("Nobody has looked yet")
        for item in unseen[:8]:
            said = f"{weight_words(item.most)}, {decibans(item.most)}"
            page.item("-", f"{observable_name(base, item.observe)} (could say {said})")


def show_why_not(page: Page, base: RuleBase, why: WhyNot, units: System) -> None:
    """What parted the first cause from another."""
    winner, other = cause_name(base, why.winner), cause_name(base, why.other)
    page.title(f"Why {first_down(winner)} and not {first_down(other)}")
    if abs(why.prior_gap) >= 1:
        more = winner if why.prior_gap > 0 else other
        page.say(f"{more} is the more common one ({apart(why.prior_gap)}).")
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
    if why.not_so:
        page.head("Looked at, and it did not say so")
        for silent in why.not_so[:6]:
            _show_not_so(page, base, silent, units)
    if why.never_looked:
        page.head("Never looked at, and it could still speak")
        names = [observable_name(base, item.observe) for item in why.never_looked[:6]]
        page.say("; ".join(dict.fromkeys(names)), indent=2)


def _show_not_so(page: Page, base: RuleBase, silent: Silent, units: System) -> None:
    """What would have spoken for a cause, and what was found instead."""
    if silent.would_say:
        wanted = " or ".join(f"“{answer_words(base, silent.observe, answer)}”" for answer in silent.would_say)
        found = answer_words(base, silent.observe, silent.answer)
        page.item("-", f"{observable_name(base, silent.observe)}: {found}; it would speak with {wanted}")
        return
    page.item("-", silent.because)
    for stands in (*silent.stands.failed, *silent.stands.missing):
        page.aside(condition_told(base, stands, units), indent=6)


def _against(one: float, other: float) -> str:
    return (
        f"{weight_marks(one) or 'nothing'} for the one, {weight_marks(other) or 'nothing'} for the other, "
        f"{apart(one - other)} apart"
    )


# ---------------------------------------------------------------- fixes, tests, cautions


def show_why_said(page: Page, base: RuleBase, why: WhySaid, units: System) -> None:
    """Why a fix, a test or a caution stands as it does."""
    if why.kind == "caution":
        page.title(f"Why this caution ({stands_words(why)})")
        page.say(said_name(base, why))
    else:
        page.title(f"Why: {said_name(base, why)} ({stands_words(why)})")
    if why.advice:
        _show_advice(page, base, why, units)
    if why.answered:
        page.head("Read already")
        for step in why.answered:
            _show_step(page, base, step, units, 2)
    if why.fired:
        page.head("Rules that spoke")
        for step in why.fired:
            _show_step(page, base, step, units, 2)
    for cause in why.causes:
        page.aside(sentence(base, cause, units) + f" Ask why {cause.cause} for the rest.", indent=2)
    _show_waiting(page, base, "Rules that did not speak", why.waiting, units)
    _show_waiting(page, base, "What would stand against it, and does not", why.not_against, units)


def _show_advice(page: Page, base: RuleBase, why: WhySaid, units: System) -> None:
    advice = why.advice
    assert advice is not None
    for serve in advice.serves:
        well = serve.how_well.replace("_", " ")
        name = cause_name(base, serve.cause)
        page.item(
            "-",
            f"For {first_down(name)} ({percent(serve.chance)}), which it removes {well}: {serve.because}",
        )
    burdens = ", ".join(f"{name.replace('_', ' ')} {word}" for name, word in advice.burdens.items())
    undo = "can be undone" if base.fixes[why.name].can_be_undone == "yes" else "cannot be undone"
    page.say(f"Costs: {burdens}; {undo}. Rank {advice.score:+.2f}.", indent=2)
    if advice.unlocked_by:
        names = ", ".join(base.tests[test].name for test in advice.unlocked_by)
        page.say(
            f"Locked, because it cannot be undone and no test has confirmed the cause. Opens with: {names}.",
            2,
        )
    for amount in advice.amounts:
        inputs = ", ".join(f"{name} {_plain(value)}" for name, value in amount.inputs.items())
        value = "not known yet"
        if amount.value is not None:
            value = show_quantity(amount.value, amount.quantity, units)
        page.item("·", f"{amount.says}: {value}, by {amount.calculator} from {inputs}")


def _plain(value: float | str) -> str:
    return f"{value:g}" if isinstance(value, float) else f"{value} (not known)"


def _show_waiting(
    page: Page, base: RuleBase, head: str, waiting: Sequence[RuleStands], units: System
) -> None:
    if waiting:
        page.head(head)
        for stands in waiting[:8]:
            page.item("-", f"{stands.because} (rule {stands.rule})")
            for condition in stands.conditions:
                page.aside(condition_told(base, condition, units), indent=6)
        if len(waiting) > 8:
            page.aside(f"and {len(waiting) - 8} more", indent=2)


def _show_step(page: Page, base: RuleBase, step: Step, units: System, indent: int) -> None:
    said = fact_words(base, step.fact, units)
    if step.rule is None:
        weighed = step.fact.name.startswith("cause.")
        page.item("←", f"weighed: {said}" if weighed else f"you said: {said}", indent, says="from")
        return
    source = f" [{sources_words(base, step.source)}]" if step.source else ""
    told = f"{said}. {step.because}{source} (rule {step.rule}{_own(base, step.rule)})"
    page.item("←", told, indent, says="from")
    for behind in step.behind:
        _show_step(page, base, behind, units, indent + 3)


_PAGE_OF = {"evidence": "cause", "request": "cause", "offer": "cause", "never": "fix", "band": "observe"}
"""The kind of page that a rule was made of, by the first part of its name; any other is called as its page is."""


def _own(base: RuleBase, rule: str) -> str:
    """A mark where a rule was made of a page of the cellar's own."""
    made, _, rest = rule.partition("/")
    own = base.own.get((_PAGE_OF.get(made, made), rest.partition("/")[0]))
    return f", of your own {own.rules}" if own else ""


# ---------------------------------------------------------------- doses, order, questions


def show_why_dose(page: Page, base: RuleBase, why: WhyDose, units: System) -> None:
    """How each amount of a fix was worked out, and where each number came from."""
    fix = base.fixes[why.fix]
    page.title(f"How much: {fix.name}")
    if fix.dose:
        page.say(fix.dose.says)
    if not why.amounts:
        page.say("Nothing is worked out for this one.")
    for item in why.amounts:
        page.head(amount_told(item, units))
        if item.refused:
            page.warn(item.refused)
        page.aside(f"by {item.amount.calculator}: {item.formula}", indent=2)
        _show_inputs(page, base, item, units)


def _show_inputs(page: Page, base: RuleBase, item: AmountFrom, units: System) -> None:
    for given in item.inputs:
        unit = f" {given.unit}" if given.unit else ""
        if given.name is None:
            page.item(
                "←", f"{given.parameter} = {given.value:g}{unit}, as the page of the fix says", says="from"
            )
        elif given.step is None:
            unknown = f"{given.parameter}: {observable_name(base, given.name)}, not known yet"
            page.item("←", unknown, says="from")
        else:
            page.item("←", f"{given.parameter} = {given.value:g}{unit}", says="from")
            _show_step(page, base, given.step, units, 5)


def show_why_order(page: Page, base: RuleBase, why: WhyOrder) -> None:
    """Why one step of the plan comes before another."""
    page.title("Why in this order")
    if len(why.steps) > 1:
        page.say(", then ".join(base.fixes[fix].name for fix in why.steps))
    for item in why.constraints:
        page.item("-", f"{base.fixes[item.fix].name} comes after {first_down(base.fixes[item.after].name)}.")
        page.aside(f"{item.because} [{sources_words(base, item.source)}]", indent=6)
    if not why.constraints:
        page.say("No rule sets an order between these. What helps most for its cost stands first.")


def show_why_question(page: Page, base: RuleBase, why: WhyQuestion, units: System) -> None:
    """Why a question is asked, what its answers would change, and what its answer was used for."""
    page.title(f"Why ask: {base.observations[why.question].short}")
    page.say(paragraph(base, why, units))
    if why.candidate:
        page.head("What each answer would change")
        for effect in why.candidate.effects:
            best = {topic: max(sorted(c), key=lambda name: c[name]) for topic, c in effect.chances.items()}
            said = "; ".join(
                f"{first_down(cause_name(base, cause))} first, {percent(effect.chances[topic][cause])}"
                for topic, cause in best.items()
            )
            page.item("-", f"{answer_words(base, why.question, effect.answer)}: {said}")
    failed = [item for item in why.ask_when if item.truth is not Truth.TRUE]
    if failed and not why.answered:
        page.head("Why it is not asked")
        for item in failed:
            page.aside(condition_told(base, item, units), indent=2)
    for step in why.withheld.fired:
        _show_step(page, base, step, units, 2)
    if why.used_by:
        page.head("Rules that its answer made speak")
        page.say(", ".join(why.used_by), indent=2)


__all__ = ["NeverDone", "show_explained"]
