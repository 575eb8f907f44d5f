"""The order of work: which of the chosen fixes must come before which, and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from diagnose.knowledge.rule_base import RuleBase


@dataclass(frozen=True)
class Constraint:
    """`fix` comes after `after`, because."""

    fix: str
    after: str
    because: str
    source: tuple[str, ...]
    days: float | None = None
    """How many days after the other it may begin; None where the first check of the other decides."""


def constraints(base: RuleBase, fixes: Iterable[str]) -> tuple[Constraint, ...]:
    """The order constraints between these fixes, also those that pass through fixes not chosen.

    One that passes through others gives all the reasons on the way.
    """
    chosen = set(fixes)
    return tuple(found for fix in sorted(chosen) for found in _constraints_of(base, fix, chosen))


def _constraints_of(base: RuleBase, fix: str, chosen: set[str]) -> Iterator[Constraint]:
    waiting = [Constraint(fix, fix, "", ())]
    seen = {fix}
    while waiting:
        here = waiting.pop(0)
        for follows in base.follows[here.after]:
            if follows.fix in seen:
                continue
            seen.add(follows.fix)
            because = f"{here.because} {follows.because}".strip()
            source = tuple(dict.fromkeys((*here.source, *follows.source)))
            further = Constraint(fix, follows.fix, because, source, follows.days)
            if follows.fix in chosen:
                yield further
            else:
                waiting.append(further)


def in_order(base: RuleBase, fixes: Sequence[str]) -> tuple[str, ...]:
    """The fixes in an order that keeps every constraint; where free, as given (best first).

    The constraints of a checked rule base hold no circle, so an order always exists.
    """
    waiting = list(fixes)
    before = {fix: _all_before(base, fix) & set(waiting) for fix in waiting}
    ordered: list[str] = []
    while waiting:
        ready = next(fix for fix in waiting if before[fix] <= set(ordered))
        waiting.remove(ready)
        ordered.append(ready)
    return tuple(ordered)


def _all_before(base: RuleBase, fix: str) -> set[str]:
    """Every fix that must come before this one, directly or through others."""
    found: set[str] = set()
    waiting = [fix]
    while waiting:
        for follows in base.follows[waiting.pop()]:
            if follows.fix not in found:
                found.add(follows.fix)
                waiting.append(follows.fix)
    return found
