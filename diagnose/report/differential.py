"""The causes of each trouble as a mentor wants them: how each stands, and what spoke for and against it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from diagnose.engine.compile import BAND
from diagnose.explain.why import Spoke, Step, WhyCause, why_cause
from diagnose.judgement.judge import Cellar, Judged
from diagnose.present.words import (
    answer_words,
    cause_name,
    fact_words,
    first_down,
    observable_name,
    percent,
    weight_marks,
    weight_words,
    with_own,
)
from diagnose.reasoning.standing import Standing
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import System

from .citations import Citations
from .told import CauseTold, Sentence, Spoken, Trouble

LISTED = 8
"""Causes that are listed at the most, beside those that are not unlikely."""

CLOSELY = 3
"""Causes that are told in full, even where they are unlikely."""

NOT_LOOKED = 8
"""Findings nobody has looked at that are named for a cause."""


def troubles(
    cellar: Cellar, judged: Judged, brought: Collection[str], units: System, citations: Citations
) -> tuple[Trouble, ...]:
    """Each kind of trouble with its causes."""
    return tuple(
        _trouble(cellar, judged, topic, topic in brought, units, citations) for topic in judged.topics
    )


def _trouble(
    cellar: Cellar, judged: Judged, topic: str, brought: bool, units: System, citations: Citations
) -> Trouble:
    base, causes = cellar.base, judged.of(topic)
    listed = [item for number, item in enumerate(causes) if item.word != "unlikely" or number < LISTED]
    closely = [item for number, item in enumerate(causes) if item.word != "unlikely" or number < CLOSELY]
    verdict, advice = _verdict(cellar, judged, topic, brought)
    return Trouble(
        name=base.topics[topic].name,
        brought=brought,
        verdict=verdict,
        advice=advice,
        ranked=tuple((cause_name(base, item.cause), item.word, percent(item.chance)) for item in listed),
        told=tuple(
            _unknown(cellar, item)
            if item.cause == UNKNOWN
            else _cause(cellar, judged, item, units, citations)
            for item in closely
        ),
        left_out=len(causes) - len(listed),
    )


def _verdict(cellar: Cellar, judged: Judged, topic: str, brought: bool) -> tuple[str, tuple[str, ...]]:
    """What the causes of a trouble come to, and what to do where they come to nothing."""
    page, first = cellar.base.topics[topic], judged.firsts[topic]
    if not judged.trace.evidence:
        nothing = "Nothing that was told so far speaks for any of these. They are only the commonest ones."
        return nothing, ()
    if not brought and not first.is_likely:
        return "Not clear yet. The answers point to it without saying why.", ()
    if first.cause == UNKNOWN:
        return page.unknown_cause, page.if_unknown
    # What it is stands with the cause, just below.
    name = first_down(cause_name(cellar.base, first.cause))
    return f"Most likely: {name} ({first.word}, {percent(first.chance)}).", ()


def _unknown(cellar: Cellar, standing: Standing) -> CauseTold:
    return CauseTold(
        name=cause_name(cellar.base, UNKNOWN),
        word=standing.word,
        chance=percent(standing.chance),
        common=_plain(cellar.base.topics[standing.topic].how_common_unknown),
        summary="Nothing speaks for it or against it; it gains when every known cause is spoken against.",
        speaks_for=(),
        speaks_against=(),
        repeats=(),
        confirmed_by=(),
        would_confirm=(),
        nobody_looked=(),
    )


def _cause(
    cellar: Cellar, judged: Judged, standing: Standing, units: System, citations: Citations
) -> CauseTold:
    base, why = cellar.base, why_cause(cellar, judged, standing.cause)
    counted = [item for item in why.spoke if not item.repeats]
    confirm = () if why.confirmed_by else why.could_confirm
    return CauseTold(
        name=cause_name(base, standing.cause),
        word=standing.word,
        chance=percent(standing.chance),
        common=_plain(why.how_common),
        summary=with_own(base, "cause", standing.cause, base.causes[standing.cause].summary),
        speaks_for=_spoken(cellar, (item for item in counted if item.decibans > 0), units, citations),
        speaks_against=_spoken(cellar, (item for item in counted if item.decibans < 0), units, citations),
        repeats=tuple(
            f"{observable_name(base, item.observe)} repeats {observable_name(base, item.repeats)}"
            for item in why.spoke
            if item.repeats
        ),
        confirmed_by=tuple(fact_words(base, fact, units) for fact in why.confirmed_by),
        would_confirm=tuple(
            f"{observable_name(base, name)}: {' or '.join(answer_words(base, name, word) for word in words)}"
            for name, words in confirm
        ),
        nobody_looked=_nobody_looked(cellar, why),
    )


def _nobody_looked(cellar: Cellar, why: WhyCause) -> tuple[str, ...]:
    """Findings still open that could say something of a cause, each once, the strongest first."""
    most: dict[str, float] = {}
    for item in why.silent:
        if not item.looked:
            most.setdefault(observable_name(cellar.base, item.observe), item.most)
    told = [f"{name} (could say {weight_words(value)})" for name, value in most.items()]
    return tuple(told[:NOT_LOOKED])


def _spoken(
    cellar: Cellar, spoke: Iterable[Spoke], units: System, citations: Citations
) -> tuple[Spoken, ...]:
    base = cellar.base
    return tuple(
        Spoken(
            finding=f"{observable_name(base, item.observe)}: {answer_words(base, item.observe, item.answer)}",
            strength=_plain(item.strength),
            marks=weight_marks(item.decibans),
            because=citations.sentence(item.because + _shared(item), item.source),
            behind=tuple(dict.fromkeys(_behind(cellar, item.chain, units, citations))),
        )
        for item in spoke
    )


def _shared(item: Spoke) -> str:
    """What is said where another cause takes most of the weight of a finding."""
    if item.decibans > 0 and abs(item.here) < item.decibans / 2:
        return " Here it weighs less than half of that: other causes explain it too."
    return ""


def _behind(cellar: Cellar, steps: Iterable[Step], units: System, citations: Citations) -> Iterator[Sentence]:
    """What was concluded on the way from the answers to a finding."""
    for step in steps:
        # That a number lies in its band is plain from the number.
        if step.rule and not step.fact.name.startswith(BAND):
            said = f"{fact_words(cellar.base, step.fact, units)}. {step.because}"
            yield citations.sentence(said, step.source)
        yield from _behind(cellar, step.behind, units, citations)


def _plain(word: str) -> str:
    return word.replace("_", " ")
