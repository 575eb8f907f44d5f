"""Cases as a list, and what an earlier one has to say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from diagnose.casebook.answers import show_answer
from diagnose.casebook.lessons import Lesson
from diagnose.casebook.shelf import Card
from diagnose.engine.facts import Value
from diagnose.knowledge.rule_base import RuleBase
from diagnose.units import System

from .console import Page
from .words import cause_name

ENDED: Mapping[str, str] = {"solved": "solved", "not_solved": "not solved", "given_up": "given up"}


def none_yet(folder: Path) -> str:
    """What is said where no case is kept, with the next step."""
    return f"There are no cases in {folder} yet; `diagnose` begins one."


def show_cards(page: Page, folder: Path, cards: Sequence[Card], narrowed: bool) -> None:
    """The list, the case worked on last at the end; `narrowed` if only some were asked for."""
    if not cards:
        page.say(f"No case in {folder} fits." if narrowed else none_yet(folder))
        return
    page.say(f"Cases in {folder}:")
    for card in cards:
        page.item("-", card.name)
        if card.problem:
            page.warn(f"Cannot be read: {card.problem}", indent=5)
        else:
            page.say(" · ".join(_parts(card)), indent=5, style="dim")


def _parts(card: Card) -> list[str]:
    state = f"closed, {ENDED.get(card.ended, card.ended)}" if card.ended else "open"
    parts = [card.title]
    parts += [f"wine: {card.wine}"] if card.wine else []
    parts += [", ".join(map(_spaced, card.topics))]
    parts += [f"begun {card.begun}"] if card.begun else []
    parts += [f"last {card.last}", f"archived, {state}" if card.archived else state]
    if card.causes:
        parts.append(f"first: {', '.join(_spaced(cause) for cause in card.causes.values())}")
    return parts


def _spaced(word: str) -> str:
    return word.replace("_", " ")


def show_lessons(page: Page, base: RuleBase, lessons: Sequence[Lesson]) -> None:
    """What was noted at the end of earlier cases, and why it is shown here."""
    for lesson in lessons:
        card = lesson.card
        causes = " and ".join(_cause(base, cause) for cause in lesson.causes)
        came = f", {causes}." if causes else ", no cause was found."
        page.head("From an earlier case" + (" of this wine" if lesson.same_wine else ""))
        page.say(f"In {card.name}{_month(card)}{came} What you noted: {card.lesson}", indent=2)
        alike = f"Of {lesson.compared} questions answered in both, {lesson.alike} have the same answer. "
        page.aside(f"{alike if lesson.compared else ''}This is a reminder; it weighs nothing here.", indent=2)


def _cause(base: RuleBase, cause: str) -> str:
    known = cause in base.causes or cause == "unknown"
    return cause_name(base, cause) if known else _spaced(cause)


def _month(card: Card) -> str:
    try:
        return f" of {date.fromisoformat(card.begun):%B %Y}"
    except ValueError:
        return ""


def answer_line(base: RuleBase, name: str, value: Value, units: System) -> str:
    """An answer in one line: what it is called, and what was said."""
    observation = base.observations[name]
    return f"{observation.short}: {show_answer(observation, value, units)}"
