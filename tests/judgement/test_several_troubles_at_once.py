"""Several kinds of trouble in one wine: found together, each on its own evidence, what is shared counted once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import by_hand
import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.reasoning.weigh import UNKNOWN, FindingRows, Row, weigh, weigh_topics
from diagnose.shipped import shipped_folder
from hypothesis import given, settings
from hypothesis import strategies as st


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The shipped rule base."""
    return Cellar(read_rule_base([shipped_folder("rules")]))


def finding(key: str, normal: float, nothing: bool = False, **decibans: float) -> FindingRows:
    """A finding with one row for each named cause."""
    rows = tuple(Row(cause, 0, value, key) for cause, value in decibans.items())
    return FindingRows(key, "yes", normal, nothing, rows)


PRIORS = {"one": {"a": 0.1, "b": 0.05, UNKNOWN: 0.05}, "other": {"x": 0.1, "y": 0.03, UNKNOWN: 0.05}}


def of(topic: str, findings: Sequence[FindingRows]) -> list[FindingRows]:
    """The findings as far as they speak of causes of one topic."""
    return [
        FindingRows(item.key, item.answer, item.normal, item.nothing, rows)
        for item in findings
        if (rows := tuple(row for row in item.rows if row.cause in PRIORS[topic]))
    ]


def all_together(findings: Sequence[FindingRows]) -> dict[str, float]:
    """Every pair of sets, one of each topic, weighed at once; the unknown of each topic is one of its causes."""
    scores: dict[tuple[frozenset[tuple[str, str]], ...], float] = {}
    sets = {
        topic: [
            frozenset((topic, cause) for cause in group)
            for size in (1, 2, 3)
            for group in itertools.combinations(sorted(priors), size)
        ]
        for topic, priors in PRIORS.items()
    }
    for pair in itertools.product(*sets.values()):
        causes = frozenset().union(*pair)
        score = math.prod(PRIORS[topic][cause] / (1 - PRIORS[topic][cause]) for topic, cause in causes)
        named = frozenset(cause for _, cause in causes if cause != UNKNOWN)
        rows = by_hand.counted_rows(findings)
        scores[pair] = score * math.prod(by_hand.likelihood(item, rows, named) for item in findings)
    whole = sum(scores.values())
    return {
        f"{topic}.{cause}": sum(
            s for pair, s in scores.items() if any((topic, cause) in part for part in pair)
        )
        / whole
        for topic, priors in PRIORS.items()
        for cause in priors
    }


def chances(findings: Sequence[FindingRows]) -> dict[str, float]:
    """The program's chances, named by topic."""
    found = weigh_topics(PRIORS, {topic: of(topic, findings) for topic in PRIORS})
    return {f"{topic}.{cause}": chance for topic, w in found.items() for cause, chance in w.chances.items()}


@settings(max_examples=60)
@given(
    st.sampled_from([-13.0, -7.0, 3.0, 7.0, 13.0]),
    st.sampled_from([-13.0, -7.0, 7.0, 13.0]),
    st.sampled_from([0.02, 0.04]),
    st.booleans(),
)
def test_topics_that_share_no_more_than_one_finding_are_weighed_exactly(
    own: float, others: float, normal: float, nothing: bool
) -> None:
    """One shared finding, and one that each topic has for itself: the same as weighing everything at once."""
    findings = [
        finding("shared", normal, a=13.0, x=13.0),
        finding("own", 0.04, nothing, a=own, b=-own),
        finding("theirs", 0.04, x=others),
    ]
    assert chances(findings) == pytest.approx(all_together(findings), abs=1e-9)


def test_a_trouble_that_explains_a_sign_leaves_less_of_it_to_the_other() -> None:
    """When one fault is sure to bring a sign, that sign no longer speaks for a fault of another kind."""
    shared = finding("shared", 0.02, a=13.0, x=13.0)
    sure = finding("sure", 0.009, a=20.0)
    alone, explained = chances([shared]), chances([shared, sure])
    assert explained["other.x"] < alone["other.x"]
    assert explained["other.x"] == pytest.approx(all_together([shared, sure])["other.x"], abs=1e-9)


