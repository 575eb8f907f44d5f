from __future__ import annotations

from typing import Any

import pytest
from diagnose.engine.chain import _matches, _way
from diagnose.engine.facts import Fact, Facts, gather
from diagnose.engine.truth import Leaf, Truth, branches, judge, judge_branch, leaves
from diagnose.knowledge.conditions import Condition, FactTest
from hypothesis import assume, given
from hypothesis import strategies as st
from random_pages import OBSERVED, conditions, given_facts

TRUE, FALSE, UNKNOWN = Truth.TRUE, Truth.FALSE, Truth.UNKNOWN
KLEENE = {TRUE: 1.0, UNKNOWN: 0.5, FALSE: 0.0}


def read(page: dict[str, Any]) -> Condition:
    """The condition as a rule file would hold it."""
    return Condition.model_validate(page)


def stands(page: dict[str, Any], facts: Facts) -> Truth:
    """How a condition stands on the facts."""
    try:
        return judge(branches(read(page)), facts)
    except ValueError:  # too tangled to be meant; a test of its own covers the refusal
        assume(False)
        raise


# ---------------------------------------------------------------- a second reading of conditions, for these tests


def passes(test: FactTest, value: Any) -> bool:
    """One test of one value, written out operator by operator."""
    checks = [
        test.is_ is None or value == test.is_,
        test.is_not is None or value != test.is_not,
        test.one_of is None or value in test.one_of,
        test.none_of is None or value not in test.none_of,
        test.at_least is None or value >= test.at_least,
        test.above is None or value > test.above,
        test.at_most is None or value <= test.at_most,
        test.below is None or value < test.below,
        test.includes is None or test.includes in value,
        test.includes_any is None or bool(value & set(test.includes_any)),
        test.includes_none is None or not value & set(test.includes_none),
    ]
    return all(checks)


def direct(condition: Condition, values: dict[str, Any]) -> float:
    """Kleene's strong logic straight down the condition: 1 true, 0 false, a half unknown."""
    parts = [
        float(passes(test, values[name])) if name in values else 0.5 for name, test in condition.facts.items()
    ]
    parts += [float(name in values) for name in condition.known]
    parts += [float(name not in values) for name in condition.unknown]
    parts += [direct(inner, values) for inner in condition.all_]
    if condition.any_:
        parts.append(max(direct(inner, values) for inner in condition.any_))
    if condition.not_:
        parts.append(1 - direct(condition.not_, values))
    return min(parts)


@given(conditions(OBSERVED, joining=False, deep=6), given_facts(contradictory=False))
def test_branches_stand_as_the_condition_itself_does(page: dict[str, Any], facts: tuple[Fact, ...]) -> None:
    """However a mentor nests a condition, it is true, false or unknown as read straight down the page."""
    values = {fact.name: fact.value for fact in facts}
    assert KLEENE[stands(page, gather(facts))] == direct(read(page), values)


@given(conditions(OBSERVED, deep=6), given_facts(contradictory=False))
def test_a_rule_speaks_exactly_when_its_condition_is_true(
    page: dict[str, Any], facts: tuple[Fact, ...]
) -> None:
    """With `known` and `unknown` in it too, a condition holds when its plain reading holds, never else."""
    values = {fact.name: fact.value for fact in facts}
    assert (stands(page, gather(facts)) is TRUE) == (direct(read(page), values) == 1)


@given(conditions(OBSERVED, deep=6), given_facts())
def test_why_not_and_the_network_agree_on_contradictory_facts(
    page: dict[str, Any], facts: tuple[Fact, ...]
) -> None:
    """Where two answers contradict each other, a condition is called true only if its rule really fires."""
    known = gather(facts)
    judged = stands(page, known)
    assert (judged is TRUE) == any(_matches(_way(branch), known.get) for branch in branches(read(page)))


def test_one_value_must_pass_all_tests_of_a_fact() -> None:
    """Readings of 0 and 10 NTU are no reading between 1 and 5 NTU."""
    between = read({"all": [{"m": {"at_least": 1.0}}, {"m": {"at_most": 5.0}}]})
    assert judge(branches(between), {"m": (0.0, 10.0)}) is FALSE
    assert judge(branches(between), {"m": (0.0, 3.0)}) is TRUE


# ---------------------------------------------------------------- three-valued laws

PARTS = conditions(OBSERVED, joining=False, deep=2)


@given(PARTS, given_facts(contradictory=False))
def test_negation_turns_true_and_false_round_and_leaves_unknown(
    page: dict[str, Any], facts: tuple[Fact, ...]
) -> None:
    """Not looked at stays not looked at: `not` never makes a finding of it."""
    known = gather(facts)
    opposite = {TRUE: FALSE, FALSE: TRUE, UNKNOWN: UNKNOWN}
    assert stands({"not": page}, known) is opposite[stands(page, known)]
    assert stands({"not": {"not": page}}, known) is stands(page, known)


@given(PARTS, PARTS, PARTS, given_facts(contradictory=False))
def test_laws_of_all_any_and_not(
    p: dict[str, Any], q: dict[str, Any], r: dict[str, Any], facts: tuple[Fact, ...]
) -> None:
    """A mentor may regroup, swap and unfold conditions as in ordinary speech; nothing changes."""
    known = gather(facts)

    def same(one: dict[str, Any], other: dict[str, Any]) -> bool:
        return stands(one, known) is stands(other, known)

    assert same({"all": [p, q]}, {"all": [q, p]}) and same({"any": [p, q]}, {"any": [q, p]})
    assert same({"all": [p, {"all": [q, r]}]}, {"all": [p, q, r]})
    assert same({"any": [p, {"any": [q, r]}]}, {"any": [p, q, r]})
    assert same({"all": [p, {"any": [q, r]}]}, {"any": [{"all": [p, q]}, {"all": [p, r]}]})
    assert same({"any": [p, {"all": [q, r]}]}, {"all": [{"any": [p, q]}, {"any": [p, r]}]})
    assert same({"not": {"all": [p, q]}}, {"any": [{"not": p}, {"not": q}]})
    assert same({"not": {"any": [p, q]}}, {"all": [{"not": p}, {"not": q}]})
    assert same({"all": [p, p]}, p) and same({"any": [p, p]}, p)
    assert same({"all": [p, {"any": [p, q]}]}, p) and same({"any": [p, {"all": [p, q]}]}, p)


