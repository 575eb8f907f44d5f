from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest
from diagnose.engine import network as network_module
from diagnose.engine.chain import Chain, Change, leading_to
from diagnose.engine.compile import EngineRule, compile_rules
from diagnose.engine.facts import Evidence, Fact, Facts
from diagnose.engine.network import GoingInCircles, Network
from diagnose.engine.truth import Branch
from diagnose.knowledge.chains import circle_without_answer, dependencies
from diagnose.knowledge.problems import Place
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from made_bases import Page, base_of, cause, cellar_pages, choice, number, says, speaks_when, state, yes_no
from random_pages import given_facts, pages

SOME = settings(max_examples=60)


def rules_of(made: list[Page]) -> tuple[EngineRule, ...]:
    """The rules of random pages; a base the loader would refuse is passed over."""
    base = base_of(*made)
    assume(circle_without_answer(dependencies(base.states, base.derived)) is None)
    try:
        return compile_rules(base)
    except ValueError:  # a condition too tangled to be meant
        assume(False)
        raise


def both(rules: Iterable[EngineRule], facts: Iterable[Fact]) -> tuple[Facts, frozenset[Evidence]]:
    """What the network concludes: all facts, and all evidence."""
    trace = Network(rules).start(facts)
    return trace.facts, frozenset(trace.evidence)


# ---------------------------------------------------------------- the two machines, and a third by hand


@SOME
@given(pages(), given_facts())
def test_network_and_plain_twin_conclude_the_same(made: list[Page], facts: tuple[Fact, ...]) -> None:
    """What-if questions and the verdict rest on the same conclusions, whatever the rules and the answers."""
    rules = rules_of(made)
    assert both(rules, facts) == Chain(rules).run(facts)


@SOME
@given(pages(), given_facts(), st.randoms(use_true_random=False))
def test_order_of_rules_and_facts_makes_no_difference(
    made: list[Page], facts: tuple[Fact, ...], chance: Any
) -> None:
    """It does not matter which question was answered first, nor which file a rule stands in."""
    rules = list(rules_of(made))
    network = Network(rules)
    trace = network.start(facts)
    shuffled, other_rules = list(facts), list(rules)
    chance.shuffle(shuffled)
    chance.shuffle(other_rules)
    again = network.start(shuffled)
    assert (again.facts, again.evidence) == (trace.facts, trace.evidence)
    assert set(again.firings) == set(trace.firings)
    elsewhere = Network(other_rules).start(facts)
    assert (elsewhere.facts, elsewhere.evidence) == (trace.facts, trace.evidence)
    assert Chain(other_rules).run(shuffled) == Chain(rules).run(facts)


@SOME
@given(pages(), st.randoms(use_true_random=False))
def test_order_of_pages_makes_no_difference(made: list[Page], chance: Any) -> None:
    """The rules of a base are the same rules in the same order, however its pages are laid out in files."""
    rules = rules_of(made)
    shuffled = list(made)
    chance.shuffle(shuffled)
    again = rules_of(shuffled)
    assert [(r.id, r.branches, r.layer, r.concludes) for r in rules] == [
        (r.id, r.branches, r.layer, r.concludes) for r in again
    ]


@SOME
@given(pages(), given_facts(), given_facts(contradictory=False))
def test_what_if_is_a_full_run_with_the_answer_added(
    made: list[Page], facts: tuple[Fact, ...], more: tuple[Fact, ...]
) -> None:
    """What an answer would lead to, told beforehand, is what it does lead to when it is given."""
    rules = rules_of(made)
    chain = Chain(rules)
    known, evidence = chain.run(facts)
    for fact in more:
        if fact.name in known:
            continue
        change = chain.change(known, evidence, fact)
        assert change.lost <= evidence
        assert not change.gained & evidence
        assert (evidence - change.lost) | change.gained == chain.run((*facts, fact))[1]


@SOME
@given(pages(), given_facts())
def test_rules_that_lead_to_a_cause_are_all_that_its_evidence_needs(
    made: list[Page], facts: tuple[Fact, ...]
) -> None:
    """To foretell what is said of one cause, the rules that cannot reach it may be left out."""
    rules = rules_of(made)
    evidence = Chain(rules).run(facts)[1]
    for cause_name in {item.cause for item in evidence}:
        alone = Chain(leading_to(rules, [cause_name])).run(facts)[1]
        assert alone == {item for item in evidence if item.cause == cause_name}


@SOME
@given(pages(), given_facts(), given_facts())
def test_the_two_machines_fire_the_same_rules_on_the_same_facts(
    made: list[Page], facts: tuple[Fact, ...], later: tuple[Fact, ...]
) -> None:
    """An explanation is the same whichever machine did the chaining, also when facts come in two helpings."""
    rules = rules_of(made)
    network, chain = Network(rules), Chain(rules)
    assert set(network.start(facts).firings) == set(chain.start(facts).firings)
    assert set(network.add(later).firings) == set(chain.add(later).firings)


