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

    One that passes through others gives all the reasons on the way. What a page of order says in general counts
    between fixes that are both chosen, and passes through no others.
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
            if follows.general and (follows.fix not in chosen or here.after != fix):
                continue
            seen.add(follows.fix)
            because = f"{here.because} {follows.because}".strip()
            source = tuple(dict.fromkeys((*here.source, *follows.source)))
            # Days that a page names are those between its own two fixes.
            days = follows.days if here.after == fix else None
            further = Constraint(fix, follows.fix, because, source, days)
            if follows.fix in chosen:
                yield further
            else:
                waiting.append(further)


def in_order(base: RuleBase, fixes: Sequence[str]) -> tuple[str, ...]:
    """The fixes in an order that keeps every constraint; where free, as given (best first).

    The constraints of a checked rule base hold no circle, so an order always exists.
    """
    waiting = list(fixes)
    before = {fix: {found.after for found in _constraints_of(base, fix, set(fixes))} for fix in waiting}
    ordered: list[str] = []
    while waiting:
        ready = next(fix for fix in waiting if before[fix] <= set(ordered))
        waiting.remove(ready)
        ordered.append(ready)
    return tuple(ordered)
