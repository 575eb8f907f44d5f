"""Answers that cannot all be right are shown and kept; the program does not choose."""

from __future__ import annotations

import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The shipped rule base."""
    return Cellar(read_rule_base([shipped_folder("rules")]))


@pytest.mark.parametrize(
    ("facts", "clash"),
    [
        ([("sweetness", "dry"), ("gravity_now", 1.04)], "dry_but_dense"),
        ([("sweetness", "sweet"), ("gravity_now", 0.99)], "sweet_but_light"),
        ([("residual_sugar", 0.5), ("gravity_now", 1.02)], "dry_test_but_dense"),
        ([("gas", "none"), ("gravity_trend", "falling")], "still_but_falling"),
        ([("free_so2", 30.0), ("total_so2", 8.0)], "free_above_total"),
        ([("start_gravity", 1.05), ("alcohol", 15.0)], "alcohol_beyond_its_sugar"),
        ([("stage", "juice"), ("wine_is_in", "bottle")], "bottled_and_bubbling"),
    ],
)
def test_what_cannot_be_is_told_and_kept(
    cellar: Cellar, facts: list[tuple[str, str | float]], clash: str
) -> None:
    """The clash is named, both answers are still facts, and a question to ask again is named."""
    judged = judge(cellar, "haze", [Fact(name, value) for name, value in facts])
    assert clash in [found.clash for found in judged.clashes]
    assert all(judged.facts[name] == (value,) for name, value in facts)
    assert all(found.measure_again for found in judged.clashes)


@pytest.mark.parametrize(
    "facts",
    [
        [("sweetness", "dry"), ("gravity_now", 0.994)],
        [("sweetness", "sweet"), ("gravity_now", 1.02)],
        [("gas", "lively"), ("gravity_trend", "falling")],
        [("free_so2", 30.0), ("total_so2", 90.0)],
        [("sweetness", "dry")],
    ],
)
def test_answers_that_agree_are_left_in_peace(cellar: Cellar, facts: list[tuple[str, str | float]]) -> None:
    """What fits together, and what nobody has looked at, makes no clash."""
    assert judge(cellar, "haze", [Fact(name, value) for name, value in facts]).clashes == ()
