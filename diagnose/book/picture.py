"""A picture of a topic: the tests that confirm each cause on its left, the fixes that help on its right."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from diagnose.knowledge.rule_base import RuleBase

from .links import anchor
from .told import Edge, Node, Picture
from .work import confirmed_by

_BOX, _TALL, _GAP, _ROW, _TOP = 214, 36, 63, 43, 34
"""Width and height of a box, room between columns, from box to box, and above them, in pixels."""

_LETTERS = 31
"""Letters that fit into a line of a box."""

_SWEEPS = 6
"""Rounds of putting boxes beside what they hang together with; more change nothing that can be seen."""

Lines = Mapping[str, Mapping[str, float]]
"""For each cause the boxes it hangs together with, and how strongly."""


def draw_topic(base: RuleBase, topic: str) -> Picture | None:
    """The picture of a topic; None where it has no causes."""
    causes = [name for name, cause in base.causes.items() if cause.topic == topic]
    if not causes:
        return None
    confirms = confirmed_by(base)
    tests: Lines = {
        cause: {test: 0.7 for test, confirmed in confirms.items() if cause in confirmed} for cause in causes
    }
    fixes: Lines = {
        cause: {cure.fix: base.word("how_well", cure.how_well) for cure in base.causes[cause].cured_by}
        for cause in causes
    }
    left, middle, right = _in_order(causes, tests, fixes)
    tall = max(len(left), len(middle), len(right))
    at = {
        f"{kind}-{name}": (column * (_BOX + _GAP), _TOP + (tall - len(names)) / 2 * _ROW + number * _ROW)
        for column, (kind, names) in enumerate((("test", left), ("cause", middle), ("fix", right)))
        for number, name in enumerate(names)
    }
    called = {
        **{f"test-{name}": base.tests[name].name for name in left},
        **{f"cause-{name}": base.causes[name].name for name in middle},
        **{f"fix-{name}": base.fixes[name].name for name in right},
    }
    return Picture(
        title=f"{base.topics[topic].name}: what confirms each cause, and what helps",
        description=(
            f"{len(left)} tests on the left, {len(middle)} causes in the middle, {len(right)} fixes on the right. "
            "A line from a test to a cause: it can confirm it. A line from a cause to a fix: it helps, the thicker the "
            "better. Every line stands in words on the page of its cause."
        ),
        width=3 * _BOX + 2 * _GAP,
        height=round(_TOP + tall * _ROW),
        box=(_BOX, _TALL),
        heads=tuple(
            (column * (_BOX + _GAP) + _BOX / 2, head)
            for column, head in enumerate(("Tests that confirm", "Causes", "Fixes"))
        ),
        nodes=tuple(_node(name, called[name], at[name]) for name in at),
        edges=(
            *(
                _edge(at[f"test-{test}"], at[f"cause-{cause}"], 0.7)
                for cause in middle
                for test in tests[cause]
            ),
            *(
                _edge(at[f"cause-{cause}"], at[f"fix-{fix}"], 0.5 + 2.5 * weight)
                for cause in middle
                for fix, weight in fixes[cause].items()
            ),
        ),
    )


def _in_order(causes: Sequence[str], tests: Lines, fixes: Lines) -> tuple[list[str], list[str], list[str]]:
    """Boxes of each column in an order that crosses few lines: each near the middle of what it hangs together with."""
    middle = list(causes)
    left = list(dict.fromkeys(test for cause in middle for test in tests[cause]))
    right = list(dict.fromkeys(fix for cause in middle for fix in fixes[cause]))
    for _ in range(_SWEEPS):
        places = {cause: (number + 0.5) / len(middle) for number, cause in enumerate(middle)}
        left = _beside(
            left, {test: [places[cause] for cause in middle if test in tests[cause]] for test in left}
        )
        right = _beside(
            right, {fix: [places[cause] for cause in middle if fix in fixes[cause]] for fix in right}
        )
        sides = {
            name: (number + 0.5) / len(column)
            for column in (left, right)
            for number, name in enumerate(column)
        }
        middle = _beside(
            middle, {cause: [sides[name] for name in (*tests[cause], *fixes[cause])] for cause in middle}
        )
    return left, middle, right


def _beside(names: Sequence[str], near: Mapping[str, Sequence[float]]) -> list[str]:
    def middle(name: str) -> float:
        return sum(near[name]) / len(near[name]) if near[name] else 1.0

    return sorted(names, key=middle)


def _node(name: str, called: str, at: tuple[float, float]) -> Node:
    lines = textwrap.wrap(called, _LETTERS, max_lines=2, placeholder=" …")
    kind, _, page = name.partition("-")
    return Node(anchor(kind, page), called, tuple(lines), at[0], round(at[1], 1), kind)


def _edge(one: tuple[float, float], other: tuple[float, float], weight: float) -> Edge:
    x, y, to_x, to_y = one[0] + _BOX, one[1] + _TALL / 2, other[0], other[1] + _TALL / 2
    bend = (x + to_x) / 2
    return Edge(f"M{x:g} {y:g}C{bend:g} {y:g} {bend:g} {to_y:g} {to_x:g} {to_y:g}", round(weight, 1))
