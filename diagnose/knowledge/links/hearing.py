"""Checks of how people say it: what a phrase suggests exists, and no phrase says two things."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.plain_text import spoken

from ..load import Located
from ..models.facts import Observation
from ..models.hearing import Heard, Suggested
from ..problems import Problem
from ..yaml_reader import Path_
from .names import Names, check_answer, check_word, check_words, is_number, is_several


def check_heard(located: Located, names: Names) -> Iterator[Problem]:
    """Every subject, question and answer that a phrase suggests is known, and fits."""
    item = located.item
    assert isinstance(item, Heard)
    yield from _suggested(located, (), Suggested(topics=item.topics, findings=item.findings), names)
    if item.turned:
        yield from _suggested(located, ("turned",), item.turned, names)
    if item.names:
        yield from check_word(located, ("names",), item.names, names.known("observe"), "an observation")
        if (
            item.alone
            and item.names in names.known("observe")
            and not is_number(names.observable(item.names))
        ):
            what = f"'{item.names}' is not a number, so a lone number cannot answer it."
            yield located.problem(("alone",), what, "Take `alone` out.")
    for index, phrase in enumerate(item.phrases):
        if not spoken(phrase):
            what = "there is no word in this phrase."
            yield located.problem(("phrases", index), what, "Write what a person would say.")


def _suggested(located: Located, path: Path_, said: Suggested, names: Names) -> Iterator[Problem]:
    yield from check_words(located, (*path, "topics"), said.topics, names.known("topic"), "a topic")
    for name, answers in said.findings.items():
        here = (*path, "findings", name)
        observation = names.observable(name)
        if not isinstance(observation, Observation):
            yield from check_word(located, here, name, names.known("observe"), "an observation", key=True)
        elif is_number(observation):
            what = f"'{name}' is a number, and no word can answer it."
            yield located.problem(here, what, "Write an item with `names` and its phrases instead.", key=True)
        elif len(answers) > 1 and not is_several(observation):
            what = f"'{name}' takes one answer."
            yield located.problem(here, what, "Leave one answer here.")
        else:
            for index, answer in enumerate(answers):
                yield from check_answer(located, (*here, index), answer, observation)


def check_phrases(names: Names) -> Iterator[Problem]:
    """No phrase suggests two different answers to one question, or is the name of two questions."""
    seen: dict[str, list[tuple[Located, int]]] = {}
    for located in names.known("heard").values():
        assert isinstance(located.item, Heard)
        for index, phrase in enumerate(located.item.phrases):
            seen.setdefault(spoken(phrase), []).append((located, index))
    for uses in seen.values():
        (first, _), *others = uses
        for other, index in others:
            clash = "it stands here twice" if other is first else _clash(first.item, other.item)
            if clash:
                where = f"{first.place.file}:{first.place.line}"
                what = f"this phrase is in '{first.id}' already, at {where}, and {clash}."
                mend = "Leave it in one of them, or make it longer until it is clear."
                yield other.problem(("phrases", index), what, mend)


def _clash(first: object, other: object) -> str:
    assert isinstance(first, Heard) and isinstance(other, Heard)
    if first.names and other.names:
        return "it names another question there" if first.names != other.names else ""
    for name, answers in other.findings.items():
        if set(first.findings.get(name, answers)) != set(answers):
            return f"it suggests another answer of '{name}' there"
    return ""


def check_lone_numbers(names: Names) -> Iterator[Problem]:
    """For each quantity one question at most takes a number without a name."""
    first: dict[str, Located] = {}
    for located in names.known("heard").values():
        item = located.item
        assert isinstance(item, Heard)
        observation = names.observable(item.names) if item.names and item.alone else None
        if not isinstance(observation, Observation) or observation.quantity is None:
            continue
        held = first.setdefault(observation.quantity, located)
        if held is not located:
            what = f"'{held.id}' takes lone numbers of {observation.quantity} already."
            yield located.problem(("alone",), what, "Only one of the two can; take `alone` out of the other.")
