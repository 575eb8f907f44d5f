"""Explanations as a sentence or a paragraph: the words of the pages, joined by grammar."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import log10
from typing import Literal

from diagnose.engine.truth import Truth
from diagnose.explain.asked import Explained
from diagnose.explain.conditions import RuleStands
from diagnose.explain.plan import AmountFrom, WhyDose, WhyOrder, WhyQuestion
from diagnose.explain.said import WhySaid
from diagnose.explain.why import Spoke, WhyCause, WhyNot
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import System, show_quantity

from .conditions import condition_told
from .words import (
    NARROW,
    answer_words,
    cause_name,
    fact_words,
    first_down,
    observable_name,
    own_words,
    percent,
)

Length = Literal["sentence", "paragraph", "full"]
"""How much is told."""

MOST_TOLD = 3
"""So many findings of a kind stand in a paragraph."""


def decibans(value: float) -> str:
    """A strength as a number, with its sign."""
    rounded = round(value, 1) or 0.0
    sign = "+" if rounded > 0 else "−" if rounded < 0 else ""
    return f"{sign}{abs(rounded):g}{NARROW}decibans"


def apart(value: float) -> str:
    """How far two strengths lie apart."""
    return decibans(abs(value)).removeprefix("+")


def prior_words(why: WhyCause) -> str:
    """How common a cause is beforehand, in words and in numbers."""
    odds = 10 * log10(why.prior / (1 - why.prior))
    common = why.how_common.replace("_", " ")
    return (
        f"How common it is where something is wrong: {common} "
        f"({percent(why.prior)} beforehand, {decibans(odds)})."
    )


def said_name(base: RuleBase, why: WhySaid) -> str:
    """What a fix, test or question is called; a caution is its own sentence."""
    if why.kind == "fix":
        return base.fixes[why.name].name
    if why.kind == "test":
        return base.tests[why.name].name
    return base.cautions[why.name].says if why.kind == "caution" else base.observations[why.name].short


def stands_words(why: WhySaid) -> str:
    """How it stands, in a word or two."""
    words = {"answered": "read already", "requested": "worth doing", "withheld": "must wait"}
    return words.get(why.stands, why.stands)


def amount_told(item: AmountFrom, units: System) -> str:
    """An amount with its number."""
    amount = item.amount
    if amount.value is None:
        return f"{amount.says}: not known yet"
    return f"{amount.says}: {show_quantity(amount.value, amount.quantity, units)}"


def sentence(base: RuleBase, found: Explained, units: System) -> str:
    """The whole answer in one sentence or two."""
    return _joined(_first_words(base, found, units))


def paragraph(base: RuleBase, found: Explained, units: System) -> str:
    """The answer with its main reasons."""
    return _joined(
        [*_first_words(base, found, units), *_more_words(base, found, units), own_told(base, found)]
    )


def own_told(base: RuleBase, found: Explained) -> str:
    """Whether the page that an explanation is about is the cellar's own, and what it took the place of."""
    if isinstance(found, WhyCause):
        return own_words(base, "cause", found.cause)
    if isinstance(found, WhyNot):
        return own_words(base, "cause", found.winner)
    if isinstance(found, WhySaid):
        return own_words(base, "observe" if found.kind == "question" else found.kind, found.name)
    if isinstance(found, WhyDose):
        return own_words(base, "fix", found.fix)
    if isinstance(found, WhyQuestion):
        return own_words(base, "observe", found.question)
    return "" if isinstance(found, WhyOrder) else own_words(base, "never_done", found.never_done)


def _joined(parts: Iterable[str]) -> str:
    return " ".join(_ended(part) for part in parts if part)


def _listed(parts: Iterable[str]) -> str:
    """Several of a kind in one sentence, each said once; a page's own full stop would break it."""
    return "; ".join(dict.fromkeys(part.rstrip(".") for part in parts))


