from __future__ import annotations

from typing import Any

import by_hand
import pytest
from diagnose.engine.facts import Fact
from diagnose.engine.network import Network
from diagnose.judgement.judge import Cellar, Judged, judge, questions, state_of
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.findings import findings, priors
from diagnose.reasoning.foretell import sample_answers
from diagnose.reasoning.questions import Candidate, cost_of, effects_of, may_be_asked
from diagnose.reasoning.weigh import UNKNOWN
from hypothesis import given, settings
from hypothesis import strategies as st
from made_bases import (
    WORDS,
    Page,
    base_of,
    bench_test,
    cause,
    cellar_pages,
    choice,
    number,
    says,
    state,
    yes_no,
)

CELLAR = Cellar(base_of(*cellar_pages()))
NETWORK = Network(CELLAR.rules.values())
ANSWERS: dict[str, list[Any]] = {
    "bubbles": ["yes", "no"],
    "recently_fined": ["yes", "no"],
    "colour": ["white", "red"],
    "smells": [frozenset({"vinegar"}), frozenset({"yeast", "vinegar"})],
    "heated": [1.0, 30.0],
    "unheated": [1.0],
    "heat_test": ["hazier", "unchanged"],
}


@st.composite
def some_facts(draw: st.DrawFn) -> tuple[Fact, ...]:
    """Answers to some of the questions of the small cellar."""
    names = draw(st.lists(st.sampled_from(sorted(ANSWERS)), unique=True, max_size=5))
    return tuple(Fact(name, draw(st.sampled_from(ANSWERS[name]))) for name in names)


def asked(cellar: Cellar, *facts: Fact, left_out: tuple[str, ...] = ()) -> list[str]:
    """The names of the questions worth asking, best first."""
    judged = judge(cellar, "haze", facts)
    return [candidate.observation for candidate in questions(cellar, judged, left_out)]


# ---------------------------------------------------------------- against the longest way


def samples(base: RuleBase, page: Observation) -> dict[Any, float]:
    """A value for each answer of the small cellar's questions, with its weight in a sound wine, by hand."""
    usual = {"bubbles": [3, 60], "heat_test": [10, 60], "smells": [10, 10, 60], "recently_fined": [10, 60]}
    weights = usual.get(page.observe, [10] * len(page.answers))
    middles = {"low": 10.0, "high": 60.0}
    return {
        frozenset({answer}) if page.kind == "several" else middles.get(answer, answer): weight
        for answer, weight in zip(page.answers, weights, strict=True)
    }


def what_to_do(by_set: dict[by_hand.Set, float]) -> dict[frozenset[str], float]:
    """The chance of each thing to do: of causes that the same cure helps best, none need be told from the other."""
    best = {"protein_haze": "bentonite"}
    done: dict[frozenset[str], float] = {}
    for causes, chance in by_set.items():
        cures = frozenset(best.get(name, name) for name in causes)
        done[cures] = done.get(cures, 0.0) + chance
    return done


def by_full_runs(facts: tuple[Fact, ...], page: Observation) -> tuple[float, bool]:
    """Expected fall in doubt about what to do, and whether an answer changes the word for some cause.

    The network is run again for every answer, and every set is weighed by hand.
    """
    base = CELLAR.base
    before = priors(base, "haze")

    def found(more: tuple[Fact, ...]) -> Any:
        return findings(base, NETWORK.start((*facts, *more)).evidence, before)

    findings_now = found(())
    now = by_hand.chances_of_sets(before, findings_now, most=2)
    rows_now = by_hand.counted_rows(findings_now)
    share: dict[Any, dict[by_hand.Set, float]] = {}
    for value, weight in samples(base, page).items():
        after = found((Fact(page.observe, value),))
        rows = by_hand.counted_rows(after)
        share[value] = {}
        for causes in now:
            factor = weight
            for item in after:
                factor *= by_hand.likelihood(item, rows, causes)
            for item in findings_now:
                factor /= by_hand.likelihood(item, rows_now, causes)
            share[value][causes] = factor
    left, changes = 0.0, False
    for by_set in share.values():
        joint = {s: now[s] * by_set[s] / sum(other[s] for other in share.values()) for s in now}
        likely = sum(joint.values())
        left += likely * by_hand.doubt(what_to_do({s: chance / likely for s, chance in joint.items()}))
        after = {s: now[s] * by_set[s] for s in now}
        whole = sum(after.values())
        words = {k: word_of({s: part / whole for s, part in after.items()}, k) for k in before}
        changes |= likely >= 0.01 and words != {k: word_of(now, k) for k in before}
    return by_hand.doubt(what_to_do(now)) - left, changes


def word_of(by_set: dict[by_hand.Set, float], cause_name: str) -> str:
    """How a cause stands, by hand."""
    chance = sum(part for causes, part in by_set.items() if cause_name in causes)
    return "likely" if chance >= 0.5 else "possible" if chance >= 0.08 else "unlikely"


