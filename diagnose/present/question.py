"""The screen of one question, and what can be asked about it."""

from __future__ import annotations

from typing import Protocol

from diagnose.casebook.answers import choices_of
from diagnose.judgement.judge import Judged
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.models.treatments import BenchTest
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.questions import AnswerEffect, Candidate
from diagnose.units import System, show_quantity

from .console import Page
from .glossary import offer_words
from .steps import show_steps
from .words import cause_name, first_down, percent

GROUPS = {
    "look": "Look",
    "smell_taste": "Smell and taste",
    "history": "What happened",
    "tank": "At the vessel",
    "meter": "Meter",
    "test": "Test",
    "laboratory": "Laboratory",
    "treatment": "Treatment",
}
MOST_ANSWERS = 6
"""Answers whose effect is shown when a person asks why."""

KEYS = "? how to find out · why · back · skip (don't know) · later · so far · enough · stop"


class Asked(Protocol):
    """What the screen needs to know of a question."""

    @property
    def observation(self) -> Observation:
        """What is asked."""

    @property
    def number(self) -> int:
        """How many questions have come before it, plus one."""

    @property
    def reason(self) -> str:
        """Why it comes now."""

    @property
    def test(self) -> str | None:
        """The test that yields the answer, if it takes one."""


REASONS = {
    "put_off": " · you put this off",
    "start_early": " · it takes days, so start it now",
    "against": " · a sign against what looks likeliest",
    "confirming": " · before anything is treated",
}


def show_question(page: Page, base: RuleBase, asked: Asked, units: System) -> None:
    """One question, why it matters, and how to answer."""
    observation = asked.observation
    group = GROUPS[observation.group]
    page.title(f"{asked.number} · {group}{REASONS.get(asked.reason, '')}")
    page.say(observation.ask)
    if asked.test:
        found = base.tests[asked.test]
        page.aside(f"This takes a test: {first_down(found.name)} ({time_words(found)}). Type ? for how.")
        page.aside("If you have not done it yet, type later, or skip.")
    page.blank()
    if observation.kind == "number":
        page.say(_number_hint(observation, units), indent=2)
    else:
        for index, says in enumerate(choices_of(observation).values(), 1):
            page.item(str(index), says)
        if observation.kind == "several":
            page.blank()
            page.aside("Several may be true: type all their numbers, such as 1 3.")
    page.blank()
    page.aside(observation.why)
    offer_words(page, base, " ".join((observation.ask, *choices_of(observation).values(), observation.why)))
    page.aside(KEYS)


def time_words(test: BenchTest) -> str:
    """How long a test takes, in words."""
    if test.waiting == "none":
        return work_words(test.hands_on)
    return f"{work_words(test.hands_on)}, then {test.waiting.replace('_', ' ')} of waiting"


def work_words(effort: str) -> str:
    """How much work a thing is, in words."""
    words = {
        "none": "no work",
        "glance": "a glance",
        "minutes": "some minutes",
        "quarter_hour": "a quarter of an hour's work",
        "hour": "an hour's work",
        "half_day": "half a day's work",
        "day": "a day's work",
    }
    return words.get(effort) or effort.replace("_", " ")


def _number_hint(observation: Observation, units: System) -> str:
    assert observation.plausible is not None and observation.quantity is not None
    low, high = (show_quantity(value, observation.quantity, units) for value in observation.plausible)
    return f"A number, with its unit if it is another one. Expected {low} to {high}."


def show_how(page: Page, base: RuleBase, observation: Observation, test: str | None) -> None:
    """How to find the answer out."""
    page.head("How to find out")
    page.say(observation.how, indent=2)
    if observation.equipment:
        page.aside("You need: " + ", ".join(observation.equipment) + ".", indent=2)
    if test:
        show_test(page, base, test)


def show_test(page: Page, base: RuleBase, test: str) -> None:
    """A test as a sheet to work from: cautions stand at the step they belong to."""
    found = base.tests[test]
    page.head(f"{found.name} ({time_words(found)})")
    page.say(found.purpose, indent=2)
    if found.where == "laboratory":
        page.warn("This one goes to a laboratory; do not try it at home.", indent=2)
    page.aside("You need: " + ", ".join(found.equipment) + ".", indent=2)
    shown = show_steps(page, base, found.steps, {})
    for caution in found.cautions:
        if caution not in shown:
            page.warn(base.cautions[caution].says, indent=2)
    page.say("How to read it", indent=2, style="bold")
    for line in found.reading:
        page.item("-", line)
    if found.pitfalls:
        page.say("What can mislead", indent=2, style="bold")
        for line in found.pitfalls:
            page.item("-", line)


def show_why_asked(
    page: Page, base: RuleBase, observation: Observation, judged: Judged, candidate: Candidate | None
) -> None:
    """Why a question is asked, and what each answer would change."""
    page.head("Why this question")
    page.say(observation.why, indent=2)
    if candidate is None or candidate.gain < 0.0005:
        page.aside(
            "By itself no answer moves the causes; other questions and the doses build on it.", indent=2
        )
        return
    page.blank()
    page.say("What each answer would change:", indent=2)
    for effect in _most_moving(candidate, judged):
        label = _answer_label(observation, effect.answer)
        moved = sorted(_moves(effect, judged), key=lambda move: -abs(move[2] - move[1]))[:3]
        changes = [
            f"{cause_name(base, cause)} {percent(now)} → {percent(after)}"
            for cause, now, after in moved
            if abs(after - now) >= 0.01
        ]
        page.item("-", f"{label}: " + ("; ".join(changes) if changes else "hardly anything"))


def _moves(effect: AnswerEffect, judged: Judged) -> list[tuple[str, float, float]]:
    """Each cause with its chance now and after the answer."""
    return [
        (cause, judged.weighings[topic].chances[cause], after)
        for topic, chances in effect.chances.items()
        for cause, after in chances.items()
    ]


def _most_moving(candidate: Candidate, judged: Judged) -> list[AnswerEffect]:
    """The answers that would move the causes most, in the order they are offered."""

    def most(effect: AnswerEffect) -> float:
        return max(abs(after - now) for _, now, after in _moves(effect, judged))

    chosen = sorted(candidate.effects, key=most, reverse=True)[:MOST_ANSWERS]
    return [effect for effect in candidate.effects if effect in chosen]


def _answer_label(observation: Observation, answer: str) -> str:
    if observation.bands:
        return observation.bands[answer].says.rstrip(".")
    return choices_of(observation).get(answer, answer).rstrip(".")