def test_two_shared_findings_come_close_to_weighing_everything_at_once() -> None:
    """With more than one shared finding the messages between topics go in a circle; the error stays small."""
    findings = [
        finding("s1", 0.03, a=13.0, x=13.0),
        finding("s2", 0.03, a=7.0, x=13.0),
        finding("t", 0.04, y=7.0),
    ]
    exact, found = all_together(findings), chances(findings)
    assert max(abs(exact[name] - found[name]) for name in exact) < 0.05


@given(st.sampled_from([-13.0, 3.0, 7.0, 13.0]))
def test_topics_that_share_nothing_do_not_touch_each_other(value: float) -> None:
    """A second trouble elsewhere changes nothing where it leaves no sign."""
    findings = [finding("own", 0.04, a=value), finding("theirs", 0.04, x=13.0)]
    together = weigh_topics(PRIORS, {topic: of(topic, findings) for topic in PRIORS})
    assert together["one"].chances == pytest.approx(
        weigh(PRIORS["one"], of("one", findings)).chances, abs=1e-12
    )


# ---------------------------------------------------------------- the shipped rules


def facts(answers: Mapping[str, object]) -> list[Fact]:
    """Answers as facts; a list stands for several that were ticked."""
    return [
        Fact(name, frozenset(value) if isinstance(value, list) else value)  # type: ignore[arg-type]
        for name, value in answers.items()
    ]


PROTEIN = {
    "wine_colour": "white",
    "made_from": "grapes",
    "looks": ["even_veil"],
    "gas": "none",
    "haze_began": "after_clear",
    "came_after": ["warming"],
    "light_beam": "even_glow",
    "heat_test_eye": "much_hazier",
}
WEAK_SULFITE = {"so2_trouble": ["low_free"], "ph": 3.9, "free_so2": 20.0}


def test_each_trouble_that_the_person_brings_is_weighed(cellar: Cellar) -> None:
    """A hazy wine whose sulfite does not hold: both are judged at once, each with its own first cause."""
    both = judge(cellar, ("haze", "so2"), facts({**PROTEIN}))
    assert both.topics[:2] == ("haze", "so2")
    assert both.firsts["haze"].cause == "protein_haze"
    assert {standing.topic for standing in both.standings} == set(both.topics)


def test_findings_open_a_second_trouble(cellar: Cellar) -> None:
    """A bottle that was clear and ferments: why it began again is weighed too, though only a haze was brought."""
    found = judge(
        cellar,
        "haze",
        facts({"wine_is_in": "bottle", "gravity_trend": "falling", "looks": ["even_veil"], "gas": "lively"}),
    )
    assert found.topics == ("haze", "runaway")


def test_a_quiet_wine_opens_nothing(cellar: Cellar) -> None:
    """Without such signs only what was brought is weighed."""
    assert judge(cellar, "haze", facts(PROTEIN)).topics == ("haze",)


def test_network_and_plain_twin_judge_several_troubles_alike(cellar: Cellar) -> None:
    """The result on the screen and what is shown between questions are one judgement."""
    answers = facts({**PROTEIN, "gravity_trend": "falling", "smells": ["rotten_egg"]})
    quick, shown = (judge(cellar, ("haze", "stuck"), answers, machine=by) for by in ("chain", "network"))
    assert quick.standings == shown.standings
    assert quick.plan == shown.plan
    assert set(quick.trace.firings) == set(shown.trace.firings)


def test_a_rule_that_opens_a_topic_reads_findings_only(tmp_path) -> None:  # type: ignore[no-untyped-def]
    """What opens a subject must be known before its causes are weighed; the mistake is told with its place."""
    (tmp_path / "rules.yaml").write_text(
        "- rule: too_late\n  when: {cause.protein_haze: likely}\n  look_into: heat\n"
        "  because: Too late.\n  source: logic\n",
        encoding="utf-8",
    )
    with pytest.raises(RuleFilesWrong, match=r"cannot read 'cause\.protein_haze'"):
        read_rule_base([shipped_folder("rules"), tmp_path])
