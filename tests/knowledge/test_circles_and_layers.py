"""Circles between pages, the order of pages, and the layers in which rules fall quiet."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from diagnose.engine.truth import branches
from diagnose.knowledge.chains import Reads, circle_without_answer, layers, reads
from diagnose.knowledge.conditions import Condition
from diagnose.knowledge.cycles import find_circle, in_order
from diagnose.knowledge.links.conditions import needs_something_known
from hypothesis import assume, given
from hypothesis import strategies as st

NAMES = st.sampled_from(list("abcdefg"))
GRAPHS = st.dictionaries(NAMES, st.lists(NAMES, max_size=4), max_size=7)


def _forward(graph: dict[str, list[str]], order: list[str]) -> dict[str, list[str]]:
    """The arrows of a graph that run forward in an order of the nodes, which need not be that of the alphabet."""
    return {
        node: [after for after in following if order.index(after) > order.index(node)]
        for node, following in graph.items()
    }


FORWARD = st.builds(_forward, GRAPHS, st.permutations("abcdefg"))
NEEDS = st.dictionaries(
    NAMES, st.builds(Reads, st.frozensets(NAMES, max_size=3), st.frozensets(NAMES, max_size=2)), max_size=7
)


def reach(graph: dict[str, Any]) -> dict[str, set[str]]:
    """What can be reached from each node in one step or more: the plain closure, to judge the rest by."""
    found = {node: set(following) for node, following in graph.items()}
    for _ in range(len(found) + 1):
        for following in found.values():
            for node in list(following):
                following |= found.get(node, set())
    return found


@given(GRAPHS)
def test_a_circle_is_found_just_when_there_is_one(graph: dict[str, list[str]]) -> None:
    """Numbers that need themselves are found, with each step of the circle a step that is written."""
    circle = find_circle(graph)
    assert (circle is not None) == any(node in following for node, following in reach(graph).items())
    if circle:
        assert circle[0] == circle[-1]
        assert len(set(circle)) == len(circle) - 1
        assert all(after in graph[before] for before, after in pairwise(circle))


@given(FORWARD)
def test_order_puts_each_after_what_leads_to_it(graph: dict[str, list[str]]) -> None:
    """Steps come after the steps they wait for; among those that could come next, the first by name comes."""
    ordered = in_order(graph)
    nodes = {*graph, *(after for following in graph.values() for after in following)}
    assert sorted(ordered) == sorted(nodes)
    waits = {node: {before for before, following in graph.items() if node in following} for node in nodes}
    for index, node in enumerate(ordered):
        done = set(ordered[:index])
        assert node == min(left for left in nodes - done if waits[left] <= done)
    assert find_circle(graph) is None


def test_long_chains_are_followed_to_the_end() -> None:
    """A chain of thousands of pages is no circle, and closing it makes one."""
    chain = {f"n{number:05}": [f"n{number + 1:05}"] for number in range(5000)}
    assert find_circle(chain) is None
    assert len(find_circle({**chain, "n05000": ["n00000"]}) or ()) == 5002
    assert in_order({"a": [], "c": ["b"], "b": ["a"], "d": []}) == ["c", "b", "a", "d"]
    assert in_order({}) == []


@given(NEEDS)
def test_silence_that_depends_on_itself_is_found_just_when_it_is_there(needs: dict[str, Reads]) -> None:
    """A fact that speaks when another is silent must not be what that other waits for."""
    graph = {name: (part.known | part.unknown) & needs.keys() for name, part in needs.items()}
    reached = reach(graph)
    there = any(
        read == name or name in reached[read]
        for name, part in needs.items()
        for read in part.unknown & needs.keys()
    )
    circle = circle_without_answer(needs)
    assert (circle is not None) == there
    if circle:
        assert circle[0] == circle[-1]
        assert circle[1] in needs[circle[0]].unknown
        assert all(after in graph[before] for before, after in pairwise(circle))


@given(NEEDS)
def test_who_asks_for_silence_speaks_in_a_later_layer(needs: dict[str, Reads]) -> None:
    """Nothing is called unknown before everything that could make it known has spoken."""
    assume(circle_without_answer(needs) is None)
    layer = layers(needs)
    assert layer.keys() == needs.keys()
    for name, part in needs.items():
        assert all(layer[read] <= layer[name] for read in part.known & needs.keys())
        assert all(layer[read] < layer[name] for read in part.unknown & needs.keys())


@given(NEEDS, st.dictionaries(NAMES, st.integers(0, 3), min_size=7))
def test_layers_are_as_low_as_they_can_be(needs: dict[str, Reads], level: dict[str, int]) -> None:
    """No rule waits for a layer it need not wait for: any other arrangement that works is at least as high."""
    kept = {
        name: Reads(
            frozenset(read for read in part.known if level[read] <= level[name]),
            frozenset(read for read in part.unknown if level[read] < level[name]),
        )
        for name, part in needs.items()
    }
    assert circle_without_answer(kept) is None
    assert all(layer <= level[name] for name, layer in layers(kept).items())


FACTS = st.sampled_from(["gas", "haze", "smell"])
CONDITIONS = st.recursive(
    st.one_of(
        st.builds(lambda name: {name: "yes"}, FACTS),
        st.builds(lambda name: {"known": name}, FACTS),
        st.builds(lambda name: {"unknown": name}, FACTS),
    ),
    lambda inner: st.one_of(
        st.builds(lambda parts: {"all": parts}, st.lists(inner, min_size=1, max_size=3)),
        st.builds(lambda parts: {"any": parts}, st.lists(inner, min_size=1, max_size=3)),
        st.builds(lambda part: {"not": part}, inner),
        st.builds(lambda part, name: {name: "no", "not": part}, inner, FACTS),
    ),
    max_leaves=6,
)


@given(CONDITIONS)
def test_what_a_condition_reads_is_what_its_alternatives_read(written: dict[str, Any]) -> None:
    """Under `not`, what had to be known must be unknown: the order of rules and their meaning agree on that."""
    condition = Condition.model_validate(written)
    try:
        ways = branches(condition)
    except ValueError:
        assume(False)
    read = reads(condition)
    assert read.known == {name for way in ways for name in way.names}
    assert read.unknown == {name for way in ways for name in way.unknown}
    assert needs_something_known(condition) == all(way.names for way in ways)