def _ended(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _first_words(base: RuleBase, found: Explained, units: System) -> list[str]:
    if isinstance(found, WhyCause):
        return _cause_first(base, found)
    if isinstance(found, WhyNot):
        return _not_first(base, found)
    if isinstance(found, WhySaid):
        return _said_first(base, found, units)
    if isinstance(found, WhyDose):
        told = _listed(amount_told(item, units) for item in found.amounts)
        return [f"{base.fixes[found.fix].name}: {told or 'nothing is worked out for this one'}"]
    if isinstance(found, WhyOrder):
        return _order_first(base, found)
    if isinstance(found, WhyQuestion):
        page = base.observations[found.question]
        if found.answered:
            return [f"You said {fact_words(base, fact, units)}" for fact in found.answered] + [page.why]
        return [page.why]
    return [f"{found.name}: never. {found.because}"]


def _more_words(base: RuleBase, found: Explained, units: System) -> list[str]:
    if isinstance(found, WhyCause):
        return _cause_more(base, found)
    if isinstance(found, WhyNot):
        return _not_more(base, found)
    if isinstance(found, WhySaid):
        return _said_more(base, found, units)
    if isinstance(found, WhyDose):
        return _dose_more(base, found, units)
    if isinstance(found, WhyOrder):
        return [
            f"{base.fixes[item.fix].name} comes after {first_down(base.fixes[item.after].name)}. {item.because}"
            for item in found.constraints[1:]
        ]
    if isinstance(found, WhyQuestion):
        return _question_more(base, found, units)
    return []


# ---------------------------------------------------------------- causes


def _found(base: RuleBase, item: Spoke) -> str:
    return (
        f"{observable_name(base, item.observe)}: {first_down(answer_words(base, item.observe, item.answer))}"
    )


def _cause_first(base: RuleBase, why: WhyCause) -> list[str]:
    first = f"{cause_name(base, why.cause)} is {why.word}, at {percent(why.chance)}"
    if why.cause == UNKNOWN:
        return [
            first,
            "Nothing speaks for it or against it; it gains where the known causes explain too little",
        ]
    counted = [item for item in why.spoke if not item.repeats]
    strongest = next((item for item in counted if (item.decibans > 0) == (why.word != "unlikely")), None)
    if strongest is None:
        return [first, "No finding speaks of it" if not counted else ""]
    return [f"{first}: {strongest.because}"]


def _cause_more(base: RuleBase, why: WhyCause) -> list[str]:
    counted = [item for item in why.spoke if not item.repeats]
    told = [prior_words(why)]
    for head, chosen in (
        ("For it speaks", [item for item in counted if item.decibans > 0]),
        ("Against it speaks", [item for item in counted if item.decibans < 0]),
    ):
        if chosen:
            listed = "; ".join(
                f"{_found(base, item)} ({decibans(item.decibans)})" for item in chosen[:MOST_TOLD]
            )
            more = f"; and {len(chosen) - MOST_TOLD} more" if len(chosen) > MOST_TOLD else ""
            told.append(f"{head} {listed}{more}")
    for item in counted[:MOST_TOLD]:
        if item.shared_with and item.here < item.decibans - 0.5:
            others = ", ".join(first_down(cause_name(base, cause)) for cause in item.shared_with[:2])
            told.append(
                f"Of the finding “{_found(base, item)}” only {decibans(item.here)} are left here, since this would "
                f"bring it too: {others}"
            )
    repeated = dict.fromkeys(observable_name(base, item.observe) for item in why.spoke if item.repeats)
    if repeated:
        told.append(f"Said before and not counted again: {'; '.join(repeated)}")
    if why.confirmed_by:
        names = "; ".join(observable_name(base, fact.name) for fact in why.confirmed_by)
        told.append(f"It is confirmed by a test: {names}")
    unseen = dict.fromkeys(observable_name(base, item.observe) for item in why.silent if not item.looked)
    if unseen:
        told.append(f"Nobody has looked yet at: {'; '.join([*unseen][:MOST_TOLD])}")
    return told


def _not_first(base: RuleBase, why: WhyNot) -> list[str]:
    winner, other = cause_name(base, why.winner), first_down(cause_name(base, why.other))
    parting = next((item for item in why.differences if item.winner > item.other), None)
    first = f"{winner} goes before {other}"
    if parting:
        said = first_down(answer_words(base, parting.observe, parting.answer))
        return [
            f"{first}, for what parts them most is {observable_name(base, parting.observe)}: {said}",
            parting.because,
        ]
    if why.prior_gap > 0:
        return [f"{first}, for it is the more common one; nothing that was found speaks more for it"]
    return [f"{first}, though nothing that was found speaks more for it"]


def _not_more(base: RuleBase, why: WhyNot) -> list[str]:
    told = []
    others = [item for item in why.differences if item.winner > item.other][1:MOST_TOLD]
    for item in others:
        said = first_down(answer_words(base, item.observe, item.answer))
        far = apart(item.winner - item.other)
        told.append(f"{observable_name(base, item.observe)}: {said} parts them by {far}. {item.because}")
    if abs(why.prior_gap) >= 1:
        more = why.winner if why.prior_gap > 0 else why.other
        told.append(f"{cause_name(base, more)} is the more common one ({apart(why.prior_gap)})")
    looked = [observable_name(base, item.observe) for item in why.not_so if item.would_say]
    if looked:
        listed = "; ".join(dict.fromkeys(looked[:MOST_TOLD]))
        told.append(f"Looked at, and not as it would be then: {listed}")
    unseen = dict.fromkeys(observable_name(base, item.observe) for item in why.never_looked)
    if unseen:
        told.append(f"Never looked at, and could still speak: {'; '.join([*unseen][:MOST_TOLD])}")
    return told


# ---------------------------------------------------------------- fixes, tests, cautions


def _said_first(base: RuleBase, why: WhySaid, units: System) -> list[str]:
    name, stands = said_name(base, why), stands_words(why)
    if why.kind == "caution":
        brought = _listed(step.because for step in why.fired)
        return [name, f"It is shown because: {brought}" if brought else _not_said(base, why.waiting, units)]
    first = f"“{name}” is {stands}"
    against = [step for step in why.fired if str(step.fact.value) in ("forbidden", "withheld")]
    if against:
        return [f"{first}: {against[0].because}"]
    if why.answered:
        known = _listed(fact_words(base, step.fact, units) for step in why.answered)
        return [f"{first}: {known}"]
    if not why.fired:
        return [first, _not_said(base, why.waiting, units)]
    if why.advice and why.advice.state == "locked":
        tests = ", ".join(base.tests[test].name for test in why.advice.unlocked_by)
        opens = f" It opens with: {tests}" if tests else ""
        return [f"{first}: it cannot be undone, and no test has confirmed the cause.{opens}"]
    return [f"{first}: {why.fired[0].because}"]


def _not_said(base: RuleBase, waiting: Sequence[RuleStands], units: System) -> str:
    """What keeps the nearest rule from speaking."""
    if not waiting:
        return "No rule speaks of it"
    nearest = waiting[0]
    kept = [*nearest.failed, *nearest.missing]
    told = _listed(condition_told(base, item, units) for item in kept)
    return f"The rule that comes nearest ({nearest.rule}) does not speak. {told}" if told else nearest.because


def _said_more(base: RuleBase, why: WhySaid, units: System) -> list[str]:
    said = dict.fromkeys(step.because for step in why.fired)
    told = [*said][1 : 1 + MOST_TOLD] if why.kind != "caution" else []
    if why.advice and why.advice.state == "locked":
        told = [*said][:MOST_TOLD]
    told += [_joined(_cause_first(base, cause)) for cause in why.causes[:2]]
    if why.advice and why.advice.state != "forbidden":
        undo = "can be undone" if base.fixes[why.name].can_be_undone == "yes" else "cannot be undone"
        told.append(f"It {undo}")
    if why.not_against and why.fired and why.kind == "fix":
        nearest = why.not_against[0]
        open_ = _listed(condition_told(base, item, units) for item in (*nearest.failed, *nearest.missing))
        if open_:
            told.append(f"What comes nearest to forbidding it is not so. {open_}")
    return told


# ---------------------------------------------------------------- doses, order, questions


def _dose_more(base: RuleBase, why: WhyDose, units: System) -> list[str]:
    told = []
    for item in why.amounts:
        given = [fact_words(base, part.step.fact, units) for part in item.inputs if part.step is not None]
        missing = [
            observable_name(base, part.name) for part in item.inputs if part.name and part.step is None
        ]
        if item.refused:
            told.append(item.refused)
        if given:
            says = item.amount.says[:1].upper() + item.amount.says[1:]
            told.append(f"{says} is worked out ({item.amount.calculator}) from {'; '.join(given)}")
        if missing:
            told.append(f"For {first_down(item.amount.says)} this is not known yet: {'; '.join(missing)}")
    dose = base.fixes[why.fix].dose
    return [*([dose.says] if dose else []), *told]


def _order_first(base: RuleBase, why: WhyOrder) -> list[str]:
    if not why.constraints:
        return ["No rule sets an order between these; what helps most for its cost stands first"]
    first = why.constraints[0]
    return [
        f"{base.fixes[first.fix].name} comes after {first_down(base.fixes[first.after].name)}",
        first.because,
    ]


def _question_more(base: RuleBase, why: WhyQuestion, units: System) -> list[str]:
    told = []
    if why.withheld.fired:
        told.append(f"It is not asked now: {why.withheld.fired[0].because}")
    closed = [item for item in why.ask_when if item.truth is not Truth.TRUE]
    if closed and not why.answered:
        told.append(f"It makes no sense yet. {_listed(condition_told(base, item, units) for item in closed)}")
    if why.answered:
        count = len(why.used_by)
        told.append(
            f"{count} rule{'s' if count != 1 else ''} spoke because of it" if count else "No rule has used it"
        )
    elif why.candidate and why.candidate.gain >= 0.005:
        told.append(f"It is expected to take {why.candidate.gain:.2f} bits of doubt about what to do away")
    else:
        told.append("By itself no answer moves the causes; other questions and the doses build on it")
    if why.test and not why.answered:
        told.append(f"It takes a test: {first_down(base.tests[why.test].name)}")
    return told
