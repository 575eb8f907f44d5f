"""The chances of causes are those that a library of Bayesian networks works out for the model the pages describe."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import agrum
import pytest
from diagnose.reasoning.weigh import UNKNOWN, FindingRows, Row, weigh, weigh_topics
from hypothesis import given, settings
from hypothesis import strategies as st
from random_findings import STRENGTHS, weighings
from second_opinions import MOST_CAUSES, RANDOM_TOPICS, RANDOM_WEIGHINGS, TOPICS
from written_weighing import WrittenFinding, written_findings


@settings(max_examples=RANDOM_WEIGHINGS)
@given(weighings())
def test_random_weighings(made: tuple[dict[str, float], list[FindingRows]]) -> None:
    """Whatever speaks for or against whatever: our chances are the exact ones, to nine places."""
    before, found = made
    ours = weigh(before, found).chances
    assert agrum.chances(before, written_findings(found)) == pytest.approx(ours, abs=1e-9)


@pytest.mark.parametrize("topic", TOPICS)
def test_worked_cases(shipped: Any, topic: str) -> None:
    """Every worked case, on its leading causes: our chances are the exact ones, to nine places."""
    many = 0
    for facts in shipped.cases[topic].values():
        before, found = shipped.leading(topic, facts, MOST_CAUSES)
        written = written_findings(found)
        ours = weigh(before, found).chances
        assert agrum.chances(before, written) == pytest.approx(ours, abs=1e-9)
        assert written
        many += len(written) > 3
    assert many > len(shipped.cases[topic]) / 2


@st.composite
def two_topics(draw: st.DrawFn) -> tuple[dict[str, dict[str, float]], dict[str, list[FindingRows]]]:
    """Two topics with findings of their own and one positive finding that causes of both bring."""
    priors, found = {}, {}
    for topic in ("haze", "stuck"):
        causes = [f"{topic}_{letter}" for letter in "abc"[: draw(st.integers(1, 3))]]
        priors[topic] = {cause: draw(st.sampled_from([0.01, 0.1, 0.3])) for cause in causes}
        priors[topic][f"{topic}_other"] = 0.05
        strengths = st.sampled_from([3.0, 7.0, 13.0])
        bringing = draw(st.lists(st.sampled_from(causes), min_size=1, unique=True))
        shared = tuple(Row(cause, 0, draw(strengths), "shared") for cause in bringing)
        found[topic] = [FindingRows("shared", "yes", 0.04, False, shared)]
        for number in range(draw(st.integers(0, 2))):
            key = f"{topic}_{number}"
            rows = tuple(Row(cause, number + 1, draw(st.sampled_from(STRENGTHS)), key) for cause in causes)
            found[topic].append(FindingRows(key, "yes", draw(st.sampled_from([0.1, 0.7])), False, rows))
    return priors, found


@settings(max_examples=RANDOM_TOPICS)
@given(two_topics())
def test_two_topics_that_share_a_finding(
    made: tuple[dict[str, dict[str, float]], dict[str, list[FindingRows]]],
) -> None:
    """What causes of one topic bring surprises those of the other less: exactly as in one network of both."""
    priors, found = made
    weighings = weigh_topics(priors, found)
    ours = {cause: chance for weighing in weighings.values() for cause, chance in weighing.chances.items()}
    own = [finding for findings in found.values() for finding in findings if finding.key != "shared"]
    rows = tuple(row for findings in found.values() for row in findings[0].rows)
    written = written_findings([FindingRows("shared", "yes", 0.04, False, rows), *own])
    assert agrum.chances_of_topics(priors, written) == pytest.approx(ours, abs=1e-9)


# ---------------------------------------------------------------- the comparison can fail


def test_topics_weighed_apart_are_noticed() -> None:
    """A finding that both topics bring is explained once; weighed apart, each would take all of it for its own."""
    priors = {topic: {f"{topic}_a": 0.1, f"{topic}_other": 0.05} for topic in ("haze", "stuck")}
    rows = {topic: (Row(f"{topic}_a", 0, 13.0, "shared"),) for topic in priors}
    exact = agrum.chances_of_topics(priors, written_findings([_shared((*rows["haze"], *rows["stuck"]))]))
    apart = weigh(priors["haze"], [_shared(rows["haze"])]).chances
    assert exact["haze_a"] < apart["haze_a"] - 0.01


def _shared(rows: tuple[Row, ...]) -> FindingRows:
    return FindingRows("shared", "yes", 0.04, False, rows)


def test_own_odds_for_each_cause_are_noticed() -> None:
    """Two causes that both bring a finding share it; had each its own odds, the chances would be others by far."""
    before = {"a": 0.1, "b": 0.1, UNKNOWN: 0.05}
    shared = FindingRows("f", "yes", 0.04, False, (Row("a", 0, 13.0, "f"), Row("b", 0, 13.0, "f")))
    exact = agrum.chances(before, written_findings([shared]))
    own_odds = [replace(shared, key=row.cause, rows=(row,)) for row in shared.rows]
    assert abs(exact["a"] - weigh(before, own_odds).chances["a"]) > 0.05


@pytest.mark.parametrize(
    ("nothing", "at_work", "expected"),
    [
        (False, set(), 0.1),
        (False, {"a"}, 0.4),
        (False, {"a", "b"}, 1 - 0.9 * (0.6 / 0.9) * (0.5 / 0.9)),
        (False, {"a", "c"}, 0.4),
        (False, {"c", "d"}, 0.1 * 0.5 * 0.2),
        (True, {"a", "c"}, 0.05),
        (True, {"a", "c", "d"}, 0.01),
        (True, {"a", "b"}, 1 - 0.9 * (0.6 / 0.9) * (0.5 / 0.9)),
    ],
)
def test_the_model_is_the_written_one(nothing: bool, at_work: set[str], expected: float) -> None:
    """The chance of a finding with some causes at work, by hand from the pages and from the library's network."""
    finding = WrittenFinding("f", 0.1, {"a": 0.4, "b": 0.5}, {"c": 0.05, "d": 0.02}, nothing)
    assert finding.chance(frozenset(at_work)) == pytest.approx(expected, abs=1e-12)
    sure = {cause: float(cause in at_work) for cause in finding.causes}
    assert agrum.chance_of(sure, finding) == pytest.approx(expected, abs=1e-9)
