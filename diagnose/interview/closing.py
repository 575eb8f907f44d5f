"""How a case ended, asked in a few calm questions; each has an answer that Enter alone takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.casebook.answers import NotAnAnswer
from diagnose.knowledge.called import names_of, page_meant
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.cases import ENDED
from diagnose.present.console import Page

from .form import Field, fill_in
from .lines import Lines

NOTHING = "nothing"
LONGEST_LESSON = 2_000


@dataclass(frozen=True)
class Ending:
    """How a case ended. `causes` holds the cause of each trouble that it came to."""

    how: str
    causes: Mapping[str, str]
    fix: str | None
    lesson: str | None


def ask_ending(page: Page, lines: Lines, base: RuleBase, so_far: Ending) -> Ending:
    """The ending as the person tells it, with what is known already as the usual answers. Raises Stopped."""
    causes = {name: cause.name for name, cause in base.causes.items()}
    fixes = names_of(base.fixes)
    likely = ", ".join(causes[cause] for cause in so_far.causes.values()) or NOTHING
    fields = [
        Field(
            "how",
            "How did it end: solved, not solved, or given up?",
            "Type one of the three. It can be opened again at any time.",
            "A list of cases shows it.",
            read_how,
            usual=ENDED[so_far.how],
        ),
        Field(
            "cause",
            "What was it?",
            f"The name of a cause, or a word of it; {NOTHING} if you do not know.",
            "A later case that looks like this one shows it.",
            lambda typed: so_far.causes if typed == likely else _cause(base, typed, causes),
            usual=likely,
            may_skip=True,
        ),
        Field(
            "fix",
            "What helped, or was tried last?",
            f"The name of a treatment, or a word of it; {NOTHING} if nothing was done.",
            "It is kept with the case.",
            lambda typed: _meant(typed, fixes, "treatment"),
            usual=so_far.fix or NOTHING,
            may_skip=True,
        ),
        Field(
            "lesson",
            "What will you want to remember next time? One or two sentences.",
            "It is shown when a case like this one comes up. It is never weighed.",
            "You will have forgotten by the next vintage.",
            read_lesson,
            usual=so_far.lesson or NOTHING,
            may_skip=True,
        ),
    ]
    found = fill_in(page, lines, fields)
    return Ending(found["how"], found["cause"] or {}, found["fix"], found["lesson"])


def read_how(typed: str) -> str:
    """The word for how a case ended."""
    wanted = " ".join(typed.lower().replace("_", " ").replace("-", " ").split())
    for word, says in ENDED.items():
        if wanted == says:
            return word
    raise NotAnAnswer(f"'{typed[:40]}' is none of: {', '.join(ENDED.values())}.")


def read_lesson(typed: str) -> str | None:
    """A lesson in one line; None for nothing."""
    text = " ".join(typed.split())
    if len(text) > LONGEST_LESSON:
        raise NotAnAnswer(f"This has {len(text)} letters; {LONGEST_LESSON} are the most.")
    return None if text.lower().strip(".") in ("", NOTHING) else text


def _cause(base: RuleBase, typed: str, causes: Mapping[str, str]) -> Mapping[str, str]:
    name = _meant(typed, causes, "cause")
    return {base.causes[name].topic: name} if name else {}


def _meant(typed: str, pages: Mapping[str, str], what: str) -> str | None:
    if typed.strip().lower().strip(".") == NOTHING:
        return None
    name, near = page_meant(typed, pages)
    if name is None:
        raise NotAnAnswer(f"No {what} is surely meant by '{typed[:40]}'. Near: {', '.join(near[:6])}.")
    return name
