"""The smallest sets of answers that turn the advice are the smallest, and none of their size is left out."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest
from diagnose.engine.facts import Fact
from diagnose.explain.said import why_said
from diagnose.explain.turns import (
    Among,
    Move,
    Supposing,
    Target,
    Turns,
    given_moves,
    moves_of,
    open_moves,
    smallest_turns,
)
from diagnose.explain.what_if import as_answers, changed_answers, first_fix, what_if
from diagnose.explain.why import step_for, why_cause
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.chains import circle_without_answer, dependencies
from diagnose.knowledge.problems import RuleFilesWrong
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from made_bases import base_of, cause, cellar_pages, number, says, state, yes_no
from random_pages import given_facts, pages
from rederived import nodes

slowly = settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
each_search = pytest.mark.parametrize(
    ("target", "among"), [(target, among) for target in ("cause", "fix") for among in ("open", "given")]
)
HAZE = ("haze",)


def brute_force(cellar: Cellar, answers: dict[str, Any], target: Target, among: Among, most: int) -> Any:
    """Every set of the smallest size that turns it, by judging them all by the network's twin, one after the other."""

    def first(supposed: dict[str, Any]) -> str | None:
        judged = judge(cellar, HAZE, as_answers(supposed), machine="chain")
        return first_fix(judged) if target == "fix" else judged.first.cause

    now = judge(cellar, HAZE, as_answers(answers), machine="chain")
    moves = open_moves(cellar, now, target) if among == "open" else given_moves(cellar, answers)
    for size in range(1, most + 1):
        found = set()
        for chosen in combinations(moves, size):
            if len({move.name for move in chosen}) == size:
                then = first(changed_answers(answers, {move.name: move.value for move in chosen}))
                if then != first(answers):
                    found.add((frozenset(chosen), then))
        if found:
            return found
    return set()


def as_sets(turns: Turns) -> set[Any]:
    """What was found, without its order."""
    return {(frozenset(turn.moves), turn.becomes) for turn in turns.found}


def made(drawn: list[dict[str, Any]]) -> Cellar:
    """The cellar of some random pages, if it has one answer."""
    base = base_of(*drawn)
    assume(circle_without_answer(dependencies(base.states, base.derived)) is None)
    cellar = Cellar(base)
    try:
        assert cellar.rules
    except RuleFilesWrong:  # a condition too tangled to be meant
        assume(False)
    return cellar


@slowly
@given(pages(), given_facts(contradictory=False))
@pytest.mark.parametrize("among", ["open", "given"])
def test_in_random_rule_bases(among: Among, drawn: list[dict[str, Any]], facts: tuple[Fact, ...]) -> None:
    """Single answers and pairs that put another cause first: the same sets as judging every one of them finds."""
    cellar = made(drawn)
    answers = {fact.name: fact.value for fact in facts}
    found = smallest_turns(Supposing(cellar, HAZE, answers), "cause", among, most=2)
    assert as_sets(found) == brute_force(cellar, answers, "cause", among, 2)
    assert all(tried.whole for tried in found.tried)


CELLAR = Cellar(base_of(*cellar_pages()))
ANSWERS = {
    "bubbles": ["yes", "no"],
    "recently_fined": ["yes", "no"],
    "colour": ["white", "red"],
    "heat_test": ["hazier", "unchanged"],
    "heated": [5.0, 30.0],
    "unheated": [1.0, 28.0],
}


@each_search
@slowly
@given(st.fixed_dictionaries({}, optional={name: st.sampled_from(words) for name, words in ANSWERS.items()}))
def test_in_a_small_cellar(target: Target, among: Among, answers: dict[str, Any]) -> None:
    """The same for the first step of the plan, in a cellar with locks and bans; threes too where all were tried."""
    found = smallest_turns(Supposing(CELLAR, HAZE, answers), target, among)
    if all(tried.whole for tried in found.tried):
        assert as_sets(found) == brute_force(CELLAR, answers, target, among, 3)
    elif found.size != 3:
        assert brute_force(CELLAR, answers, target, among, 2) == set()


