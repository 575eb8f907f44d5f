"""From chances to words: how each cause stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.engine.compile import fact_read
from diagnose.engine.facts import Fact, Facts
from diagnose.knowledge.models.causes import Cause
from diagnose.knowledge.rule_base import RuleBase

from .weigh import UNKNOWN, Weighing


@dataclass(frozen=True)
class Standing:
    """How one cause stands: its chance, the word for it, and the findings that confirm it."""

    topic: str
    cause: str
    chance: float
    word: str
    confirmed_by: tuple[Fact, ...]

    @property
    def is_likely(self) -> bool:
        """Whether it is likely, confirmed or not."""
        return self.word in ("likely", "confirmed")


def standings(base: RuleBase, weighings: Mapping[str, Weighing], facts: Facts) -> tuple[Standing, ...]:
    """Every cause of every topic, most likely first. Confirmed is likely, with a confirming finding really seen."""
    found = [
        _standing(base, topic, cause, chance, facts)
        for topic, weighing in weighings.items()
        for cause, chance in weighing.chances.items()
    ]
    return tuple(sorted(found, key=lambda standing: (-standing.chance, standing.cause, standing.topic)))


def _standing(base: RuleBase, topic: str, cause: str, chance: float, facts: Facts) -> Standing:
    seen = () if cause == UNKNOWN else confirming(base, base.causes[cause], facts)
    word = _word(base.words["standing"].values, chance)
    return Standing(topic, cause, chance, "confirmed" if word == "likely" and seen else word, seen)


def _word(values: Mapping[str, float], chance: float) -> str:
    """The word with the highest start that the chance reaches."""
    return max((start, word) for word, start in values.items() if chance >= start)[1]


def confirming(base: RuleBase, cause: Cause, facts: Facts) -> tuple[Fact, ...]:
    """The findings known now that count as a confirmation of a cause."""
    found = []
    for finding in cause.confirmed_by:
        for value in facts.get(fact_read(base.observables[finding.observe]), ()):
            answers = value if isinstance(value, frozenset) else {value}
            if any(answer in answers for answer in finding.answers):
                found.append(Fact(finding.observe, value))
    return tuple(found)


def as_facts(found: tuple[Standing, ...]) -> tuple[Fact, ...]:
    """Standings as facts for the rules that read them. Where several topics are open, the likelier `UNKNOWN` counts."""
    words: dict[str, str] = {}
    for standing in found:
        words.setdefault(standing.cause, standing.word)
    return tuple(Fact(f"cause.{cause}", word) for cause, word in words.items())
