"""One sign against the favourite, which question is taken of several, and which answers would turn the case."""

from __future__ import annotations

from dataclasses import replace

import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge, state_of
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.against import sign_against
from diagnose.reasoning.decisions import decisions
from diagnose.reasoning.questions import AnswerEffect, Candidate, State, choose, worth_starting
from diagnose.reasoning.turning import TurningPoint, turning_points
from diagnose.reasoning.weigh import (
    COMPANIONS,
    UNKNOWN,
    FindingRows,
    Row,
    companions,
    decibans_of,
    make_cell,
    weigh,
)
from made_bases import WORDS, base_of, bench_test, cause, fix, says, yes_no

# ---------------------------------------------------------------- turning points


def question(name: str, *effects: AnswerEffect, worth: float = 1.0, gain: float = 1.0) -> Candidate:
    """A question that could be asked."""
    return Candidate(name, gain, 1.0, worth, None, effects)


def leads_to(answer: str, likely: float, **chances: float) -> AnswerEffect:
    """What an answer would make of the causes of one topic."""
    return AnswerEffect(answer, likely, {"haze": chances})


def test_an_answer_that_puts_another_cause_first_is_named() -> None:
    """Film would put yeast first; no film turns nothing, and what is met once in two hundred is not worth naming."""
    film = question(
        "film",
        leads_to("yes", 0.4, protein=0.3, yeast=0.6),
        leads_to("no", 0.5, protein=0.7, yeast=0.2),
        leads_to("thick", 0.005, protein=0.1, yeast=0.9),
    )
    assert turning_points({"haze": "protein"}, [film]) == (TurningPoint("film", "yes", "haze", "yeast"),)


def test_one_in_a_hundred_is_worth_naming() -> None:
    """The line itself counts."""
    film = question("film", leads_to("yes", 0.01, protein=0.3, yeast=0.6))
    assert [point.answer for point in turning_points({"haze": "protein"}, [film])] == ["yes"]


def test_of_equally_likely_causes_the_first_by_name_stands_first() -> None:
    """A tie turns nothing: yeast beside protein, both at a half, leaves protein first."""
    film = question("film", leads_to("yes", 0.4, yeast=0.5, protein=0.5))
    assert turning_points({"haze": "protein"}, [film]) == ()


# ---------------------------------------------------------------- which question is taken


def looks(**groups: str) -> RuleBase:
    """Questions under their headings."""
    return base_of(*(yes_no(name, group=group) for name, group in groups.items()))


@pytest.mark.parametrize(
    ("worths", "group", "taken"),
    [
        ({"a": 1.0, "b": 0.8}, "smell_taste", "b"),
        ({"a": 1.0, "b": 0.7}, "smell_taste", "b"),
        ({"a": 1.0, "b": 0.69}, "smell_taste", "a"),
        ({"a": 1.0, "b": 0.9}, "look", "a"),
        ({"a": 1.0, "b": 0.9}, None, "a"),
        ({"a": 1.0, "c": 0.9, "b": 0.8}, "smell_taste", "c"),
    ],
)
def test_who_is_smelling_already_smells_on(worths: dict[str, float], group: str | None, taken: str) -> None:
    """A question nearly as good (seven tenths) that can be answered where the person stands comes before the best."""
    base = looks(a="look", b="smell_taste", c="smell_taste")
    ranked = [question(name, worth=worth) for name, worth in worths.items()]
    assert choose(base, ranked, group).observation == taken


def slow(**waiting: str) -> State:
    """Questions that take a test each, with what it waits for."""
    pages = [
        page
        for name, wait in waiting.items()
        for page in (yes_no(name), bench_test(f"test_{name}", name, waiting=wait))
    ]
    cellar = Cellar(base_of(*pages, yes_no("at_once"), cause("k", says("at_once", yes="for"))))
    return state_of(cellar, judge(cellar, "haze", []))


