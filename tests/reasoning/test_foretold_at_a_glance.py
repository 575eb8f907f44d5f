"""What a single answer is said to change, in small cellars where it can be told at a glance."""

from __future__ import annotations

import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge, state_of
from diagnose.reasoning.foretell import sample_answers
from diagnose.reasoning.questions import Candidate, effects_of
from made_bases import Page, base_of, cause, says, speaks_when, yes_no


def foretold(cellar: Cellar, name: str, *facts: Fact, topics: tuple[str, ...] = ("haze",)) -> Candidate:
    """What each answer to a question would change."""
    found = effects_of(state_of(cellar, judge(cellar, topics, facts)), cellar.base.observations[name])
    assert found is not None
    return found


def pairs_of(cellar: Cellar, *facts: Fact) -> dict[str, float]:
    """The chances that the verdict gives, over sets of at most two causes."""
    weighing = judge(cellar, "haze", facts).weighings["haze"]
    small = {causes: chance for causes, chance in weighing.sets if len(causes) <= 2}
    whole = sum(small.values())
    return {
        name: sum(chance for causes, chance in small.items() if name in causes) / whole
        for name in weighing.priors
    }


@pytest.mark.parametrize(
    ("row", "first"),
    [
        (speaks_when({"unknown": "gas", "fined": "yes"}, "for"), "fined"),
        (speaks_when({"unknown": "gas", "fined": "yes"}, "for", about="fining"), "fined"),
    ],
)
def test_an_answer_can_take_back_what_was_said_while_it_was_unknown(row: Page, first: str) -> None:
    """Fined, and nobody knows of gas: that speaks for a cause until the gas is looked at. Other signs stay."""
    cellar = Cellar(
        base_of(
            yes_no("gas"),
            yes_no("fined"),
            yes_no("film"),
            cause("k", row, says("film", yes="for"), says("gas", yes="slightly_for")),
            cause("j", says("film", yes="slightly_for", no="against"), says("fined", yes="against")),
        )
    )
    known = (Fact(first, "yes"), Fact("film", "yes"))
    page = cellar.base.observations["gas"]
    told = foretold(cellar, "gas", *known).effects
    for value, effect in zip(sample_answers(cellar.base, page), told, strict=True):
        assert effect.chances["haze"] == pytest.approx(pairs_of(cellar, *known, Fact("gas", value)))


def test_a_stronger_sign_of_the_same_thing_takes_the_place_of_the_weaker() -> None:
    """Of two looks at one thing the stronger counts for each cause; what else the weaker one says stays."""
    cellar = Cellar(
        base_of(
            yes_no("glance", about="film"),
            yes_no("lamp", about="film"),
            cause("k", says("glance", yes="slightly_for"), says("lamp", yes="strongly_for")),
            cause("j", says("glance", yes="against"), says("lamp", yes="slightly_against")),
            cause("i", says("glance", yes="for")),
        )
    )
    known = Fact("glance", "yes")
    page = cellar.base.observations["lamp"]
    told = foretold(cellar, "lamp", known).effects
    for value, effect in zip(sample_answers(cellar.base, page), told, strict=True):
        assert effect.chances["haze"] == pytest.approx(pairs_of(cellar, known, Fact("lamp", value)))


def test_how_likely_an_answer_is_comes_from_the_topic_that_learns_most() -> None:
    """A film that settles the smell and hardly touches the haze is as likely as the causes of the smell make it."""
    topic = {
        "topic": "smell",
        "name": "Smell",
        "complaint": "It smells.",
        "opening": [],
        "unknown_cause": "Something else.",
        "how_common_unknown": "occasional",
        "if_unknown": "Ask a laboratory.",
    }
    pages = [
        topic,
        yes_no("film", normally={"yes": "seldom"}),
        cause("j", says("film", yes="slightly_for")),
        cause("k"),
        cause("x", says("film", yes="confirms", no="strongly_against"), topic="smell"),
        cause("y", says("film", no="for"), topic="smell"),
    ]
    cellar = Cellar(base_of(*pages))

    def likely(*topics: str) -> dict[str, float]:
        found = foretold(cellar, "film", topics=topics)
        return {effect.answer: effect.likely for effect in found.effects}

    assert likely("smell")["yes"] > 1.2 * likely("haze")["yes"]
    for topics in (("haze", "smell"), ("smell", "haze")):
        assert likely(*topics) == pytest.approx(likely("smell"))
