"""Observations, states and derived numbers: what their pages name must be known, and fit there."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.units import quantities

from ..load import Located
from ..models.facts import Derived, Observable, Observation, State
from ..problems import Problem
from .conditions import check_condition
from .names import Names, check_answer, check_word, check_words
from .sums import check_sum


def check_observation(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of an observation is known, and fits there."""
    item = located.item
    assert isinstance(item, Observation)
    yield from check_word(located, ("effort",), item.effort, names.words("effort"), "a word for effort")
    if item.quantity:
        yield from check_word(
            located, ("quantity",), item.quantity, quantities(), "a quantity with known units"
        )
    yield from check_condition(located, ("ask_when",), item.ask_when, names)
    yield from check_words(
        located, ("alone",), item.alone or (), item.answers, f"an answer of '{item.observe}'"
    )
    if item.instead_of:
        known = names.known("observe")
        yield from check_word(located, ("instead_of",), item.instead_of, known, "a known observation")
    yield from _answers(located, item, names)
    yield from _log(located, item, names)


def _log(located: Located, item: Observation, names: Names) -> Iterator[Problem]:
    """What the page takes from the log is a number that is read again and again; its answers are its own."""
    log = item.from_log
    if log is None:
        return
    what = "a number that is read again and again (`from_log: {take: latest}`)"
    yield from check_words(located, ("from_log", "of"), log.of, names.logged, what)
    for key, word in (("falls", log.falls), ("stands", log.stands)):
        if word:
            yield from check_word(
                located, ("from_log", key), word, item.answers, f"an answer of '{item.observe}'"
            )
    if log.run_ends_with:
        path = ("from_log", "run_ends_with", "fixes")
        yield from check_words(located, path, log.run_ends_with.fixes, names.known("fix"), "a known fix")


def _answers(located: Located, item: Observable, names: Names) -> Iterator[Problem]:
    allowed = item.answers
    yield from check_words(located, ("nothing",), item.nothing, allowed, f"an answer of '{item.id}'")
    for answer, word in item.normally.items():
        yield from check_answer(located, ("normally", answer), answer, item, key=True)
        yield from check_word(
            located, ("normally", answer), word, names.words("normally"), "a word for how often it is met"
        )


def check_state(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a state is known, and fits there."""
    item = located.item
    assert isinstance(item, State)
    yield from _answers(located, item, names)
    for index, rule in enumerate(item.rules):
        yield from check_word(
            located, ("rules", index, "is"), rule.is_, item.answers, f"a value of '{item.state}'"
        )
        yield from check_condition(located, ("rules", index, "when"), rule.when, names, limited=True)


def check_derived(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a derived number is known, and fits there."""
    item = located.item
    assert isinstance(item, Derived)
    yield from _answers(located, item, names)
    yield from check_sum(located, (), item, names)
    yield from check_condition(located, ("when",), item.when, names)