def test_what_if_keeps_what_other_rules_say_of_the_same_state() -> None:
    """An answer that bears on a state does not silence another rule that concluded that state already."""
    pages = [
        yes_no("a"),
        yes_no("b"),
        state("working", ("yes", {"a": "yes"}), ("yes", {"b": "yes"})),
        cause("k", says("working", yes="for")),
    ]
    chain = Chain(compile_rules(base_of(*pages)))
    known, evidence = chain.run([Fact("b", "yes")])
    assert len(evidence) == 1
    assert chain.change(known, evidence, Fact("a", "no")) == Change(frozenset(), frozenset())


@given(st.lists(st.sampled_from(["bubbles", "recently_fined", "colour", "smells"]), unique=True))
def test_facts_that_nothing_reads_lead_nowhere(names: list[str]) -> None:
    """A rule is downstream of a fact only if it could change with it."""
    rules = compile_rules(base_of(*cellar_pages()))
    chain = Chain(rules)
    assert chain.downstream("not_a_fact") == ()
    for name in names:
        for rule in rules:
            reads_it = any(name in (*branch.names, *branch.unknown) for branch in rule.branches)
            assert not (reads_it and rule.layer < 1000) or rule in chain.downstream(name)


# ---------------------------------------------------------------- unknown


def layered() -> list[Page]:
    """Three states, each waiting for the one before to be unknown; named against the order they speak in."""
    return [
        yes_no("a"),
        state("z_first", ("yes", {"a": "yes"})),
        state("m_second", ("yes", {"known": "b", "unknown": "z_first"})),
        state("c_third", ("yes", {"known": "b", "unknown": "m_second"})),
        yes_no("b"),
    ]


@pytest.mark.parametrize(
    ("given_answers", "concluded"),
    [
        ({"a": "yes", "b": "yes"}, {"z_first", "c_third"}),
        ({"a": "no", "b": "yes"}, {"m_second"}),
        ({"b": "no"}, {"m_second"}),
        ({"a": "yes"}, {"z_first"}),
        ({}, set()),
    ],
)
def test_unknown_waits_until_all_have_spoken(given_answers: dict[str, str], concluded: set[str]) -> None:
    """A rule that asks for something unknown speaks last, so it never takes back what it said."""
    rules = compile_rules(base_of(*layered()))
    facts = [Fact(name, value) for name, value in given_answers.items()]
    found, _ = both(rules, facts)
    assert set(found) - set(given_answers) == concluded
    assert Chain(rules).run(facts)[0] == found


def test_not_known_waits_like_unknown() -> None:
    """`not: {known: x}` means that x is unknown, and must wait as `unknown: x` does."""
    pages = [
        yes_no("a"),
        state("z_first", ("yes", {"a": "yes"})),
        state("b_second", ("yes", {"a": "yes", "not": {"known": "z_first"}})),
    ]
    found, _ = both(compile_rules(base_of(*pages)), [Fact("a", "yes")])
    assert set(found) == {"a", "z_first"}


def test_states_that_read_each_other_settle() -> None:
    """A circle without `unknown` has one answer: nothing from nothing, and everything once one is known."""
    pages = [
        yes_no("a"),
        state("one", ("yes", {"two": "yes"}), ("yes", {"a": "yes"})),
        state("two", ("yes", {"one": "yes"})),
    ]
    rules = compile_rules(base_of(*pages))
    assert both(rules, [])[0] == {} == Chain(rules).run([])[0]
    found = {"a": ("yes",), "one": ("yes",), "two": ("yes",)}
    assert both(rules, [Fact("a", "yes")])[0] == found == Chain(rules).run([Fact("a", "yes")])[0]


def test_a_rule_of_unknowns_alone_and_a_rule_of_nothing_run() -> None:
    """The network does not lose rules that wait for nothing at all (experta needs a first fact for them)."""

    def bare(name: str, branch: Branch) -> EngineRule:
        concluded = (Fact(name, "yes"),)
        return EngineRule(
            name, ("state", name), (branch,), lambda _: concluded, (name,), "b", (), Place("f"), 0
        )

    rules = [bare("always", Branch()), bare("unseen", Branch(unknown=("a",)))]
    assert set(both(rules, [])[0]) == {"always", "unseen"}
    assert set(both(rules, [Fact("a", "no")])[0]) == {"a", "always"}
    assert Chain(rules).run([]) == both(rules, [])


# ---------------------------------------------------------------- runs


def test_a_second_start_remembers_nothing_of_the_first() -> None:
    """Undoing an answer is starting again; nothing of the earlier run may linger."""
    network = Network(compile_rules(base_of(*cellar_pages())))
    facts = [Fact("bubbles", "no"), Fact("heated", 30.0), Fact("unheated", 2.0)]
    alone = network.start([Fact("colour", "red")])
    network.start(facts)
    network.add([Fact("recently_fined", "yes")])
    assert network.start([Fact("colour", "red")]) == alone
    assert network.start([]).firings == () and network.start([]).facts == {}


def test_adding_facts_later_goes_on_from_there() -> None:
    """Standings are added after the weighing; the trace then tells the whole run."""
    network = Network(compile_rules(base_of(*cellar_pages())))
    first = network.start([Fact("bubbles", "yes")])
    whole = network.add([Fact("cause.protein_haze", "likely")])
    assert whole.firings[: len(first.firings)] == first.firings
    assert whole.facts["fix.bentonite"] == ("offered",)
    assert "fix.bentonite" not in first.facts


