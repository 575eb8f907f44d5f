"""Tests, fixes and the trials of fixes: what their pages name must be known, and fit there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from diagnose.units import quantities

from ..load import Located
from ..models.facts import Observation
from ..models.treatments import TRIAL_OUTCOMES, BenchTest, Fix, Trial
from ..problems import Problem, nearest
from .conditions import CONCLUDED, check_condition
from .names import Names, check_word, check_words
from .sums import check_sum


def check_test(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a test is known, and fits there."""
    item = located.item
    assert isinstance(item, BenchTest)
    yield from check_words(located, ("yields",), item.yields, names.known("observe"), "a known observation")
    yield from check_word(located, ("hands_on",), item.hands_on, names.words("effort"), "a word for effort")
    yield from check_word(located, ("waiting",), item.waiting, names.words("waiting"), "a word for waiting")
    yield from check_condition(located, ("only_if",), item.only_if, names, concluded=True)
    standings = CONCLUDED["cause"]
    yield from check_words(located, ("asked_for_when",), item.asked_for_when, standings, "how a cause stands")
    yield from _cautions(located, item, names)


def _cautions(located: Located, item: BenchTest | Fix, names: Names) -> Iterator[Problem]:
    known = names.known("caution")
    yield from check_words(located, ("cautions",), item.cautions, known, "a known caution")
    for index, step in enumerate(item.steps):
        yield from check_words(located, ("steps", index, "caution"), step.caution, known, "a known caution")


def check_fix(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a fix is known, and fits there."""
    item = located.item
    assert isinstance(item, Fix)
    yield from _cautions(located, item, names)
    yield from check_word(located, ("effort",), item.effort, names.words("burden"), "a word for a burden")
    for key in ("cost", "wine_loss", "flavour_harm"):
        yield from check_word(
            located, (key,), getattr(item, key), names.words("burden"), "a word for a burden"
        )
    for index, never in enumerate(item.never_when):
        yield from check_condition(located, ("never_when", index, "when"), never.when, names, concluded=True)
    yield from check_condition(located, ("offer_when",), item.offer_when, names, concluded=True)
    if item.dose:
        yield from check_words(
            located, ("dose", "limit"), item.dose.limit, names.known("limit"), "a known limit"
        )
        yield from check_word(
            located, ("dose", "quantity"), item.dose.quantity, quantities(), "a quantity with known units"
        )
    for index, quantity in enumerate(item.quantities):
        yield from check_sum(located, ("quantities", index), quantity, names)
    if item.trial:
        yield from _trial_answers(located, item.trial, names)
    blanks = {quantity.name for quantity in item.quantities}
    for index, step in enumerate(item.steps):
        for blank in re.findall(r"\{([^{}]*)\}", step.do):
            what = "a quantity of this fix"
            yield from check_word(located, ("steps", index, "do"), blank, blanks, what)
    for index, follows in enumerate(item.comes_after):
        place = ("comes_after", index, "fix")
        yield from check_word(located, place, follows.fix, names.known("fix"), "a known fix")


def _trial_answers(located: Located, trial: Trial, names: Names) -> Iterator[Problem]:
    """What a trial writes into the case must be an answer that a question of the case can have."""
    here, answers = ("trial", "answers"), trial.answers
    if answers and trial.kind != "ladder":
        what = "only a ladder of doses has outcomes that answer a question."
        yield located.problem(here, what, "Take `answers` out, or make it `kind: ladder`.", key=True)
        return
    known = ("observation", *TRIAL_OUTCOMES)
    strange = [key for key in answers if key not in known]
    for key in strange:
        yield from check_word(located, (*here, key), key, known, "an outcome of a trial", key=True)
    if answers and not strange and "observation" not in answers:
        what = "these answers do not say which question they answer."
        yield located.problem(here, what, "Add `observation:` with the name of a question.", key=True)
    if "observation" in answers:
        yield from _outcomes(located, answers, names)


def _outcomes(located: Located, answers: Mapping[str, str], names: Names) -> Iterator[Problem]:
    here, name = ("trial", "answers"), answers["observation"]
    questions = [page.item for page in names.known("observe").values() if isinstance(page.item, Observation)]
    fitting = {page.observe: page for page in questions if page.kind in ("yes_no", "choice")}
    if name not in names.known("observe"):
        yield from check_word(located, (*here, "observation"), name, fitting, "a known observation")
    elif name not in fitting:
        what = f"the outcome of a trial is one word, and '{name}' does not take one."
        mend = f"Name a question of `kind: choice` or `yes_no`. {nearest(name, fitting)}"
        yield located.problem((*here, "observation"), what, mend)
    else:
        for outcome, word in answers.items():
            if outcome in TRIAL_OUTCOMES:
                known = fitting[name].answers
                yield from check_word(located, (*here, outcome), word, known, f"an answer of '{name}'")
