"""Weaknesses of wording: questions that a beginner cannot answer as they stand."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.knowledge.glossary import place_of, word_meant
from diagnose.knowledge.models.facts import Observation

from .survey import Survey
from .weakness import Weakness


def weak_wording(survey: Survey) -> Iterator[Weakness]:
    """Questions that are too long, or use a trade word that is not told."""
    pages = survey.base.wording.values()
    longest = min((page.longest_question for page in pages if page.longest_question), default=None)
    hard = sorted({word for page in pages for word in page.jargon})
    jargon = [word for word in hard if word_meant(survey.base, word) is None]
    for name, question in survey.base.observations.items():
        page, place = f"observe.{name}", survey.place("observe", name)
        if longest is not None and len(question.ask) > longest:
            what = f"the question of '{name}' has {len(question.ask)} letters, more than {longest:g}."
            mend = "Ask one thing; put the rest under `why` or `how`."
            yield Weakness("question_too_long", page, place, what, mend)
        for word in jargon:
            if place_of(word, _asked(question)) and not place_of(word, f"{question.how} {question.why}"):
                what = f"'{name}' is asked with the word '{word}', which neither its page nor the glossary explains."
                mend = "Say it in plain words, or explain it under `how`."
                yield Weakness("jargon_not_told", page, place, what, mend, word.lower().replace(" ", "_"))


def _asked(question: Observation) -> str:
    bands = (band.says for band in question.bands.values())
    return " ".join((question.ask, *question.choices.values(), *bands))
