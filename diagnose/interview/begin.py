"""How a consultation begins: what brings the person here, as a number, a name or in their own words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.casebook.answers import NotAnAnswer
from diagnose.engine.facts import Value
from diagnose.hearing.hear import Ear, Heard
from diagnose.knowledge.models.vocabulary import Topic
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.console import Page
from diagnose.units import System

from .form import Field, fill_in
from .heard import confirm
from .lines import Explaining, Lines


@dataclass(frozen=True)
class Opening:
    """What the person came with: the subjects, the main one first, and the findings they confirmed."""

    topics: tuple[str, ...]
    findings: Mapping[str, Value]


_HOW = (
    "Say it as you would to a friend, in a sentence or two: what you see, smell and taste, and what was done. "
    "Readings may stand in it, such as 'stuck at 1.020, pH 3.6, 68 F, 5 gal carboy'. What was heard is shown back, "
    "and nothing is kept that you have not confirmed. "
    "Or type the number that comes nearest; if it was the wrong one, begin again."
)


def ask_topic(page: Page, lines: Lines, base: RuleBase, units: System = "metric") -> Opening:
    """The subjects that a person's complaint belongs to. Asks only where there is a choice. Raises Stopped."""
    topics = [*base.topics.values()]
    if len(topics) == 1:
        return Opening((topics[0].topic,), {})
    ear, lines = Ear(base), Explaining(page, base, lines)
    found: dict[str, Value] = {}
    page.head("What brings you here?")
    for number, topic in enumerate(topics, 1):
        page.item(f"{number}", topic.complaint)
    ask = "Which come nearest? Their numbers are enough, such as 2 or 2 5. Or say in your own words what is wrong."
    while True:
        field = Field(
            "topic",
            ask,
            _HOW,
            "The questions that follow are different for each.",
            lambda typed: _meant(typed, topics, ear, units),
        )
        meant = fill_in(page, lines, [field])["topic"]
        if isinstance(meant, tuple):
            return Opening(meant, found)
        confirmed = confirm(page, lines, base, meant, units)
        if confirmed is None:
            ask = "Nothing of that is kept. Say it in other words, or type a number."
            continue
        found |= confirmed.findings
        if confirmed.topics:
            return Opening(confirmed.topics, found)
        ask = "That is kept. And which subject comes nearest? Its number, or other words."


def _meant(typed: str, topics: list[Topic], ear: Ear, units: System) -> tuple[str, ...] | Heard:
    """The subjects that numbers or a name mean, or what was heard in a person's own words."""
    wanted = typed.strip().casefold()
    numbers = wanted.replace(",", " ").split()
    if numbers and all(number.isdecimal() and len(number) < 4 for number in numbers):
        for number in numbers:
            if not 1 <= int(number) <= len(topics):
                raise NotAnAnswer(f"There is no subject {number}; type numbers from 1 to {len(topics)}.")
        return tuple(dict.fromkeys(topics[int(number) - 1].topic for number in numbers))
    named = [
        topic.topic
        for topic in topics
        if wanted and (wanted == topic.topic or topic.name.casefold().startswith(wanted))
    ]
    if len(named) == 1:
        return (named[0],)
    heard = ear.hear(typed, units)
    if heard.anything:
        return heard
    names = ", ".join(topic.topic for topic in topics)
    why = " ".join(heard.remarks) or f"Nothing that these rules know was heard in '{_short(typed)}'."
    raise NotAnAnswer(
        f"{why} Say it in other words, or type a number from 1 to {len(topics)}, or one of: {names}."
    )


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"
