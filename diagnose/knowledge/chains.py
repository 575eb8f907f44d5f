"""Which facts lead to which: the order in which rules must fall quiet, and circles that have no answer.

A rule that asks for something *unknown* may only speak once everything that could make it known has spoken.
Facts are therefore put in layers; `layers` gives the layer of each concluded fact.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from .conditions import Condition
from .cycles import find_circle, in_order
from .models.facts import Derived, State
from .models.plans import Apart, Order
from .models.treatments import Fix


@dataclass(frozen=True)
class Reads:
    """What one rule reads: facts that must be known, and facts that must be unknown."""

    known: frozenset[str]
    unknown: frozenset[str]


def reads(condition: Condition | None, negated: bool = False) -> Reads:
    """The facts a condition reads. Under `not`, what must be known must be unknown, and the other way round."""
    if condition is None:
        return Reads(frozenset(), frozenset())
    listed = (condition.unknown, condition.known) if negated else (condition.known, condition.unknown)
    known, unknown = {*condition.facts, *listed[0]}, set(listed[1])
    parts = [reads(inner, negated) for inner in (*condition.all_, *condition.any_)]
    if condition.not_:
        parts.append(reads(condition.not_, not negated))
    for part in parts:
        known |= part.known
        unknown |= part.unknown
    return Reads(frozenset(known), frozenset(unknown))


def dependencies(states: Mapping[str, State], derived: Mapping[str, Derived]) -> dict[str, Reads]:
    """For each concluded fact, what the rules that conclude it read."""
    found: dict[str, Reads] = {}
    for state in states.values():
        parts = [reads(rule.when) for rule in state.rules]
        found[state.state] = Reads(
            frozenset().union(*(part.known for part in parts)),
            frozenset().union(*(part.unknown for part in parts)),
        )
    for number in derived.values():
        part = reads(number.when)
        inputs = {value for value in number.compute.with_.values() if isinstance(value, str)}
        found[number.derive] = Reads(part.known | inputs, part.unknown)
    return found


def circle_without_answer(needs: Mapping[str, Reads]) -> list[str] | None:
    """A circle of facts with an `unknown` in it, or None.

    Such a circle has no single answer: what it concludes would depend on the order of the rules.
    """
    graph = {name: sorted((part.known | part.unknown) & needs.keys()) for name, part in needs.items()}
    for name, part in needs.items():
        for read in part.unknown & needs.keys():
            back = _path(read, name, graph)
            if back:
                return [name, *back]
    return None


def number_circle(derived: Mapping[str, Derived]) -> list[str] | None:
    """A derived number that needs itself, or None."""
    graph = {
        name: [
            value for value in number.compute.with_.values() if isinstance(value, str) and value in derived
        ]
        for name, number in derived.items()
    }
    return find_circle(graph)


def _path(start: str, goal: str, graph: Mapping[str, list[str]]) -> list[str] | None:
    waiting, seen = [[start]], {start}
    while waiting:
        path = waiting.pop(0)
        if path[-1] == goal:
            return path
        for following in graph.get(path[-1], ()):
            if following not in seen:
                seen.add(following)
                waiting.append([*path, following])
    return None


def layers(needs: Mapping[str, Reads]) -> dict[str, int]:
    """The layer of each concluded fact; a fact that asks for another to be unknown is in a higher layer.

    Facts that only read one another share a layer. Needs: no circle without an answer.
    """
    layer = dict.fromkeys(needs, 0)
    changed = True
    while changed:
        changed = False
        for name, part in needs.items():
            least = max(_lowest(part, layer, layer[name]))
            if least > layer[name]:
                layer[name], changed = least, True
    return layer


def _lowest(part: Reads, layer: Mapping[str, int], own: int) -> Iterator[int]:
    yield own
    yield from (layer[name] for name in part.known if name in layer)
    yield from (layer[name] + 1 for name in part.unknown if name in layer)


@dataclass(frozen=True)
class Before:
    """A fix that comes before another, and why. `general` where a page of order or of what is kept apart says so."""

    fix: str
    because: str
    source: tuple[str, ...]
    days: float | None
    general: bool


def all_follows(
    fixes: Mapping[str, Fix], orders: Mapping[str, Order], aparts: Mapping[str, Apart]
) -> dict[str, tuple[Before, ...]]:
    """For each fix what it comes after: by its own page, by the pages of order, and where it waits some days."""
    found: dict[str, dict[str, Before]] = {name: {} for name in fixes}
    for later, before in _orders(fixes, orders, aparts):
        known = found.setdefault(later, {}).get(before.fix)
        found[later][before.fix] = _both(known, before) if known else before
    return {name: tuple(after.values()) for name, after in found.items()}


def _orders(
    fixes: Mapping[str, Fix], orders: Mapping[str, Order], aparts: Mapping[str, Apart]
) -> Iterator[tuple[str, Before]]:
    for name, fix in fixes.items():
        for each in fix.comes_after:
            yield name, Before(each.fix, each.because, each.source, each.days, general=False)
    for order in orders.values():
        for later in order.then:
            for first in order.first:
                yield later, Before(first, order.because, order.source, None, general=True)
    for apart in aparts.values():
        if apart.days is not None:
            yield apart.yields, Before(apart.other, apart.because, apart.source, apart.days, general=True)


def _both(one: Before, other: Before) -> Before:
    """Two reasons for the same order, as one. The first says how long to wait."""
    source = tuple(dict.fromkeys((*one.source, *other.source)))
    return replace(one, because=f"{one.because} {other.because}", source=source)


def order_circle(follows: Mapping[str, Sequence[Before]]) -> list[str] | None:
    """Fixes that must each come after another in a circle, or None."""
    return find_circle({name: [each.fix for each in after] for name, after in follows.items()})


__all__ = [
    "Before",
    "Reads",
    "all_follows",
    "circle_without_answer",
    "dependencies",
    "in_order",
    "layers",
    "number_circle",
    "order_circle",
    "reads",
]