@pytest.mark.parametrize(
    ("gains", "passed_over", "started"),
    [
        ({"long": 0.5, "at_once": 0.1}, (), "long"),
        ({"long": 0.15, "at_once": 0.1}, (), "long"),
        ({"long": 0.149, "at_once": 0.1}, (), None),
        ({"long": 0.5, "at_once": 0.6}, (), None),
        ({"quick": 0.5, "long": 0.4}, (), None),
        ({"long": 0.5}, ("quick", "at_once"), "long"),
        ({"long": 0.5}, ("at_once", "longer"), None),
        ({}, (), None),
    ],
)
def test_a_long_test_that_tells_most_is_set_going_first(
    gains: dict[str, float], passed_over: tuple[str, ...], started: str | None
) -> None:
    """A day's wait begins early where it tells most and enough; one such test at a time."""
    state = slow(long="days", longer="days", quick="hours")
    ranked = [question(name, gain=gain) for name, gain in gains.items()]
    assert worth_starting(state, ranked, passed_over) == started


def test_a_wait_of_just_so_many_hours_is_a_long_one() -> None:
    """The line for a long wait counts itself among the long ones."""
    state = slow(long="hours")
    line = WORDS["asking"]["a_long_wait"]
    words = state.base.words["waiting"]
    for waits, started in ((line, "long"), (line - 0.01, None)):
        values = {**words.values, "hours": waits}
        base = replace(
            state.base, words={**state.base.words, "waiting": words.model_copy(update={"values": values})}
        )
        assert worth_starting(replace(state, base=base), [question("long")], ()) == started


# ---------------------------------------------------------------- a sign against


def suspect(*facts: Fact) -> State:
    """A cause with two looks that could speak against it, one that only speaks for it, and a costly test against it."""
    cellar = Cellar(
        base_of(
            yes_no("b_glance"),
            yes_no("a_minutes", effort="minutes"),
            yes_no("only_for"),
            yes_no("tested"),
            bench_test("long_test", "tested", hands_on="hour"),
            cause(
                "k",
                says("b_glance", yes="for", no="slightly_against"),
                says("a_minutes", no="against"),
                says("only_for", yes="confirms"),
                says("tested", no="excludes"),
            ),
            cause("j", says("only_for", yes="for")),
        )
    )
    return state_of(cellar, judge(cellar, "haze", list(facts)))


@pytest.mark.parametrize(
    ("known", "left_out", "asked"),
    [
        ((), (), "b_glance"),
        ((), ("b_glance",), "a_minutes"),
        ((), ("b_glance", "a_minutes"), None),
        (("only_for",), (), "b_glance"),
        (("a_minutes",), (), None),
        (("tested",), (), None),
    ],
)
def test_the_cheapest_sign_against_is_looked_for_once(
    known: tuple[str, ...], left_out: tuple[str, ...], asked: str | None
) -> None:
    """A glance before minutes, never an hour of work; who has looked at one such thing has looked."""
    assert sign_against(suspect(*(Fact(name, "yes") for name in known)), "k", left_out) == asked


def test_where_nothing_could_speak_against_it_nothing_is_asked() -> None:
    """A cause that every answer only supports cannot be doubted by asking."""
    assert sign_against(suspect(), "j", ()) is None


@pytest.mark.parametrize(("dearest", "asked"), [(5.0, "a_minutes"), (4.9, None)])
def test_a_sign_at_the_dearest_price_is_still_cheap(dearest: float, asked: str | None) -> None:
    """What costs just as much as a cheap sign may cost is asked for."""
    state = suspect()
    words = state.base.words["asking"]
    values = {**words.values, "a_cheap_sign": dearest}
    base = replace(
        state.base, words={**state.base.words, "asking": words.model_copy(update={"values": values})}
    )
    assert sign_against(replace(state, base=base), "k", ("b_glance",)) == asked


# ---------------------------------------------------------------- very large topics, very sure findings


def crowd(count: int) -> dict[str, float]:
    """So many rare causes, the first ones by name a little rarer, and the unknown one."""
    return {UNKNOWN: 0.05, **{f"c{at:02d}": 0.01 + 0.0001 * at for at in range(count - 1)}}


