"""CLIPS, given the same rules and facts, concludes what our network concludes.

The worked cases are compared where they are judged anyway, in `tests/cases`.
"""

from __future__ import annotations

import random
from typing import Any

import pytest
from clips_machine import ClipsMachine, Outcome
from diagnose.engine.chain import leading_to
from diagnose.engine.compile import compile_rules
from diagnose.engine.facts import Evidence, Fact
from diagnose.engine.network import Network
from diagnose.engine.trace import Trace
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.chains import circle_without_answer, dependencies
from diagnose.knowledge.problems import RuleFilesWrong
from hypothesis import HealthCheck, assume, given, settings
from made_bases import base_of, cellar_pages
from random_answers import RandomAnswers
from random_pages import given_facts, pages
from second_opinions import MOST_ANSWERS, RANDOM_RULES, RANDOM_SETS, TOPICS

EVERY = 10
"""One in so many random sets of answers is given to the network too."""

each_topic = pytest.mark.parametrize("topic", TOPICS)


def agree(ours: Trace, theirs: Outcome) -> None:
    """The same facts with the same values, and the same evidence."""
    assert dict(theirs.facts) == dict(ours.facts)
    assert theirs.evidence == frozenset(ours.evidence)


@each_topic
def test_random_answers(shipped: Any, topic: str) -> None:
    """Answers nobody would give together, numbers at the very edge of a band, causes of any standing: alike."""
    chance = random.Random(f"answers about {topic}")
    causes = [name for name, cause in shipped.base.causes.items() if cause.topic == topic]
    draw = RandomAnswers(shipped.base, leading_to(shipped.cellar.rules.values(), causes), chance)
    chain, machine = shipped.cellar.chain, shipped.machine
    spoke = went_on = 0
    for number in range(RANDOM_SETS):
        facts, words = draw.answers(MOST_ANSWERS), draw.standings(topic, MOST_ANSWERS)
        first = chain.start(facts)
        agree(first, machine.start(facts))
        second = chain.add(words)
        agree(second, machine.add(words))
        if number % EVERY == 0:
            # experta's network is slow to build, so it is asked about some of the answers.
            network = shipped.cellar.network(facts, [topic])
            assert set(network.start(facts).firings) == set(first.firings)
            assert set(network.add(words).firings) == set(second.firings)
        spoke += bool(first.firings)
        went_on += len(second.firings) > len(first.firings)
    assert spoke > 0.9 * RANDOM_SETS
    assert went_on > 0.5 * RANDOM_SETS


def test_every_topic_is_compared(shipped: Any) -> None:
    """No topic is left out, and at least two hundred random sets of answers are tried."""
    assert set(TOPICS) == set(shipped.base.topics)
    assert len(TOPICS) * RANDOM_SETS >= 200


@settings(max_examples=RANDOM_RULES, suppress_health_check=[HealthCheck.too_slow])
@given(pages(), given_facts())
def test_random_rules(made: list[dict[str, Any]], facts: tuple[Fact, ...]) -> None:
    """Random small rule bases, with every joining word, states upon states and sums: CLIPS concludes the same."""
    base = base_of(*made)
    # What the loader refuses has no single answer.
    assume(circle_without_answer(dependencies(base.states, base.derived)) is None)
    try:
        rules = compile_rules(base)
    except RuleFilesWrong:  # a condition too tangled to be meant
        assume(False)
        raise
    agree(Network(rules).start(facts), ClipsMachine(base, rules).start(facts))


# ---------------------------------------------------------------- the comparison can fail


def test_a_rule_that_is_missing_is_noticed() -> None:
    """Taking any one rule that spoke away from CLIPS makes the two differ."""
    cellar = Cellar(base_of(*cellar_pages()))
    rules = cellar.rules.values()
    facts = (Fact("bubbles", "no"), Fact("heated", 30.0), Fact("unheated", 1.0), Fact("colour", "white"))
    ours = cellar.network(facts, ["haze"]).start(facts)
    spoke = {firing.rule for firing in ours.firings}
    assert len(spoke) >= 6
    for missing in spoke:
        theirs = ClipsMachine(cellar.base, [rule for rule in rules if rule.id != missing]).start(facts)
        assert (dict(theirs.facts), theirs.evidence) != (dict(ours.facts), frozenset(ours.evidence)), missing


def test_clips_gives_the_conclusions_worked_out_by_hand() -> None:
    """A wine that neither bubbles nor was fined: what CLIPS concludes is what the pages say, read by eye."""
    base = base_of(*cellar_pages())
    machine = ClipsMachine(base, compile_rules(base))
    found = machine.start([Fact("bubbles", "no"), Fact("heated", 30.0), Fact("unheated", 28.0)])
    assert dict(found.facts) == {
        "bubbles": ("no",),
        "heated": (30.0,),
        "band.heated": ("high",),
        "unheated": (28.0,),
        "rise": (2.0,),
        "band.rise": ("large",),
        "working": ("no",),
        "settled": ("yes",),
    }
    assert {(item.cause, item.answer, item.strength) for item in found.evidence} == {
        ("protein_haze", "large", "strongly_for"),
        ("yeast_haze", "no", "against"),
    }
    assert machine.start([]) == Outcome({}, frozenset[Evidence]())