def test_the_same_fact_twice_counts_once() -> None:
    """An answer that is repeated makes no second firing."""
    network = Network(compile_rules(base_of(*cellar_pages())))
    once = network.start([Fact("bubbles", "yes")])
    assert network.start([Fact("bubbles", "yes"), Fact("bubbles", "yes")]) == once


def test_what_the_rules_found_may_be_told_as_well() -> None:
    """A standing that is told once the rules have found it too makes nothing speak twice, and counts as told."""
    chain = Chain(compile_rules(base_of(*cellar_pages())))
    found = chain.start([Fact("bubbles", "yes")])
    told = chain.add([Fact("working", "yes")])
    assert found.facts["working"] == ("yes",)
    assert (told.facts, told.firings) == (found.facts, found.firings)
    assert Fact("working", "yes") in told.given


def test_contradictory_answers_both_speak() -> None:
    """Two readings that disagree are both kept and both counted; the program does not choose in silence."""
    trace = Network(compile_rules(base_of(*cellar_pages()))).start(
        [Fact("heat_test", "hazier"), Fact("heat_test", "unchanged")]
    )
    assert trace.facts["heat_test"] == ("hazier", "unchanged")
    said = {(item.answer, item.strength) for item in trace.evidence if item.observe == "heat_test"}
    assert said == {("hazier", "strongly_for"), ("unchanged", "strongly_against")}


def counting(last: float) -> EngineRule:
    """A rule no rule file can hold: it counts on from its own result."""

    def conclude(facts: Any) -> tuple[Fact, ...]:
        return (Fact("count", min(facts["count"] + 1, last)),)

    known = (Branch(known=("count",)),)
    return EngineRule("count_on", ("derive", "count"), known, conclude, ("count",), "b", (), Place("f"), 0)


def test_a_rule_that_never_ends_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """If rules go round for ever, the run stops and says which; the network can be started again."""
    monkeypatch.setattr(network_module, "MOST_STEPS", 50)
    endless = Network([counting(1e9)])
    with pytest.raises(GoingInCircles, match="count_on"):
        endless.start([Fact("count", 0.0)])
    assert endless.start([]).firings == ()
    ends = Network([counting(30.0)]).start([Fact("count", 0.0)])
    assert 30.0 in ends.facts["count"]


def test_an_error_inside_a_rule_does_not_spoil_the_next_run() -> None:
    """After an error inside a calculator the next start works as if nothing had happened."""

    def conclude(facts: Any) -> tuple[Fact, ...]:
        if facts["a"] == "bad":
            raise ZeroDivisionError
        return (Fact("b", "yes"),)

    rule = EngineRule("r", ("state", "b"), (Branch(known=("a",)),), conclude, ("b",), "b", (), Place("f"), 0)
    network = Network([rule])
    with pytest.raises(ZeroDivisionError):
        network.start([Fact("a", "bad")])
    assert network.start([Fact("a", "good")]).facts == {"a": ("good",), "b": ("yes",)}


# ---------------------------------------------------------------- trace


def test_the_trace_leads_from_a_conclusion_back_to_what_was_given() -> None:
    """Every conclusion can be walked back, firing by firing, to answers a person gave."""
    network = Network(compile_rules(base_of(*cellar_pages())))
    trace = network.start([Fact("bubbles", "no"), Fact("heated", 30.0), Fact("unheated", 2.0)])
    known = set(trace.given)
    for firing in trace.firings:
        assert set(firing.matched) <= known, "a rule fired on a fact nobody had concluded yet"
        known |= {item for item in firing.concluded if isinstance(item, Fact)}
    (settled,) = trace.behind("settled", "yes")
    assert settled.rule == "state/settled/1_yes" and settled.matched == (Fact("working", "no"),)
    assert trace.behind("settled", "no") == () and trace.behind("nothing") == ()
    assert [firing.rule for firing in trace.behind("rise")] == ["derive/rise"]


def test_evidence_by_condition_is_given_once_however_many_ways_it_holds() -> None:
    """A condition that holds in two ways at once is still one finding."""
    row = speaks_when({"any": [{"a": "yes"}, {"b": "yes"}]}, "for")
    rules = compile_rules(base_of(yes_no("a"), yes_no("b"), cause("k", row)))
    trace = Network(rules).start([Fact("a", "yes"), Fact("b", "yes")])
    assert len(trace.firings) == 2 and len(trace.evidence) == 1
    assert trace.evidence[0].observe == "a is yes or b is yes"


def test_answers_without_a_strength_say_nothing() -> None:
    """An answer a mentor gave no strength is no evidence and leaves no firing."""
    pages = [choice("c", "x", "y"), number("m", {"low": None, "high": 5}), cause("k", says("c", x="for"))]
    trace = Network(compile_rules(base_of(*pages))).start([Fact("c", "y")])
    assert trace.evidence == () and trace.firings == ()
