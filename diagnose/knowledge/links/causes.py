"""Causes: the questions, causes and fixes that their pages name must be known, and fit there."""

from __future__ import annotations

from collections.abc import Iterator

from ..load import Located
from ..models.causes import Cause, EvidenceRow
from ..models.facts import Observable, Observation
from ..problems import Problem
from ..yaml_reader import Path_
from .conditions import check_condition
from .names import Names, check_answer, check_word, check_words


def check_cause(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a cause is known, and fits there."""
    item = located.item
    assert isinstance(item, Cause)
    yield from check_word(located, ("topic",), item.topic, names.known("topic"), "a known topic")
    words = names.words("how_common")
    yield from check_word(located, ("how_common",), item.how_common, words, "a word for how common it is")
    for index, row in enumerate(item.evidence):
        yield from _evidence(located, ("evidence", index), row, names)
    for index, mimic in enumerate(item.mimics):
        here = ("mimics", index)
        yield from check_word(located, (*here, "cause"), mimic.cause, names.known("cause"), "a known cause")
        yield from check_words(
            located, (*here, "told_apart_by"), mimic.told_apart_by, names.observables, "an observation"
        )
    for index, finding in enumerate(item.confirmed_by):
        here = ("confirmed_by", index)
        observable = names.observable(finding.observe)
        yield from check_word(
            located, (*here, "observe"), finding.observe, names.observables, "an observation"
        )
        if observable:
            for place, answer in enumerate(finding.answers):
                yield from check_answer(located, (*here, "answers", place), answer, observable)
    for index, cure in enumerate(item.cured_by):
        here = ("cured_by", index)
        yield from check_word(located, (*here, "fix"), cure.fix, names.known("fix"), "a known fix")
        yield from check_word(
            located, (*here, "how_well"), cure.how_well, names.words("how_well"), "a word for how well"
        )


def _evidence(located: Located, path: Path_, row: EvidenceRow, names: Names) -> Iterator[Problem]:
    strengths = names.words("strength")
    if row.when is not None:
        yield from check_condition(located, (*path, "when"), row.when, names)
        yield from check_word(located, (*path, "weight"), str(row.weight), strengths, "a strength")
        return
    observable = names.observable(str(row.observe))
    if observable is None:
        yield from check_word(
            located, (*path, "observe"), str(row.observe), names.observables, "an observation or a state"
        )
        return
    for answer, strength in row.says.items():
        here = (*path, "says", answer)
        yield from check_answer(located, here, answer, observable, key=True)
        yield from check_word(located, here, strength, strengths, "a strength")
    yield from _says_nothing(located, (*path, "says"), row, observable)


def _says_nothing(
    located: Located, path: Path_, row: EvidenceRow, observable: Observable
) -> Iterator[Problem]:
    """Answers that exclude one another cannot all be met more often, so one strength for all of them says nothing."""
    ticked = isinstance(observable, Observation) and observable.kind == "several"
    if not ticked and len(set(row.says.values())) == 1 and set(row.says) == set(observable.answers):
        what = f"every answer of '{observable.id}' has the same strength here, which says nothing."
        yield located.problem(
            path, what, "Give a strength to the answers that speak, and leave the others out."
        )
