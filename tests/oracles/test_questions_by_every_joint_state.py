"""The next question is the one that enumerating every joint state of causes and answers finds best."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping
from dataclasses import replace
from typing import Any

import pytest
from clips_machine import ClipsMachine
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge, state_of
from diagnose.reasoning.questions import rank_questions
from every_joint_state import AtWork, Worth, worth_asking, worths
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from made_bases import (
    Page,
    base_of,
    bench_test,
    cause,
    cellar_pages,
    choice,
    fix,
    number,
    says,
    several,
    speaks_when,
    state,
    yes_no,
)
from second_opinions import MADE_STATES, RANDOM_QUESTIONS

STRENGTHS = ("confirms", "strongly_for", "for", "slightly_for", "slightly_against", "against", "excludes")
ANSWERS: dict[str, tuple[str, ...]] = {
    "film": ("yes", "no"),
    "gas": ("lively", "faint", "none"),
    "smells": ("vinegar", "yeast", "clean"),
    "cloud": ("low", "middle", "high"),
    "trial": ("clears", "stays"),
    "old_film": ("yes", "no"),
}
VALUES: dict[str, tuple[Any, ...]] = {
    **ANSWERS,
    "smells": (frozenset({"vinegar"}), frozenset({"yeast", "vinegar"}), frozenset({"clean"})),
    "cloud": (3.0, 20.0, 60.0),
}


@st.composite
def small_cellars(draw: st.DrawFn) -> list[Page]:
    """Two or three causes, five questions of all kinds, a test, a state, and rows that share a group.

    No rule turns inside a band, so that any value of a band stands for all of it.
    """
    often = st.sampled_from(["usual", "often", "sometimes", "seldom"])
    effort = st.sampled_from(["glance", "minutes", "hour"])
    shared = st.sampled_from([{}, {"about": "surface"}])

    def more(name: str) -> Page:
        normally = {answer: draw(often) for answer in ANSWERS[name] if draw(st.booleans())}
        return {"normally": normally, "effort": draw(effort), **draw(shared)}

    made = [
        yes_no("film", **more("film")),
        choice("gas", *ANSWERS["gas"], nothing="none", **more("gas")),
        several("smells", *ANSWERS["smells"], nothing="clean", **more("smells")),
        number("cloud", {"low": None, "middle": 10, "high": 40}, **more("cloud")),
        choice("trial", *ANSWERS["trial"], **more("trial")),
        bench_test("jar", "trial", hands_on=draw(effort), waiting=draw(st.sampled_from(["none", "hours"]))),
        state("old_film", ("yes", {"film": "yes", "gas": "none"}), ("no", {"film": "no"})),
        *(fix(name) for name in ("rest", "cure_a", "cure_b", "cure_c")),
    ]
    for name in draw(st.sampled_from([("a", "b"), ("a", "b", "c")])):
        rows = []
        for observe in draw(st.lists(st.sampled_from(sorted(ANSWERS)), min_size=1, max_size=4, unique=True)):
            told = draw(st.lists(st.sampled_from(ANSWERS[observe]), min_size=1, unique=True))
            about = draw(st.sampled_from([None, None, "surface"]))
            rows.append(says(observe, about, **{word: draw(st.sampled_from(STRENGTHS)) for word in told}))
        if draw(st.booleans()):
            when = draw(
                st.sampled_from([{"film": "yes", "cloud": {"at_least": 10}}, {"gas": {"is_not": "none"}}])
            )
            rows.append(speaks_when(when, draw(st.sampled_from(STRENGTHS))))
        cure = draw(st.sampled_from([None, {"rest": "fully"}, {f"cure_{name}": "mostly", "rest": "partly"}]))
        often_met = draw(st.sampled_from(["common", "occasional", "rare"]))
        made.append(cause(name, *rows, fixes=cure, how_common=often_met))
    return made


@st.composite
def some_facts(draw: st.DrawFn) -> tuple[Fact, ...]:
    """Answers to none, one or two of the questions."""
    asked = sorted(set(VALUES) - {"old_film"})
    names = draw(st.lists(st.sampled_from(asked), unique=True, max_size=2))
    return tuple(Fact(name, draw(st.sampled_from(VALUES[name]))) for name in names)


def ranked(cellar: Cellar, facts: tuple[Fact, ...]) -> tuple[dict[str, Worth], dict[str, Worth]]:
    """The questions as the program ranks them, and the worth of each by every joint state."""
    # No topic counts as settled here, so that every question is ranked; when asking ends is tested elsewhere.
    state = replace(state_of(cellar, judge(cellar, "haze", facts)), settled=frozenset())
    machine = ClipsMachine(cellar.base, cellar.rules.values())
    ours = {one.observation: Worth(one.gain, one.worth) for one in rank_questions(state, ())}
    return ours, worths(cellar.base, "haze", machine, facts, done_about(cellar.named))


def done_about(named: Mapping[str, str]) -> Callable[[AtWork], Hashable]:
    """What would be done about a set of causes, by the names the program gives to cures."""
    return lambda at_work: frozenset(named.get(cause_name, cause_name) for cause_name in at_work)


def agree(cellar: Cellar, facts: tuple[Fact, ...]) -> int:
    """The same questions with the same gains in the order of their worth; the number of questions."""
    ours, exact = ranked(cellar, facts)
    wanted = worth_asking(cellar.base, exact)
    assert {name: one.gain for name, one in ours.items()} == pytest.approx(
        {name: one.gain for name, one in wanted.items()}, abs=1e-9
    )
    assert {name: one.worth for name, one in ours.items()} == pytest.approx(
        {name: one.worth for name, one in wanted.items()}, abs=1e-9
    )
    in_order = [wanted[name].worth for name in ours]
    assert in_order == pytest.approx(sorted(in_order, reverse=True), abs=1e-9)
    return len(ours)


@settings(max_examples=RANDOM_QUESTIONS, suppress_health_check=[HealthCheck.too_slow])
@given(small_cellars(), some_facts())
def test_random_small_cellars(made: list[Page], facts: tuple[Fact, ...]) -> None:
    """Whatever the pages say: the program ranks the questions as counting every joint state does."""
    agree(Cellar(base_of(*made)), facts)


STATES: tuple[tuple[tuple[Fact, ...], int], ...] = (
    ((), 5),
    ((Fact("bubbles", "yes"),), 3),
    ((Fact("smells", frozenset({"yeast"})), Fact("colour", "white")), 2),
    ((Fact("heated", 30.0),), 3),
)
"""What is known, and how many questions there are to compare at least."""


def test_one_made_cellar() -> None:
    """The same on a cellar with derived numbers; there are questions to compare."""
    assert len(STATES) == MADE_STATES
    for facts, at_least in STATES:
        assert agree(Cellar(base_of(*cellar_pages())), facts) >= at_least


def test_shared_information_by_hand() -> None:
    """One cause, one question, no fact: the gain is that of a two by two table filled in by hand."""
    base = base_of(
        yes_no("film", normally={"yes": "sometimes", "no": "usual"}), cause("a", says("film", yes="for"))
    )
    machine = ClipsMachine(base, Cellar(base).rules.values())
    gain = worths(base, "haze", machine, [])["film"].gain
    # Beforehand 0.1 and 0.05; the sets are a alone, the unknown one alone, and both.
    sets = {"a": 0.1 * 0.95, "unknown": 0.9 * 0.05, "both": 0.1 * 0.05}
    whole = sum(sets.values())
    # With cause a the odds of yes are 10 ** 0.7 times those without, and three answers in a hundred are slips. Of no
    # the page says nothing, so it weighs as it did, and both are made parts of a whole.
    without = 10 / 70
    raised = 0.97 * (10 * 10**0.7 / (10 * 10**0.7 + 60)) / without + 0.03
    with_a = without * raised / (without * raised + 1 - without)
    share = (sets["a"] + sets["both"]) / whole
    by_hand = _entropy(share * with_a + (1 - share) * without) - (
        share * _entropy(with_a) + (1 - share) * _entropy(without)
    )
    assert gain == pytest.approx(by_hand, abs=1e-9)


def _entropy(chance: float) -> float:
    return -chance * math.log2(chance) - (1 - chance) * math.log2(1 - chance)


# ---------------------------------------------------------------- what is done about the causes


def a_and_b_alike(at_work: AtWork) -> Hashable:
    """The same is done about a and about b."""
    return frozenset("ab" if cause_name in ("a", "b") else cause_name for cause_name in at_work)


def test_telling_apart_what_is_treated_alike_is_worth_next_to_nothing() -> None:
    """A question that only tells a from b tells much, but hardly anything of what to do, if that is the same."""
    base = base_of(
        choice("side", "left", "right", "middle"),
        cause("a", says("side", left="strongly_for")),
        cause("b", says("side", right="strongly_for")),
        cause("c", says("side", middle="strongly_for")),
    )
    machine = ClipsMachine(base, Cellar(base).rules.values())
    seen = [Fact("side", "middle")]
    assert worths(base, "haze", machine, seen) == {}
    own = worths(base, "haze", machine, [])["side"].gain
    alike = worths(base, "haze", machine, [], a_and_b_alike)["side"].gain
    nothing = worths(base, "haze", machine, [], lambda _: "the same for all")["side"].gain
    assert nothing == pytest.approx(0, abs=1e-12)
    assert 0 < alike < own / 1.5


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(small_cellars(), some_facts())
def test_fewer_decisions_leave_less_to_learn(made: list[Page], facts: tuple[Fact, ...]) -> None:
    """No question tells more of what to do than it tells of the causes."""
    base = base_of(*made)
    machine = ClipsMachine(base, Cellar(base).rules.values())
    own, alike = (worths(base, "haze", machine, facts, *more) for more in ((), (a_and_b_alike,)))
    assert all(-1e-12 <= alike[name].gain <= own[name].gain + 1e-12 for name in own)