def test_an_interplay_of_two_answers_is_found() -> None:
    """Two answers that do nothing alone, but together conclude a state that turns the cause, are found as a pair."""
    drawn = cellar_pages()
    drawn += [{**number("first"), "observe": "first"}, {**number("second"), "observe": "second"}]
    ways = ("yes", {"first": {"at_least": 5.0}, "second": {"below": 2.0}}), ("no", {"first": {"below": 5.0}})
    drawn.append(state("both", *ways, normally={"yes": "hardly_ever"}))
    row = {"observe": "both", "says": {"yes": "confirms"}, "because": "b.", "source": "judgement"}
    yeast = next(page for page in drawn if page.get("cause") == "yeast_haze")
    yeast["evidence"] = [*yeast["evidence"], row]
    cellar = Cellar(base_of(*drawn))
    answers = {"heat_test": "hazier", "colour": "white", "recently_fined": "no"}
    open_ = smallest_turns(Supposing(cellar, HAZE, answers), "cause", "open", most=2)
    pairs = {tuple(sorted(move.name for move in turn.moves)) for turn in open_.found}
    assert open_.size == 2
    assert ("first", "second") in pairs
    wanted = {
        (move.name, move.low, move.high) for move in moves_of(cellar, cellar.base.observations["first"], {})
    }
    assert wanted == {("first", None, 5.0), ("first", 5.0, None)}


def test_two_signs_of_the_same_thing_are_held_together_as_one() -> None:
    """Either sign of gas brings yeast near, and both together no nearer: they turn nothing, though their sum would."""
    signs = [says(name, about="gas", yes="for") for name in ("bubbles", "spritz")]
    drawn = [
        *(yes_no(name, normally={"yes": "hardly_ever"}) for name in ("film", "bubbles", "spritz", "lees")),
        cause("protein", says("film", yes="strongly_for")),
        cause("yeast", *signs, says("lees", yes="for")),
    ]
    cellar, answers = Cellar(base_of(*drawn)), {"film": "yes"}
    found = smallest_turns(Supposing(cellar, HAZE, answers), "cause", "open", most=2)
    assert as_sets(found) == brute_force(cellar, answers, "cause", "open", 2)
    pairs = {frozenset(move.name for move in turn.moves) for turn in found.found}
    assert frozenset(("bubbles", "spritz")) not in pairs
    assert {frozenset(("bubbles", "lees")), frozenset(("spritz", "lees"))} <= pairs


@slowly
@given(pages(), given_facts())
def test_every_fact_of_a_tree_is_in_the_trace(drawn: list[dict[str, Any]], facts: tuple[Fact, ...]) -> None:
    """Nothing is made up: each node of a tree was given or concluded, and its rule fired on just what is behind it."""
    cellar = made(drawn)
    judged = judge(cellar, HAZE, facts, machine="chain")
    trees = [step_for(cellar, judged.trace, fact) for fact in judged.trace.concluded]
    for name in cellar.base.causes:
        trees += [step for item in why_cause(cellar, judged, name).spoke for step in item.chain]
    fired = {(firing.rule, frozenset(firing.matched)) for firing in judged.trace.firings}
    given_ = set(judged.trace.given)
    for step in nodes(trees):
        assert step.fact.value in judged.facts[step.fact.name]
        if step.rule is None:
            assert step.fact in given_
        else:
            assert (step.rule, frozenset(child.fact for child in step.behind)) in fired


# ---------------------------------------------------------------- what if


def test_a_what_if_is_the_judgement_of_the_changed_case() -> None:
    """What is told to move is what parts the two judgements, by the network; nothing else is."""
    answers: dict[str, Any] = {"bubbles": "no", "colour": "white", "heat_test": "unchanged"}
    changes = {"heat_test": "hazier", "bubbles": None, "recently_fined": "no"}
    found = what_if(CELLAR, HAZE, answers, changes)
    before, after = (
        judge(CELLAR, HAZE, as_answers(given_))
        for given_ in (answers, {"colour": "white", "heat_test": "hazier", "recently_fined": "no"})
    )
    chances = {item.cause: (item.before, item.after) for item in found.causes}
    for one in before.standings:
        other = next(item for item in after.standings if item.cause == one.cause)
        if one.word != other.word or abs(one.chance - other.chance) >= 0.01:
            assert chances[one.cause] == (one.chance, other.chance)
        else:
            assert one.cause not in chances
    assert found.first_causes[0].after == "protein_haze" == after.first.cause != before.first.cause
    assert found.first_fix is not None
    assert (found.first_fix.before, found.first_fix.after) == (first_fix(before), first_fix(after))
    assert {item.name for item in found.fixes} == {
        name for name in CELLAR.base.fixes if _stands(before, name) != _stands(after, name)
    }
    assert answers == {"bubbles": "no", "colour": "white", "heat_test": "unchanged"}