@settings(max_examples=25)
@given(some_facts())
def test_the_chosen_question_is_the_one_full_runs_would_choose(facts: tuple[Fact, ...]) -> None:
    """The quick what-if ranks questions exactly as running everything again for every answer does."""
    base = CELLAR.base
    known = {fact.name for fact in facts}
    cost = dict.fromkeys(base.observations, 1.0) | {"heat_test": 65.0}
    judged = judge(CELLAR, "haze", facts)
    settled = judged.first.cause != UNKNOWN and judged.first.word in ("likely", "confirmed")
    told = {
        name: by_full_runs(facts, page)
        for name, page in base.observations.items()
        if name not in known and page.answers
    }
    expected = {
        name: gain
        for name, (gain, changes) in told.items()
        if gain >= 0.02 and gain / (cost[name] + 3) >= 0.005 and (changes or not settled)
    }
    ranked = questions(CELLAR, judged)
    assert {item.observation: item.gain for item in ranked} == pytest.approx(expected, abs=1e-9)
    worths = [expected[item.observation] / (cost[item.observation] + 3) for item in ranked]
    assert worths == sorted(worths, reverse=True)
    assert [item.worth for item in ranked] == pytest.approx(worths)


def test_the_comparison_above_sees_questions() -> None:
    """It is not an empty list that agrees with an empty list."""
    assert {"bubbles", "recently_fined", "smells", "colour", "heat_test"} <= set(asked(CELLAR))


@settings(max_examples=25)
@given(some_facts())
def test_likelihoods_of_answers_are_a_whole_and_gain_is_bounded(facts: tuple[Fact, ...]) -> None:
    """The possible answers share one whole; no question can tell more than there is doubt, nor less than nothing."""
    judged = judge(CELLAR, "haze", facts)
    for name, page in CELLAR.base.observations.items():
        found = effect(judged, name)
        if found and may_be_asked(page, judged.facts):
            assert sum(item.likely for item in found.effects) == pytest.approx(1)
            assert 0 <= found.gain <= 4


def effect(judged: Judged, name: str, cellar: Cellar = CELLAR) -> Candidate | None:
    """What each answer to a question would change."""
    return effects_of(state_of(cellar, judged), cellar.base.observations[name])


@settings(max_examples=25)
@given(some_facts())
def test_what_an_answer_is_said_to_change_is_what_it_changes(facts: tuple[Fact, ...]) -> None:
    """The chances foretold for an answer are those the verdict gives once it is answered.

    Foretelling weighs sets of at most two causes and the verdict three, hence the small tolerance.
    """
    judged = judge(CELLAR, "haze", facts)
    for name in set(ANSWERS) - {fact.name for fact in facts}:
        page = CELLAR.base.observations[name]
        found = effect(judged, name)
        if found is None:
            continue
        for value, told in zip(sample_answers(CELLAR.base, page), found.effects, strict=True):
            truly = judge(CELLAR, "haze", (*facts, Fact(name, value))).weighings["haze"]
            small = {causes: chance for causes, chance in truly.sets if len(causes) <= 2}
            whole = sum(small.values())
            for cause_name, chance in told.chances["haze"].items():
                pairs = sum(part for causes, part in small.items() if cause_name in causes) / whole
                assert chance == pytest.approx(pairs, abs=1e-9)
                assert chance == pytest.approx(truly.chances[cause_name], abs=0.12)


# ---------------------------------------------------------------- what is not asked


def two_causes(*more: Page) -> list[Page]:
    """Two causes told apart by one look, and whatever else a test needs."""
    return [
        yes_no("film"),
        cause("k", says("film", yes="strongly_for", no="strongly_against")),
        cause("j", says("film", yes="against")),
        *more,
    ]


def test_a_question_that_cannot_move_anything_is_not_asked() -> None:
    """A look that no evidence speaks of, or that leads only to a state nobody reads, costs attention for nothing."""
    more = [yes_no("label_is_blue"), yes_no("a"), state("idle", ("yes", {"a": "yes"}))]
    assert asked(Cellar(base_of(*two_causes(*more)))) == ["film"]


def test_a_question_whose_answer_is_already_counted_is_not_asked() -> None:
    """A weaker sign of the same thing would only repeat what is known."""
    weaker = {**yes_no("shine"), "about": "film"}
    pages = two_causes(weaker)
    pages[1]["evidence"].append(says("shine", yes="for"))
    cellar = Cellar(base_of(*pages))
    assert asked(cellar) == ["film", "shine"]
    assert asked(cellar, Fact("film", "yes")) == []


def test_answered_and_skipped_questions_are_left_out() -> None:
    """What was answered, skipped or put off is not asked again."""
    ranked = asked(CELLAR)
    assert ranked[0] not in asked(CELLAR, left_out=(ranked[0],))
    assert asked(CELLAR, left_out=tuple(ranked)) == []
    assert "colour" not in asked(CELLAR, Fact("colour", "white"))


