"""What earlier cases say to this one. It is told beside the result, and never weighs anything."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from diagnose.engine.facts import Value
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase

from .shelf import Card, of_wine, path_of
from .store import load_case

MOST_TOLD = 2
_MOST_READ = 30
"""Closed cases that are opened for a comparison, the newest ones."""
_FEWEST_ALIKE, _SHARE_ALIKE = 3, 0.5
"""Of the questions answered in both, so many and such a part must have the same answer."""


@dataclass(frozen=True)
class Lesson:
    """A lesson noted at the end of an earlier case, and how near that case is."""

    card: Card
    causes: tuple[str, ...]
    """Its causes in the troubles that both cases have."""
    same_wine: bool
    alike: int
    compared: int
    """Questions answered in both cases; `alike` of them in the same way."""


def lessons_for(
    base: RuleBase,
    folder: Path,
    cards: Iterable[Card],
    case: str,
    wine: str | None,
    topics: Collection[str],
    likely: Collection[str],
    answers: Mapping[str, Value],
) -> Sequence[Lesson]:
    """Lessons of closed cases with a trouble of this one, the nearest first.

    Such a case counts if it is of the same wine; or if a cause it came to is likely here, and at least three answers
    and half of those given in both are the same.
    """
    closed = [card for card in cards if card.ended and card.lesson and card.name != case]
    mine = {card.name for card in of_wine(closed, wine)} if wine else set()
    near: list[Lesson] = []
    for card in reversed(closed):
        shared = {topic for topic in card.topics if topic in topics}
        causes = tuple(cause for topic, cause in card.causes.items() if topic in topics)
        same_wine = card.name in mine
        if not shared or not (same_wine or set(causes) & set(likely)) or len(near) >= _MOST_READ:
            continue
        alike, compared = _alike(base, path_of(folder, card), answers)
        if same_wine or alike >= max(_FEWEST_ALIKE, _SHARE_ALIKE * compared):
            near.append(Lesson(card, causes, same_wine, alike, compared))
    near.sort(key=lambda lesson: (lesson.same_wine, lesson.alike), reverse=True)
    return near[:MOST_TOLD]


def _alike(base: RuleBase, path: Path, answers: Mapping[str, Value]) -> tuple[int, int]:
    try:
        theirs = load_case(path, base)[1].answers
    except RuleFilesWrong:
        return 0, 0
    both = [name for name in theirs if name in answers]
    return sum(theirs[name] == answers[name] for name in both), len(both)
