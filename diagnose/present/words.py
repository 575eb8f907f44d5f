"""Words for numbers: chances, strengths, amounts."""

from __future__ import annotations

import re
from collections.abc import Mapping

from diagnose.casebook.answers import choices_of
from diagnose.engine.facts import Fact, Value, shown
from diagnose.engine.truth import Branch, Leaf, branches
from diagnose.knowledge.conditions import Condition
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.models.treatments import BenchTest, Fix
from diagnose.knowledge.models.vocabulary import Topic
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import System, show_quantity

NARROW = "\u00a0"
"""A space at which no line breaks, so that a number stays with its unit."""


def percent(chance: float) -> str:
    """A chance as people say it; never 0 or 100, for nothing here is that sure."""
    if chance < 0.01:
        return f"under 1{NARROW}%"
    if chance > 0.99:
        return f"over 99{NARROW}%"
    return f"{round(chance * 100)}{NARROW}%"


def weight_marks(value: float) -> str:
    """How much a finding weighs, at a glance: one to three signs, for or against; nothing below half a deciban."""
    sign = "+" if value > 0 else "−"
    size = abs(value)
    return sign * (3 if size >= 10 else 2 if size >= 5 else 1 if size >= 0.5 else 0)


def weight_words(value: float) -> str:
    """How much a finding nobody has looked at could say."""
    return {3: "much", 2: "something", 1: "a little"}.get(len(weight_marks(value)), "hardly anything")


def cause_name(base: RuleBase, cause: str) -> str:
    """The name of a cause, the unknown one included."""
    return "Something these rules do not know" if cause == UNKNOWN else base.causes[cause].name


def own_words(base: RuleBase, kind: str, name: str) -> str:
    """That a page is the cellar's own, and why it stands in the place of one below; nothing for any other page."""
    own = base.own.get((kind, name))
    if own is None:
        return ""
    return f"From your own rules, {own.rules}" + (
        f", in place of the page below: {own.because}" if own.because else "."
    )


def own_rules_words(base: RuleBase, rules: str) -> str:
    """What a cellar's own rules do to those below, in numbers."""
    pages = [page for page in base.own.values() if page.rules == rules]
    instead = sum(page.because is not None for page in pages)
    out = sum(page.rules == rules for page in base.taken_out)
    return (
        f"Own rules {rules}, on top: pages that are new {len(pages) - instead}, in the place of one below {instead}, "
        f"taken out {out}."
    )


def with_own(base: RuleBase, kind: str, name: str, says: str) -> str:
    """What a page says, and whether it is the cellar's own."""
    return f"{says} {own_words(base, kind, name)}".rstrip()


def observable_name(base: RuleBase, name: str) -> str:
    """What a question, state or derived number is called in a summary."""
    observable = base.observables.get(name)
    if observable is None:
        names = {found: base.observables.get(found) for found in _NAME.findall(name)} if " " in name else {}
        known = {found: observable_name(base, found) for found, page in names.items() if page}
        return (
            _NAME.sub(lambda found: known.get(found[0], found[0]), name).replace("_", " ") if names else name
        )
    return observable.short if isinstance(observable, Observation) else observable.name


_NAME = re.compile(r"[a-z][a-z0-9]*(?:_[a-z0-9]+)*(?= is\b| includes\b| and\b|$)")
"""The names of facts in the words of a combination of findings, as in `gas is none and ph`."""


def answer_words(base: RuleBase, name: str, answer: str) -> str:
    """An answer word as its page words it."""
    observable = base.observables.get(name)
    if isinstance(observable, Observation):
        if observable.bands:
            return observable.bands[answer].says if answer in observable.bands else answer
        return choices_of(observable).get(answer, answer).rstrip(".")
    if observable is not None:
        values = getattr(observable, "values", None)
        if values and answer in values:
            return str(values[answer]).rstrip(".")
        bands = getattr(observable, "bands", None)
        if bands and answer in bands:
            return str(bands[answer].says).rstrip(".")
    return answer if observable else answer.replace("_", " ")


