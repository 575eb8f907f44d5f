"""Which answers would put another cause first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .questions import Candidate

LEAST_LIKELY = 0.01
"""Answers less likely than this are not worth naming."""


@dataclass(frozen=True)
class TurningPoint:
    """An answer to an open question, and the cause it would put first."""

    observation: str
    answer: str
    cause: str


def turning_points(first: str, open_questions: Sequence[Candidate]) -> tuple[TurningPoint, ...]:
    """Answers to open questions that would put another cause than `first` first, best question first."""
    return tuple(
        TurningPoint(candidate.observation, effect.answer, best)
        for candidate in open_questions
        for effect in candidate.effects
        if effect.likely >= LEAST_LIKELY
        for best in [max(sorted(effect.chances), key=lambda cause: effect.chances[cause])]
        if best != first
    )
