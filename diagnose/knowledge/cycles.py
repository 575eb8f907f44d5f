"""Circles that a rule base must not have: numbers that need themselves, silence that depends on itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

Graph = Mapping[str, Sequence[str]]


def find_circle(graph: Graph) -> list[str] | None:
    """A circle in a graph of `node -> what it leads to`, as the nodes in order, or None."""
    done: set[str] = set()
    for start in sorted(graph):
        circle = _from(start, graph, done, [], set())
        if circle:
            return circle
    return None


def _from(node: str, graph: Graph, done: set[str], path: list[str], on_path: set[str]) -> list[str] | None:
    if node in on_path:
        return [*path[path.index(node) :], node]
    if node in done:
        return None
    path.append(node)
    on_path.add(node)
    for following in sorted(graph.get(node, ())):
        circle = _from(following, graph, done, path, on_path)
        if circle:
            return circle
    path.pop()
    on_path.discard(node)
    done.add(node)
    return None


def in_order(graph: Graph) -> list[str]:
    """Every node after those that lead to it; ties by name. The graph must hold no circle."""
    before: dict[str, set[str]] = {node: set() for node in _nodes(graph)}
    for node, followings in graph.items():
        for following in followings:
            before[following].add(node)
    ordered: list[str] = []
    while before:
        ready = min(node for node, needed in before.items() if not needed)
        ordered.append(ready)
        del before[ready]
        for needed in before.values():
            needed.discard(ready)
    return ordered


def _nodes(graph: Graph) -> Iterator[str]:
    yield from graph
    for followings in graph.values():
        yield from followings
