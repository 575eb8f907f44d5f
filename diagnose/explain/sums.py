"""Where a number that goes into a sum makes the sum pass a figure at which a rule changes its mind."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import partial
from itertools import pairwise

from diagnose.engine.compile import compute
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase

STEPS = 32
"""So many equal steps of what is plausible are looked at; a sum that passes a figure and comes back within one of
them is not seen to pass it."""
_HALVINGS = 50


def passed_by_sums(
    base: RuleBase, figures: Mapping[str, Collection[float]], page: Observation, known: Mapping[str, float]
) -> tuple[set[float], bool]:
    """The values of a number at which a sum passes a figure or is refused, and whether one waits for another number.

    `figures` are those that rules compare each fact with, `known` the numbers that are known beside this one.
    """
    assert page.plausible is not None
    least, most = page.plausible
    steps = [least + (most - least) * step / STEPS for step in range(STEPS + 1)]
    passed: set[float] = set()
    waits = False
    for name in dict.fromkeys(_sums_of(base, page.observe)):
        at = partial(_worked_out_at, base, name, known, page.observe)
        values = [at(step) for step in steps]
        waits = waits or all(value is None for value in values)
        starts = {band.starts for band in base.derived[name].bands.values() if band.starts is not None}
        for figure in {*figures.get(name, ()), *starts}:
            for (low, before), (high, after) in pairwise(zip(steps, values, strict=True)):
                if _side(before, figure) is not _side(after, figure):
                    passed.add(_passing(at, figure, low, high))
    return passed, waits


def _sums_of(base: RuleBase, name: str) -> Iterator[str]:
    """Every sum that the fact goes into, straight or through another sum."""
    for page in base.derived.values():
        if name in page.compute.with_.values():
            yield page.derive
            yield from _sums_of(base, page.derive)


def _worked_out(base: RuleBase, name: str, known: Mapping[str, float]) -> float | None:
    """A sum with these numbers; None where one is not known, or the calculator refuses them."""
    page = base.derived[name].compute
    inputs = dict(known)
    for given in page.with_.values():
        if isinstance(given, str) and given in base.derived:
            below = _worked_out(base, given, known)
            if below is None:
                return None
            inputs[given] = below
    found = compute(page, inputs)
    return found if isinstance(found, float) else None


def _worked_out_at(
    base: RuleBase, name: str, known: Mapping[str, float], moved: str, value: float
) -> float | None:
    return _worked_out(base, name, {**known, moved: value})


def _side(found: float | None, figure: float) -> bool | None:
    """Whether a sum lies below a figure; None where its calculator refuses it."""
    return None if found is None else found < figure


def _passing(at: Callable[[float], float | None], figure: float, low: float, high: float) -> float:
    """Where a sum passes a figure, or begins to be refused, between two values on either side of it."""
    lower = _side(at(low), figure)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _side(at(middle), figure) is lower:
            low = middle
        else:
            high = middle
    return high
