"""Cases made from worked ones: with fewer answers, and with one answer changed. The same seed makes the same ones.

They show what a change of the rules does away from the cases that its author had in mind. They are no wines: nothing
says that their answers are ever met together.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

from diagnose.engine.facts import Fact
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.trying import Given

KEPT = 0.5
"""The part of the answers that is kept, for a person who knows less."""


def simulated(base: RuleBase, given: Given, each: int) -> Iterator[Given]:
    """From one case `each` with about half of its answers, and `each` with one answer changed to another one."""
    for number in range(each):
        luck = random.Random(f"{given.name}/{number}")
        fewer = tuple(fact for fact in given.facts if luck.random() < KEPT)
        yield Given(f"{given.name}, half of its answers ({number + 1})", given.topics, fewer)
        changed = _one_changed(base, given.facts, luck)
        if changed:
            what, facts = changed
            yield Given(f"{given.name}, {what}", given.topics, facts)


def _one_changed(
    base: RuleBase, facts: tuple[Fact, ...], luck: random.Random
) -> tuple[str, tuple[Fact, ...]] | None:
    """One word changed to another of its question. Numbers stay, since any other would be invented."""
    can = [fact for fact in facts if isinstance(fact.value, str) and _others(base, fact)]
    if not can:
        return None
    fact = luck.choice(can)
    other = luck.choice(_others(base, fact))
    changed = tuple(Fact(item.name, other) if item is fact else item for item in facts)
    return f"{fact.name} {other}", changed


def _others(base: RuleBase, fact: Fact) -> list[str]:
    page: Observation | None = base.observations.get(fact.name)
    return [answer for answer in page.answers if answer != fact.value] if page else []
