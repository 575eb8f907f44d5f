"""Which answers would put another cause first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .questions import LEAST_LIKELY, Candidate


@dataclass(frozen=True)
class TurningPoint:
    """An answer to an open question, and the cause it would put first in a topic."""

    observation: str
    answer: str
    topic: str
    cause: str


def turning_points(
    firsts: Mapping[str, str], open_questions: Sequence[Candidate]
) -> tuple[TurningPoint, ...]:
    """Answers to open questions that would put another cause first in a topic than now, best question first."""
    return tuple(
        TurningPoint(candidate.observation, effect.answer, topic, best)
        for candidate in open_questions
        for effect in candidate.effects
        if effect.likely >= LEAST_LIKELY
        for topic, chances in effect.chances.items()
        for best in [max(sorted(chances), key=lambda cause: chances[cause])]
        if best != firsts[topic]
    )
