"""Tests, fixes and the trials of fixes: what their pages name must be known, and fit there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from diagnose.units import quantities

from ..load import Located
from ..models.treatments import CHECK_OUTCOMES, BenchTest, Fix
from ..models.trials import TRIAL_OUTCOMES, Trial
from ..problems import Problem, nearest
from ..yaml_reader import Path_
from .conditions import CONCLUDED, check_condition
from .names import Names, check_word, check_words, kept_by
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
    yield from _check_answers(located, item.check.answers, names)
    if item.trial:
        yield from _trial_answers(located, item.trial, names)
        yield from _trial_names(located, item.trial, names)
    yield from _doses_of_others(located, item, names)
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
    own = (f"never_{one.criterion}" for one in trial.criteria)
    known = ("observation", *TRIAL_OUTCOMES, *own)
    strange = [key for key in answers if key not in known]
    for key in strange:
        yield from check_word(located, (*here, key), key, known, "an outcome of a trial", key=True)
    if answers and not strange and "observation" not in answers:
        what = "these answers do not say which question they answer."
        yield located.problem(here, what, "Add `observation:` with the name of a question.", key=True)
    if "observation" in answers:
        yield from _outcomes(located, here, answers, names)


def _check_answers(located: Located, answers: Mapping[str, str], names: Names) -> Iterator[Problem]:
    """What a check writes into the case must be an answer that a question of the case can have."""
    here, known = ("check", "answers"), ("observation", *CHECK_OUTCOMES)
    strange = [key for key in answers if key not in known]
    for key in strange:
        yield from check_word(located, (*here, key), key, known, "an outcome of a check", key=True)
    if answers and not strange and "observation" not in answers:
        what = "these answers do not say which question they answer."
        yield located.problem(here, what, "Add `observation:` with the name of a question.", key=True)
    if "observation" in answers:
        yield from _outcomes(located, here, answers, names)


_DOSE_QUANTITY = {"g/L": "dose", "mg/L": "trace", "share": "percent"}


def _trial_names(located: Located, trial: Trial, names: Names) -> Iterator[Problem]:
    """The test of the jars, and the questions that keep the dose and the strength of the stock."""
    if trial.heat_test:
        yield from check_word(
            located, ("trial", "heat_test"), trial.heat_test, names.known("test"), "a known test"
        )
    if trial.agent is None:
        return
    here = ("trial", "agent")
    cautions = names.known("caution")
    yield from check_words(located, (*here, "cautions"), trial.agent.cautions, cautions, "a known caution")
    for key, name in kept_by(trial.agent).items():
        # A dose is kept in the unit it is shown in; the strength of a stock is always in g/L.
        quantity = _DOSE_QUANTITY[trial.agent.dose_in] if key == "dose_kept_as" else "dose"
        page = names.questions.get(name)
        if page is None or page.quantity != quantity:
            fitting = [each for each, question in names.questions.items() if question.quantity == quantity]
            yield from check_word(
                located, (*here, key), name, fitting, f"a question with the quantity `{quantity}`"
            )


def _doses_of_others(located: Located, fix: Fix, names: Names) -> Iterator[Problem]:
    """A dose found for one agent must never be given of another: no two fixes share what their trials keep."""
    used: list[tuple[Path_, str]] = []
    if fix.trial and fix.trial.agent:
        used += [(("trial", "agent", key), name) for key, name in kept_by(fix.trial.agent).items()]
    for index, quantity in enumerate(fix.quantities):
        inside: Path_ = ("quantities", index, "compute", "with")
        named = {key: name for key, name in quantity.compute.with_.items() if isinstance(name, str)}
        used += [((*inside, key), name) for key, name in named.items()]
    for path, name in used:
        if others := [other for other in names.found_by_trials.get(name, ()) if other != fix.fix]:
            what = f"'{name}' is what the trial of '{others[-1]}' finds; it says nothing of this agent."
            yield located.problem(path, what, "Name a question that only this fix uses.")


def _outcomes(located: Located, here: Path_, answers: Mapping[str, str], names: Names) -> Iterator[Problem]:
    name = answers["observation"]
    fitting = names.one_word
    if name not in names.known("observe"):
        yield from check_word(located, (*here, "observation"), name, fitting, "a known observation")
    elif name not in fitting:
        what = f"the outcome of a {here[0]} is one word, and '{name}' does not take one."
        mend = f"Name a question of `kind: choice` or `yes_no`. {nearest(name, fitting)}"
        yield located.problem((*here, "observation"), what, mend)
    else:
        for outcome, word in answers.items():
            if outcome != "observation":
                known = fitting[name].answers
                yield from check_word(located, (*here, outcome), word, known, f"an answer of '{name}'")
