"""Comparisons with a limit of the law, made plain for the law and the own figures of one person.

A page says `total_so2: {over_limit: total_so2}`. Which figure that is depends on whose law the person keeps, on the
figures they set themselves, and on the wine. Here it becomes an ordinary condition: for each limit of that law, the
wines it is for and the figure. So nothing after this has to know of laws.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from .conditions import Condition, FactTest
from .models.facts import State, StateRule
from .models.vocabulary import Limit
from .rule_base import RuleBase

USUAL_LAW = "oiv"
"""Whose limits count for a person who has named no law."""


def laws_of(base: RuleBase) -> dict[str, str]:
    """Whose limits the rules know: the word of each law, and how people call it where a page says so."""
    words = sorted({limit.jurisdiction for limit in base.limits.values()})
    return {law: base.laws[law].name if law in base.laws else law for law in words}


def under_law(base: RuleBase, law: str = USUAL_LAW, figures: Mapping[str, float] | None = None) -> RuleBase:
    """The rule base under one law. `figures` are the person's own, by the id of a limit, in the unit of that limit.

    `base` is as it was read. One that is under a law already names no limits any more, and stays under it.
    """
    own = figures or {}
    limits = tuple(
        limit.model_copy(update={"value": own.get(name, limit.value)})
        for name, limit in base.limits.items()
        if limit.jurisdiction == law
    )
    return replace(base, states={name: _state(state, limits) for name, state in base.states.items()})


def _state(state: State, limits: Sequence[Limit]) -> State:
    """A state with plain rules; a rule about something that this law does not limit falls away."""
    rules = tuple(rule for written in state.rules for rule in _rule(written, limits))
    return state if rules == state.rules else state.model_copy(update={"rules": rules})


def _rule(rule: StateRule, limits: Sequence[Limit]) -> tuple[StateRule, ...]:
    try:
        return (rule.model_copy(update={"when": _plain(rule.when, limits)}),)
    except _NotLimited:
        return ()


class _NotLimited(Exception):
    """The law has no limit of this."""


def _plain(condition: Condition, limits: Sequence[Limit]) -> Condition:
    """The condition with every comparison with a limit written out."""
    inner = {name: test for name, test in condition.facts.items() if test.limited()}
    return condition.model_copy(
        update={
            "facts": {name: test for name, test in condition.facts.items() if name not in inner},
            "all_": (
                *(_plain(part, limits) for part in condition.all_),
                *(_written_out(name, test, limits) for name, test in inner.items()),
            ),
            "any_": tuple(_plain(part, limits) for part in condition.any_),
            "not_": _plain(condition.not_, limits) if condition.not_ else None,
        }
    )


@dataclass(frozen=True)
class _Side:
    """One side of a limit: the test of the number, and the figure that settles it whatever the wine."""

    test: str
    settles: float


def _written_out(name: str, test: FactTest, limits: Sequence[Limit]) -> Condition:
    """Any limit of the law whose wines these are; or beyond all of them, where nobody knows which wines these are."""
    applying = [limit for limit in limits if limit.of == test.limited()]
    if not applying:
        raise _NotLimited
    values = [limit.value for limit in applying]
    side = _Side("at_least", max(values)) if test.over_limit else _Side("below", min(values))
    room = test.room or 0.0
    ways = [Condition.model_validate({name: {side.test: side.settles - room}})]
    for limit in applying:
        figure = Condition.model_validate({name: {side.test: limit.value - room}})
        parts = (limit.when, figure) if limit.when else (figure,)
        ways.append(Condition.model_validate({"all": list(parts)}))
    return Condition.model_validate({"any": ways})