def _stands(judged: Any, fix: str) -> str | None:
    if fix in [item.fix for item in judged.plan.steps]:
        return "chosen"
    advice = judged.plan.of(fix)
    return (
        advice.state
        if advice and (advice in judged.plan.forbidden_in_play or advice.state != "forbidden")
        else None
    )


@given(st.fixed_dictionaries({}, optional={name: st.sampled_from(words) for name, words in ANSWERS.items()}))
@settings(max_examples=20)
def test_supposing_what_is_so_moves_nothing(answers: dict[str, Any]) -> None:
    """Supposing the answers given is supposing nothing."""
    assert what_if(CELLAR, HAZE, answers, dict(answers)).moves_nothing


def test_a_number_misses_its_threshold_by_so_much() -> None:
    """5 where a rule wants at least 8 is told as 3 short; 9 where it wants below 8, as 1 too high; 8 is the bound."""
    drawn = [
        *cellar_pages(),
        state("ripe", ("yes", {"heated": {"at_least": 8.0}, "unheated": {"below": 8.0}})),
    ]
    drawn.append(
        {
            "rule": "ripe_now",
            "when": {"heated": {"at_least": 8.0}, "unheated": {"below": 8.0}},
            "offer": "wait",
            "because": "r.",
            "source": "judgement",
        }
    )
    cellar = Cellar(base_of(*drawn))
    for heated, unheated, gaps in ((5.0, 9.0, [3.0, -1.0]), (5.0, 8.0, [3.0, 0.0]), (8.0, 9.0, [None, -1.0])):
        judged = judge(cellar, HAZE, [Fact("heated", heated), Fact("unheated", unheated)], machine="chain")
        why = why_said(cellar, judged, "fix", "wait")
        stands = next(item for item in why.waiting if item.rule == "rule/ripe_now/offer")
        assert [item.gap for item in stands.conditions] == gaps


def test_a_move_stands_for_its_stretch() -> None:
    """A number given is not supposed again by another figure of its own stretch."""
    assert {
        (move.low, move.high) for move in given_moves(CELLAR, {"heated": 30.0}) if move.value is not None
    } == {
        (move.low, move.high)
        for move in moves_of(CELLAR, CELLAR.base.observations["heated"], {})
        if not (move.low is not None and move.low <= 30.0 and (move.high is None or move.high > 30.0))
    }
    assert Move("heated", None) in given_moves(CELLAR, {"heated": 30.0})


@pytest.mark.parametrize("control", [0.5, 3.0, 40.0])
def test_all_of_a_stretch_turns_what_its_middle_turns(control: float) -> None:
    """With the control read, every figure of the heated sample within a stretch puts the same cause and step first."""
    known = {"unheated": control}
    supposing = Supposing(CELLAR, HAZE, {"bubbles": "no", **known})
    page = CELLAR.base.observations["heated"]
    moves = tuple(moves_of(CELLAR, page, known))
    assert len(moves) > 2 and not any(move.alone for move in moves)
    assert page.plausible is not None
    for move in moves:
        low, high = move.low or page.plausible[0], move.high or page.plausible[1]
        for part in (0.0, 0.01, 0.3, 0.7, 0.99):
            value = low + part * (high - low)
            for target in ("cause", "fix"):
                said = supposing.first(target, [Move("heated", value)])  # type: ignore[arg-type]
                assert said == supposing.first(target, [move]), (move, value)  # type: ignore[arg-type]


def test_of_two_open_numbers_of_one_sum_only_examples_are_tried() -> None:
    """Neither the heated sample nor its control is read: nothing is claimed of what was not tried."""
    found = smallest_turns(Supposing(CELLAR, HAZE, {"bubbles": "no"}), "cause", "open")
    assert found.a_few_values
    open_ = [
        move
        for move in open_moves(CELLAR, judge(CELLAR, HAZE, [Fact("bubbles", "no")]), "cause")
        if move.alone
    ]
    assert {move.name for move in open_} == {"heated", "unheated"}