@pytest.mark.parametrize(
    ("first", "second", "both", "either"),
    [
        (TRUE, TRUE, TRUE, TRUE),
        (TRUE, UNKNOWN, UNKNOWN, TRUE),
        (TRUE, FALSE, FALSE, TRUE),
        (UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
        (UNKNOWN, FALSE, FALSE, UNKNOWN),
        (FALSE, FALSE, FALSE, FALSE),
    ],
)
def test_tables_of_and_and_or(first: Truth, second: Truth, both: Truth, either: Truth) -> None:
    """Kleene's strong tables (Kleene, Introduction to Metamathematics, 1952, section 64; from memory)."""
    answer = {TRUE: ("yes",), FALSE: ("no",), UNKNOWN: ()}
    facts = {name: answer[truth] for name, truth in (("a", first), ("b", second)) if answer[truth]}
    parts = [{"a": "yes"}, {"b": "yes"}]
    assert stands({"all": parts}, facts) is both
    assert stands({"any": parts}, facts) is either


@given(conditions(OBSERVED, joining=False, deep=6), given_facts(contradictory=False), given_facts(False))
def test_looking_further_never_takes_back_what_was_settled(
    page: dict[str, Any], few: tuple[Fact, ...], more: tuple[Fact, ...]
) -> None:
    """Without `known` and `unknown`, a condition once true or false stays so when more is looked at."""
    before = stands(page, gather(few))
    names = {fact.name for fact in few}
    after = stands(page, gather((*few, *(fact for fact in more if fact.name not in names))))
    assert before is UNKNOWN or after is before


def test_unknown_is_not_no() -> None:
    """A tank nobody has looked at is not a tank without bubbles, whichever way the rule is written."""
    for page in ({"a": "no"}, {"a": {"is_not": "yes"}}, {"not": {"a": "yes"}}, {"v": {"includes_none": "p"}}):
        assert stands(page, {}) is UNKNOWN
    assert stands({"unknown": "a"}, {}) is TRUE
    assert stands({"unknown": "a"}, {"a": ("no",)}) is FALSE
    assert stands({"not": {"known": "a"}}, {}) is TRUE


# ---------------------------------------------------------------- any value against any operator

VALUES = st.one_of(
    st.text(max_size=3), st.floats(), st.frozensets(st.sampled_from(["p", "q", "yes"])), st.just("yes")
)
TESTS = st.one_of(*OBSERVED.values()).map(FactTest.model_validate)
KIND = {
    **dict.fromkeys(("is", "is_not", "one_of", "none_of"), str),
    **dict.fromkeys(("at_least", "above", "at_most", "below"), float),
    **dict.fromkeys(("includes", "includes_any", "includes_none"), frozenset),
}


@given(TESTS, VALUES, st.booleans())
def test_a_test_never_stumbles_over_a_value_of_another_kind(
    test: FactTest, value: Any, negated: bool
) -> None:
    """The network asks every test about every fact; a word, a number or a list is refused in silence."""
    leaf = Leaf("fact", tuple(test.parts().items()), negated)
    passed = leaf.passes(value)
    if not all(isinstance(value, KIND[operator]) for operator in test.parts()):
        assert passed is False
    else:
        assert passed is (passes(test, value) != negated)


# ---------------------------------------------------------------- wording and limits


def test_a_tangled_condition_is_refused_with_a_mend() -> None:
    """A condition of hundreds of alternatives is a slip of the pen; the mentor is told to split it."""
    either = {"any": [{"a": "yes"}, {"b": "yes"}, {"c": "x"}]}
    wide = [{"any": [{"m": {"at_least": float(i)}}, {"n": {"at_least": float(i)}}]} for i in range(9)]
    assert len(branches(read({"all": [either, either]}))) <= 9
    with pytest.raises(ValueError, match="split it into states"):
        branches(read({"all": wide}))
    with pytest.raises(ValueError, match="split it into states"):
        branches(read({"any": [{"m": {"at_least": float(i)}} for i in range(65)]}))


def test_each_test_is_told_in_words_with_the_value_it_met() -> None:
    """Why-not shows the test as a sentence, its truth, and what was found instead."""
    page = {"m": {"at_least": 3.5}, "c": {"one_of": ["x", "y"]}, "not": {"a": "yes"}, "known": "b"}
    (branch,) = branches(read({**page, "unknown": "n"}))
    told = {item.name: item for item in leaves(branch, {"m": (2.0,), "a": ("no",)})}
    assert told["m"].says == "m is at least 3.5" and told["m"].truth is FALSE and told["m"].value == "2"
    assert told["c"].says == "c is x or y" and told["c"].truth is UNKNOWN and told["c"].value == ""
    assert told["a"].says == "not (a is yes)" and told["a"].truth is TRUE
    assert told["b"].says == "b is known" and told["b"].truth is UNKNOWN
    assert told["n"].says == "n is not known" and told["n"].truth is TRUE
    assert judge_branch(branch, {"m": (2.0,), "a": ("no",)}) is FALSE
