"""A consultation played by somebody who knows just the facts of a case: how many questions it takes."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.casebook.in_memory import InMemory
from diagnose.casebook.models import CaseFile
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar

from .session import Consultation

MOST = 200
"""No consultation asks more; one that did would go round in a circle."""


def questions_asked(cellar: Cellar, topics: Iterable[str], facts: Iterable[Fact]) -> int:
    """How many questions are asked until nothing more is worth asking. What the facts do not tell is not known."""
    known = {fact.name: fact.value for fact in facts}
    first, *also = topics
    case = CaseFile.model_validate({"case": "played", "title": "Played", "topic": first, "also": also})
    record = InMemory(case)
    talk = Consultation(cellar, record)
    for asked in range(MOST):
        question = talk.next_question()
        if question is None:
            return asked
        name = question.observation.observe
        if name in known:
            # As it was kept in a file that has been checked already.
            talk.add_facts({name: known[name]})
        else:
            talk.skip(question)
    return MOST
