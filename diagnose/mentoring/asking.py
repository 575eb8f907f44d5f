"""Fields that both conversations ask: one of a list, a sentence, lines until an empty one, yes or no."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from typing import Any

from diagnose.casebook.answers import NotAnAnswer
from diagnose.interview.form import Field
from diagnose.knowledge.called import pages_meant
from diagnose.knowledge.models.facts import Observation

INITIALS = re.compile(r"[A-Za-z][A-Za-z.\-]{0,7}")
FEW = 20
"""Choices that are listed by number; of more, words are searched."""


def choice(
    key: str,
    ask: str,
    choices: Mapping[str, str],
    how: str,
    why: str = "It is written on the page.",
    may_skip: bool = False,
    usual: str | None = None,
) -> Field:
    """One of a few things, shown by their wording and taken by number, word or wording."""
    few = len(choices) <= FEW
    asked = f"{ask} (skip, if none)" if may_skip else ask
    listed = tuple(choices.values()) if few else ()
    return Field(key, asked, how, why, lambda typed: _chosen(typed, choices, few), usual, may_skip, listed)


def _chosen(typed: str, choices: Mapping[str, str], few: bool) -> str:
    word = typed.strip()
    if few and word.isdecimal():
        if 1 <= int(word) <= len(choices):
            return list(choices)[int(word) - 1]
        raise NotAnAnswer(f"There is no {word[:20]} here; choose a number from 1 to {len(choices)}.")
    if few and not word:
        raise NotAnAnswer(f"Nothing was typed. Choose a number from 1 to {len(choices)}.")
    meant = pages_meant(word, choices) if word else []
    if len(meant) == 1:
        return meant[0]
    exact = [name for name in meant if choices[name].lower() == word.lower()]
    if len(exact) == 1:
        return exact[0]
    if not meant:
        sought = word.lower().split()
        meant = [
            name
            for name, says in choices.items()
            if sought and all(one in f"{name} {says}".lower() for one in sought)
        ]
        if len(meant) == 1:
            return meant[0]
    found = "Near" if meant else "Some of them"
    near = "; ".join(f"{choices[name]} [{name}]" for name in (meant or list(choices))[:10])
    more = " and more" if len(meant or choices) > 10 else ""
    meant_by = f"Nothing is surely meant by '{word[:40]}'." if word else "Nothing was typed."
    raise NotAnAnswer(f"{meant_by} Type a word of it, or the name in brackets. {found}: {near}{more}.")


def several(key: str, ask: str, choices: Mapping[str, str], how: str, may_skip: bool = False) -> Field:
    """Several of a list, with commas between."""

    def read(typed: str) -> list[str]:
        pieces = [piece for piece in typed.split(",") if piece.strip()]
        if not pieces:
            raise NotAnAnswer("Name one or more, with commas between.")
        return list(dict.fromkeys(_chosen(piece, choices, len(choices) <= FEW) for piece in pieces))

    few = len(choices) <= FEW
    more = " Several with commas between" + (", or skip." if may_skip else ".")
    listed = tuple(choices.values()) if few else ()
    return Field(key, ask + more, how, "It is written on the page.", read, None, may_skip, listed)


def words(
    key: str,
    ask: str,
    how: str,
    may_skip: bool = False,
    usual: str | None = None,
    check: Callable[[str], Any] | None = None,
) -> Field:
    """A sentence of one's own."""

    def read(typed: str) -> Any:
        said = " ".join(typed.split())
        if not said:
            raise NotAnAnswer("Nothing was written. Write a sentence, or stop.")
        if len(said) > 4000:
            raise NotAnAnswer(f"This has {len(said)} letters; at most 4000 are kept. Say it shorter.")
        return check(said) if check else said

    return Field(key, ask, how, "It is shown to the person who asks why.", read, usual, may_skip)


def yes_no(key: str, ask: str, how: str, usual: str | None = None) -> Field:
    """Yes or no."""
    return choice(key, ask, {"yes": "Yes", "no": "No"}, how, usual=usual)


def initials(key: str) -> Field:
    """Who reviews."""

    def read(typed: str) -> str:
        return read_initials(typed)

    why = "A page says who stands behind it."
    return Field(key, "Your initials?", "One to eight letters, such as AB.", why, read)


def read_initials(typed: str) -> str:
    """Initials as they are written beside a row. Raises NotAnAnswer."""
    found = INITIALS.fullmatch(typed.strip())
    if not found:
        raise NotAnAnswer(f"'{typed[:20]}' are not initials; expected are one to eight letters, such as AB.")
    return typed.strip()


def new_name(said: str, taken: Collection[str]) -> str:
    """The id that follows from a name: lower-case words joined by underscores, and no other page has it.

    Raises NotAnAnswer where no id follows, or another page has it.
    """
    found = re.sub(r"[^a-z0-9]+", "_", said.lower()).strip("_")[:50].strip("_")
    if not found or not found[0].isalpha():
        raise NotAnAnswer(f"No short name can be made of '{said[:40]}'. Begin it with a letter from a to z.")
    if found in taken:
        raise NotAnAnswer(f"There is already a page called '{found}'. Say in the name how this one differs.")
    return found


def questions(observables: Mapping[str, Any]) -> dict[str, str]:
    """Everything evidence can speak of that has answers to choose from, by what it is called."""
    return {name: name_of(page) for name, page in observables.items() if answers_of(page)}


def name_of(page: Any) -> str:
    """What a question, a state or a number is called."""
    return str(page.short if isinstance(page, Observation) else page.name)


def answers_of(page: Any) -> dict[str, str]:
    """The answers of a question, the values of a state, or the bands of a number, as they are worded."""
    if isinstance(page, Observation) and page.kind == "yes_no":
        return {"yes": "Yes", "no": "No"}
    found = getattr(page, "choices", None) or getattr(page, "values", None)
    return dict(found) if found else {name: band.says for name, band in page.bands.items()}
