"""The worked case of what is added: the wine in which it must show, so that nobody breaks it later."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from diagnose.casebook.answers import NotAnAnswer, read_answer
from diagnose.engine.behind import observations_behind
from diagnose.interview.form import Field
from diagnose.knowledge.called import pages_meant
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase

from .asking import answers_of, choice, new_name, words
from .pieces import MOST, Found


def case_fields(
    base: RuleBase,
    found: Found,
    speak: Sequence[str],
    causes: Mapping[str, str],
    first: str | None,
    taken: Collection[str],
) -> Iterator[Field]:
    """A wine: what its questions answer, and which cause must come first in it.

    `speak` are the facts that what is added reads; the questions behind them are asked one by one.
    """

    def free(said: str) -> str:
        new_name(said, taken)
        return said

    yield words(
        "case.title",
        "Now a wine in which it must show. What would you call this case?",
        "A short title, such as: A white with oak powder, racked too early.",
        check=free,
    )
    real = {"invented": "Invented, but sane", "real": "A wine that I have met"}
    yield choice("case.real", "Is it a real wine?", real, "An invented case says so.")
    yield words("case.story", "What happened, in a few sentences?", "As the winemaker would tell it.")
    asked = list(dict.fromkeys(name for fact in speak for name in sorted(observations_behind(base, fact))))
    for name in asked:
        yield _fact_field(base.observations[name])
    for number in range(MOST):
        yield _more_field(base, f"case.more{number}")
        if found[f"case.more{number}"] is None:
            break
    yield choice(
        "case.first",
        "Which cause must come first in this wine?",
        causes,
        "What it truly was. The program is held to it from now on.",
        usual=first,
    )
    yield words("case.because", "Why must it come out so?", "For whoever finds the case failing.")


def _fact_field(page: Observation) -> Field:
    listed = tuple(answers_of(page).values()) if page.kind != "number" else ()
    return Field(
        f"case.fact.{page.observe}",
        f"In this wine: {page.ask} (skip, if not known)",
        page.how,
        page.why,
        lambda typed: plain(page, typed),
        None,
        True,
        listed,
    )


def _more_field(base: RuleBase, key: str) -> Field:
    def read(typed: str) -> tuple[str, Any] | None:
        return None if typed.strip().lower() in ("", "no", "no more") else fact_named(base, typed)

    how = "Such as `gas: none` or `pH: 3.5`. A word of the question will do. What is not named is not known."
    ask = "Anything else that is known of this wine? As question: answer."
    return Field(key, ask, how, "The more is known, the surer the case.", read, "no more", True)


def fact_named(base: RuleBase, typed: str) -> tuple[str, Any]:
    """A question and its answer from `question: answer`. Raises NotAnAnswer."""
    named, colon, answer = typed.partition(":")
    if not colon:
        raise NotAnAnswer(
            f"'{typed[:40]}' has no colon. Write the question, a colon and the answer: gas: none."
        )
    meant = pages_meant(named, {name: page.short for name, page in base.observations.items()})
    if len(meant) != 1:
        near = f" It may be: {', '.join(meant[:8])}." if meant else ""
        raise NotAnAnswer(f"No question is surely meant by '{named.strip()[:40]}'.{near}")
    return meant[0], plain(base.observations[meant[0]], answer.strip())


def plain(page: Observation, typed: str) -> Any:
    """An answer as it stands in a case file."""
    value = read_answer(page, typed, "metric")
    return sorted(value) if isinstance(value, frozenset) else value


def case_page(found: Found, topic: str, expect: Mapping[str, Any]) -> dict[str, Any]:
    """The case as it is written; `expect` is what is expected beside the first cause."""
    facts = {
        key.removeprefix("case.fact."): value for key, value in found.items() if key.startswith("case.fact.")
    }
    more = (value for key, value in found.items() if key.startswith("case.more") and value)
    facts = {name: value for name, value in facts.items() if value is not None} | dict(more)
    return {
        "case": new_name(found["case.title"], ()),
        "title": found["case.title"],
        **({"invented": "yes"} if found["case.real"] == "invented" else {}),
        "topic": topic,
        "story": found["case.story"],
        "facts": facts,
        "expect": {"first_cause": found["case.first"], **expect, "because": found["case.because"]},
    }
