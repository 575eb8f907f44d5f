"""Which causes need not be told apart: those that the same treatment helps best."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from diagnose.knowledge.models.causes import Cause
from diagnose.knowledge.rule_base import RuleBase

from .weigh import Numbers, Sets

Decisions = Mapping[str, str]
"""For each cause the name of what would be done about it."""


def decisions(base: RuleBase) -> Decisions:
    """What would be done about each cause, as a name; causes with the same name need not be told apart."""
    return {name: _decision(base, cause) for name, cause in base.causes.items()}


def _decision(base: RuleBase, cause: Cause) -> str:
    if not cause.cured_by:
        # Nothing is done about it, but a person wants to hear what it is.
        return cause.cause
    best = max(base.word("how_well", cure.how_well) for cure in cause.cured_by)
    return " ".join(
        sorted(cure.fix for cure in cause.cured_by if base.word("how_well", cure.how_well) == best)
    )


@lru_cache(maxsize=256)
def _numbered(members: tuple[tuple[str, ...], ...], names: tuple[tuple[str, str], ...]) -> NDArray[np.intp]:
    named = dict(names)
    done = [frozenset(named.get(cause, cause) for cause in causes) for causes in members]
    number = {what: at for at, what in enumerate(dict.fromkeys(done))}
    return np.array([number[what] for what in done])


def numbered(sets: Sets, named: Decisions) -> NDArray[np.intp]:
    """For each set of causes the number of what would be done; sets with the same number need not be told apart."""
    return _numbered(sets.members, tuple((cause, named.get(cause, cause)) for cause in sets.causes))


def gathered(shares: Numbers, numbers: NDArray[np.intp]) -> Numbers:
    """For each row of shares (a column for each set), the chance of each thing to do."""
    width = int(numbers.max()) + 1
    at = (np.arange(len(shares))[:, np.newaxis] * width + numbers).ravel()
    found = np.bincount(at, shares.ravel(), len(shares) * width)
    return found.astype(np.float64).reshape(-1, width)


def doubt(shares: Numbers) -> Numbers:
    """Entropy in bits along the last axis. Each row must add up to one."""
    safe = np.where(shares > 0, shares, 1.0)
    found: Numbers = -(shares * np.log2(safe)).sum(axis=-1)
    return found
