"""Circles that a rule base must not have: numbers that need themselves, silence that depends on itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

Graph = Mapping[str, Sequence[str]]


def find_circle(graph: Graph) -> list[str] | None:
    """A circle in a graph of `node -> what it leads to`, as the nodes in order, or None."""
    done: set[str] = set()
    for start in sorted(graph):
        if start not in done and (circle := _from(start, graph, done)):
            return circle
    return None


def _from(start: str, graph: Graph, done: set[str]) -> list[str] | None:
    # Walked with a list of our own, since a long chain of pages would exhaust Python's stack.
    path, on_path = [start], {start}
    waiting = [iter(sorted(graph.get(start, ())))]
    while path:
        following = next((node for node in waiting[-1] if node not in done), None)
        if following is None:
            done.add(path[-1])
            on_path.discard(path.pop())
            waiting.pop()
        elif following in on_path:
            return [*path[path.index(following) :], following]
        else:
            path.append(following)
            on_path.add(following)
            waiting.append(iter(sorted(graph.get(following, ()))))
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