def test_a_question_waits_for_its_condition() -> None:
    """A question about the film is asked only once a film is known to be there, not while that is unknown."""
    follow_up = yes_no("thick", ask_when={"film": "yes"})
    pages = two_causes(follow_up)
    pages[2]["evidence"].append(says("thick", yes="confirms", no="excludes"))
    cellar = Cellar(base_of(*pages))
    assert "thick" not in asked(cellar)
    assert "thick" not in asked(cellar, Fact("film", "no"))
    assert "thick" in asked(cellar, Fact("film", "yes"))


def test_when_little_is_left_in_doubt_nothing_is_asked() -> None:
    """The questions end: once a cause stands clear, a hint that was worth asking before no longer is."""
    pages = two_causes(choice("taste", "sour", "flat"), yes_no("hint"))
    pages[1]["evidence"] += [says("taste", sour="confirms"), says("hint", yes="for")]
    pages[2]["evidence"] += [says("taste", sour="excludes")]
    cellar = Cellar(base_of(*pages))
    assert "hint" in asked(cellar)
    assert asked(cellar, Fact("film", "yes"), Fact("taste", "sour")) == []


def test_an_hour_of_work_is_not_asked_for_to_learn_next_to_nothing() -> None:
    """What a question tells must also be worth its minutes: the same look is asked as a glance, not as a day's wait."""

    def would_be_asked(**cost: str) -> bool:
        page = bench_test("trial", "hint", **cost)
        pages = [yes_no("hint"), page, cause("k", says("hint", yes="for")), cause("j"), cause("i")]
        return "hint" in asked(Cellar(base_of(*pages)))

    assert would_be_asked(hands_on="glance", waiting="none")
    assert not would_be_asked(hands_on="hour", waiting="days")


def test_another_way_to_the_same_answer_is_not_asked_once_that_is_known() -> None:
    """An eye's guess at the haze is not asked for when the meter has been read, only while it has not."""
    pages = two_causes(yes_no("film_by_lamp", instead_of="film"))
    pages[1]["evidence"].append(says("film_by_lamp", yes="confirms", no="excludes"))
    cellar = Cellar(base_of(*pages))
    assert "film_by_lamp" in asked(cellar)
    assert "film_by_lamp" not in asked(cellar, Fact("film", "yes"))


# ---------------------------------------------------------------- cost


def test_of_two_equal_questions_the_cheaper_comes_first() -> None:
    """A glance before minutes of work, when both would tell the same; equals stand in the order of names."""
    pages = [
        yes_no("a_slow", effort="minutes"),
        yes_no("b_quick", effort="glance"),
        yes_no("c_quick", effort="glance"),
        cause("k", *(says(name, yes="strongly_for") for name in ("a_slow", "b_quick", "c_quick"))),
        cause("j"),
        cause("i"),
    ]
    assert asked(Cellar(base_of(*pages))) == ["b_quick", "c_quick", "a_slow"]


def test_a_question_that_tells_more_may_still_cost_too_much() -> None:
    """Worth is gain for each minute with attention counted: (gain) / (minutes + attention)."""
    pages = [
        yes_no("sure", effort="hour"),
        yes_no("hint", effort="glance"),
        cause("k", says("sure", yes="confirms", no="excludes"), says("hint", yes="strongly_for")),
        cause("j"),
        cause("i"),
    ]
    cellar = Cellar(base_of(*pages))
    ranked = questions(cellar, judge(cellar, "haze", []))
    by_name = {item.observation: item for item in ranked}
    assert by_name["sure"].gain > by_name["hint"].gain
    assert [item.observation for item in ranked] == ["hint", "sure"]
    for item in ranked:
        assert item.worth == pytest.approx(item.gain / (item.cost + WORDS["asking"]["a_question"]))


def test_an_answer_that_takes_a_test_costs_the_cheapest_test_with_its_waiting() -> None:
    """Work counts in full and waiting in part; of two tests for one answer the cheaper is proposed."""
    base = base_of(
        yes_no("plain", effort="minutes"),
        yes_no("tested"),
        bench_test("long_test", "tested", hands_on="hour", waiting="hours"),
        bench_test("short_test", "tested", hands_on="minutes", waiting="days"),
    )
    assert cost_of(base, base.observations["plain"]) == (5, None)
    assert cost_of(base, base.observations["tested"]) == (35, "short_test")


def test_samples_of_a_number_lie_inside_their_bands() -> None:
    """To foretell a measurement, one value inside each band stands for the band."""
    base = base_of(number("m", {"low": None, "middle": 10, "high": 40}, plausible=[2, 100]))
    assert list(sample_answers(base, base.observations["m"])) == [6.0, 25.0, 70.0]
    words = effect_words(base)
    assert words == ["low", "middle", "high"]


def effect_words(base: RuleBase) -> list[str]:
    """The answer words shown for a number."""
    pages = [number("m", {"low": None, "middle": 10, "high": 40}, plausible=[2, 100])]
    cellar = Cellar(base_of(*pages, cause("k", says("m", low="against", middle="for", high="confirms"))))
    found = effect(judge(cellar, "haze", []), "m", cellar)
    assert found is not None
    return [item.answer for item in found.effects]