def fact_words(base: RuleBase, fact: Fact, units: System) -> str:
    """A fact as a clause: `what: how it was found`."""
    kind, _, page = fact.name.partition(".")
    if page and kind == "band":
        return f"{observable_name(base, page)}: {answer_words(base, page, str(fact.value))}"
    if page and kind == "cause":
        return f"{cause_name(base, page)} is {fact.value}"
    if page:
        # A caution has no name but its own words, which are sentences.
        name = "This caution" if kind == "caution" else fact_name(base, fact.name)
        return f"{name} is {str(fact.value).replace('_', ' ')}"
    return f"{observable_name(base, fact.name)}: {value_words(base, fact.name, fact.value, units)}"


def value_words(base: RuleBase, name: str, value: Value, units: System) -> str:
    """A value as its page words it."""
    if isinstance(value, float):
        quantity = getattr(base.observables.get(name), "quantity", None)
        return show_quantity(value, quantity, units) if quantity else f"{value:g}"
    if isinstance(value, frozenset):
        return "; ".join(answer_words(base, name, word) for word in sorted(value))
    return answer_words(base, name, shown(value))


def condition_words(base: RuleBase, condition: Condition) -> str:
    """A condition as its facts are worded on the pages; each way for it to hold after `or`."""
    return "; or ".join(_branch_words(base, branch) for branch in branches(condition))


def _branch_words(base: RuleBase, branch: Branch) -> str:
    return ", and ".join(words for _, words in branch_clauses(base, branch))


def branch_clauses(base: RuleBase, branch: Branch) -> list[tuple[str, str]]:
    """One way for a condition to hold as clauses of a sentence, each after the name of its fact."""
    said = [(leaf.name, leaf_words(base, leaf, "metric")) for leaf in branch.tests]
    said += [(name, f"{observable_name(base, name)}: known") for name in branch.known]
    said += [(name, f"{observable_name(base, name)}: not known") for name in branch.unknown]
    return [said[0], *((name, first_down(words)) for name, words in said[1:])]


def leaf_words(base: RuleBase, leaf: Leaf, units: System) -> str:
    """One test of a fact as its page words it."""
    tests = " and ".join(
        f"{_TESTS.get(operator, '')}{_wanted_words(base, leaf.name, wanted, units)}"
        for operator, wanted in leaf.parts
    )
    return f"{fact_name(base, leaf.name)}: {'not ' if leaf.negated else ''}{tests}"


def fact_name(base: RuleBase, name: str) -> str:
    """What a fact is called: a finding, or a page that rules say something of."""
    kind, _, page = name.partition(".")
    if kind == "cause" and page:
        return cause_name(base, page)
    pages: Mapping[str, Mapping[str, Fix | BenchTest | Topic]]
    pages = {"fix": base.fixes, "test": base.tests, "topic": base.topics}
    if page in pages.get(kind, {}):
        return pages[kind][page].name
    if kind == "caution" and page in base.cautions:
        return base.cautions[page].says
    if kind == "done" and page in base.fixes:
        return f"{base.fixes[page].name}, done already"
    return observable_name(base, page if kind in ("band", "question") and page else name)


_TESTS = {
    "is_not": "not ",
    "none_of": "not ",
    "includes_none": "not ",
    "at_least": "at least ",
    "above": "above ",
    "at_most": "at most ",
    "below": "below ",
}
"""What stands before the value; nothing where the value itself is asked for."""


def _wanted_words(base: RuleBase, name: str, wanted: Value | tuple[str, ...], units: System) -> str:
    values = wanted if isinstance(wanted, tuple) else (wanted,)
    said = [value_words(base, name.removeprefix("band."), value, units) for value in values]
    return " or ".join(
        one if isinstance(value, float) else f"“{one}”" for one, value in zip(said, values, strict=True)
    )


def first_down(text: str) -> str:
    """The text with its first letter small, to stand inside a sentence."""
    return text[:1].lower() + text[1:] if text[1:2].islower() or text.startswith("A ") else text


def sources_words(base: RuleBase, sources: tuple[str, ...]) -> str:
    """Sources as a short reference."""
    return "; ".join(dict.fromkeys(source_words(base, source) for source in sources))


def source_words(base: RuleBase, source: str) -> str:
    """One source as a short reference."""
    page = base.sources[source]
    parts = [page.author, page.title if not page.author else None, f"{page.year:.0f}" if page.year else None]
    return ", ".join(part for part in parts if part) or page.title