def test_in_a_large_topic_those_that_explain_least_stand_alone() -> None:
    """Up to the line all causes are weighed in company; above it the least likely by themselves are left out."""
    assert len(companions(crowd(COMPANIONS), ())) == COMPANIONS
    found = companions(crowd(COMPANIONS + 2), ())
    assert len(found) == COMPANIONS and list(found) == sorted(found)
    assert set(crowd(COMPANIONS + 2)) - set(found) == {"c00", "c01"}
    raised = make_cell("film", "yes", 0.1, False, {"c00": 3.0, "c02": 0.5})
    assert set(crowd(COMPANIONS + 2)) - set(companions(crowd(COMPANIONS + 2), [raised])) == {"c01", "c02"}


def test_a_cause_left_out_of_company_is_still_weighed_alone() -> None:
    """Its sign raises it, and it is in no set with another one."""
    rows = FindingRows("film", "yes", 0.1, False, (Row("c05", 0, 7.0, "film"),))
    weighing = weigh(crowd(COMPANIONS + 8), [rows])
    before = weigh(crowd(COMPANIONS + 8), [])
    assert weighing.chances["c05"] > before.chances["c05"]
    together = [causes for causes, _ in before.sets if "c00" in causes]
    assert together == [("c00",)]
    assert max(len(causes) for causes, _ in before.sets) == 3


@pytest.mark.parametrize(
    ("normal", "ratios", "kept"),
    [
        (0.5, {"a": 10.0}, 0.095),
        (0.05, {"a": 10.0}, 0.05),
        (0.99, {}, 0.95),
        (0.99, {"a": 0.1}, 0.95),
        (0.5, {"a": 10.0, "b": 19.0}, 0.05),
    ],
)
def test_no_cause_makes_a_finding_surer_than_nineteen_in_twenty(
    normal: float, ratios: dict[str, float], kept: float
) -> None:
    """Ten times more often than one in two cannot be: the finding is then taken to be met in 9.5 of 100 sound wines."""
    cell = make_cell("film", "yes", normal, False, ratios)
    assert cell.normal == pytest.approx(kept) and cell.beside == cell.normal


def test_an_early_guess_counts_beside_the_signs() -> None:
    """In a large topic a cause of odds 2 to 3 outweighs one of 1 to 9 whose sign is met five times more often."""
    rare = {f"r{at:02d}": 0.2 for at in range(COMPANIONS - 1)}
    priors = {UNKNOWN: 0.2, "guessed": 0.4, "signed": 0.1, **rare}
    cell = make_cell("film", "yes", 0.05, False, {"signed": 5.0, **dict.fromkeys(rare, 3.0)})
    found = companions(priors, [cell])
    assert "guessed" in found and UNKNOWN not in found
    assert "signed" not in found


def test_a_sole_cause_is_certain_and_its_decibans_stay_finite() -> None:
    """Where only the unknown is left no finding moves it, and certainty is no division by nothing."""
    rows = FindingRows("film", "yes", 0.1, False, (Row(UNKNOWN, 0, 7.0, "film"),))
    weighing = weigh({UNKNOWN: 0.05}, [rows])
    (cell,) = weighing.cells
    assert weighing.chances[UNKNOWN] == 1.0
    assert decibans_of(weighing, UNKNOWN, cell) == pytest.approx(0, abs=1e-6)


def test_causes_with_the_same_best_cure_need_not_be_told_apart() -> None:
    """Clay cures both fully: that one may also be waited for, partly, makes no difference to what is done."""
    base = base_of(
        fix("clay"),
        fix("wait"),
        cause("j", fixes={"clay": "fully", "wait": "partly"}),
        cause("k", fixes={"clay": "fully"}),
        cause("both", fixes={"wait": "mostly", "clay": "mostly"}),
        cause("nothing"),
    )
    assert decisions(base) == {"j": "clay", "k": "clay", "both": "clay wait", "nothing": "nothing"}


def test_a_word_for_a_weak_sign_is_none_against() -> None:
    """An answer that raises a cause ever so little does not speak against it."""
    state = suspect()
    words = state.base.words["strength"]
    base = replace(
        state.base,
        words={
            **state.base.words,
            "strength": words.model_copy(update={"values": {**words.values, "for": 0.5}}),
        },
    )
    assert sign_against(replace(state, base=base), "j", ()) is None
