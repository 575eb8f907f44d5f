from __future__ import annotations

import pytest
from diagnose.engine.facts import Evidence, Fact
from diagnose.judgement.judge import Cellar, judge
from diagnose.reasoning.findings import findings, normal_chance, normal_weights, priors
from diagnose.reasoning.standing import Standing, as_facts, confirming, standings
from diagnose.reasoning.weigh import UNKNOWN, Sets, Weighing
from made_bases import (
    WORDS,
    base_of,
    cause,
    cellar_pages,
    choice,
    number,
    says,
    several,
    speaks_when,
    state,
    yes_no,
)


def test_priors_are_the_words_of_the_topic_and_its_unknown_cause() -> None:
    """Each cause of the topic brings its own word, the topic the word for what these rules do not know."""
    other = {**cause("cork_taint", how_common="rare"), "topic": "smell"}
    found = priors(base_of(*cellar_pages(), other), "haze")
    assert found == {"protein_haze": 0.1, "yeast_haze": 0.1, "fining_haze": 0.01, UNKNOWN: 0.05}


def test_words_become_numbers_and_rows_are_grouped_by_finding() -> None:
    """One finding gathers what it says about every cause; evidence about other topics is left out."""
    base = base_of(choice("look", "hazy", "clear", nothing="clear"), cause("k"), cause("j"))
    said = [
        Evidence("k", 0, "r", "look", "hazy", "for", "look"),
        Evidence("j", 2, "r", "look", "hazy", "excludes", "look"),
        Evidence("elsewhere", 0, "r", "look", "hazy", "for", "look"),
        Evidence("k", 1, "r", "look", "clear", "against", "light"),
    ]
    found = findings(base, said, ["k", "j"])
    assert [(item.key, item.answer, item.nothing) for item in found] == [
        ("look", "clear", True),
        ("look", "hazy", False),
    ]
    assert [(row.cause, row.decibans, row.about) for row in found[1].rows] == [
        ("j", -20, "look"),
        ("k", 7, "look"),
    ]
    assert findings(base, reversed(said), ["k", "j"]) == found


def test_how_often_an_answer_is_met_adds_up_to_one_over_a_question() -> None:
    """In a sound wine one of the answers is met; the words on the page share out the whole."""
    base = base_of(
        yes_no("a", normally={"yes": "seldom"}),
        choice("c", "x", "y", "z", nothing="z"),
        number("m", {"low": None, "high": 5}, nothing="low"),
        state("s", ("yes", {"a": "yes"}), ("no", {"a": "no"})),
    )
    for name in ("a", "c", "m", "s"):
        answers = base.observables[name].answers
        assert sum(normal_chance(base, name, answer) for answer in answers) == pytest.approx(1)
    assert normal_chance(base, "a", "yes") == pytest.approx(3 / 63)
    # Where a page says nothing, finding nothing is usual and anything else is met sometimes.
    assert normal_weights(base, base.observations["c"]) == {"x": 10, "y": 10, "z": 60}
    assert normal_weights(base, base.states["s"]) == {"yes": 10, "no": 60}


def test_each_ticked_answer_is_met_or_not_by_itself() -> None:
    """Of a question with several answers, one answer's chance does not depend on how many others there are."""
    few = base_of(several("v", "p", "q"))
    many = base_of(several("v", "p", "q", "r", "s"))
    assert normal_chance(few, "v", "p") == normal_chance(many, "v", "p") == pytest.approx(10 / 70)


def test_a_combination_of_facts_has_a_chance_of_its_own() -> None:
    """A condition has no page to say how often it is met: like a finding of which a page says nothing, sometimes,
    by the words of the table."""
    base = base_of(yes_no("a"), cause("k", speaks_when({"a": "yes"}, "for")))
    assert normal_chance(base, "a is yes", "yes") == normal_chance(base, "a", "yes") == pytest.approx(10 / 70)


def test_nothing_answers_are_marked_by_the_page() -> None:
    """`no` finds nothing unless the page says otherwise; a choice finds nothing only where the page says so."""
    base = base_of(
        yes_no("a"), yes_no("b", nothing="yes"), choice("c", "x", "y"), cause("k"), number("m", {"l": None})
    )
    marked = {
        (name, answer): findings(base, [Evidence("k", 0, "r", name, answer, "for", name)], ["k"])[0].nothing
        for name in ("a", "b", "c", "m")
        for answer in base.observables[name].answers
    }
    assert {key for key, nothing in marked.items() if nothing} == {("a", "no"), ("b", "yes")}


# ---------------------------------------------------------------- standing


@pytest.mark.parametrize(
    ("odds", "word"),
    [(0.001, "unlikely"), (0.0799, "unlikely"), (0.08, "possible"), (0.5, "likely"), (1.0, "likely")],
)
def test_words_for_chances_begin_exactly_at_their_starts(odds: float, word: str) -> None:
    """A cause is called by the highest word whose least chance it reaches."""
    base = base_of(cause("k"))
    sets = Sets.of([("k",), (UNKNOWN,)])
    weighing = Weighing({"k": 0.5, UNKNOWN: 0.5}, (), (), sets, (odds, 1 - odds))
    found = {standing.cause: standing.word for standing in standings(base, {"haze": weighing}, {})}
    assert found["k"] == word
    assert WORDS["standing"]["possible"] == 0.08


def test_confirmed_needs_both_a_likely_cause_and_a_confirming_finding() -> None:
    """A high figure alone never confirms; nor does a confirming finding when all else speaks against it."""
    cellar = Cellar(base_of(*cellar_pages()))
    supports = [Fact("heated", 30.0), Fact("unheated", 1.0), Fact("colour", "white")]
    hazier = Fact("heat_test", "hazier")

    def word(*facts: Fact) -> str:
        return next(s.word for s in judge(cellar, "haze", facts).standings if s.cause == "protein_haze")

    assert word(*supports) == "likely"
    assert word(*supports, hazier) == "confirmed"
    against = [
        Fact("heated", 2.0),
        Fact("unheated", 2.0),
        Fact("colour", "red"),
        Fact("heat_test", "unchanged"),
    ]
    assert word(hazier, *against) in ("unlikely", "possible")


def test_confirming_findings_are_read_as_they_stand() -> None:
    """A confirming answer counts as a word, as a ticked answer and as the band of a number."""
    page = cause(
        "k",
        says("a", yes="for"),
        confirmed_by=[
            {"observe": "a", "answers": "yes"},
            {"observe": "v", "answers": ["p", "q"]},
            {"observe": "m", "answers": "high"},
        ],
    )
    base = base_of(yes_no("a"), several("v", "p", "q", "r"), number("m", {"low": None, "high": 5}), page)
    k = base.causes["k"]
    assert confirming(base, k, {"a": ("no",), "v": (frozenset({"r"}),), "m": (9.0,)}) == ()
    ticked = frozenset({"q", "r"})
    found = confirming(base, k, {"a": ("no", "yes"), "v": (ticked,), "band.m": ("high",)})
    assert found == (Fact("a", "yes"), Fact("v", ticked), Fact("m", "high"))


def test_standings_become_facts_the_rules_can_read() -> None:
    """Each standing is the fact `cause.` and its name, with the word as its value."""
    found = as_facts(
        (Standing("haze", "k", 0.7, "likely", ()), Standing("haze", UNKNOWN, 0.1, "possible", ()))
    )
    assert found == (Fact("cause.k", "likely"), Fact("cause.unknown", "possible"))


def test_an_answer_that_no_page_weighs_moves_no_chance() -> None:
    """Not knowing, or answering what nothing reads, leaves every chance where it was."""
    cellar = Cellar(base_of(*cellar_pages()))
    alone = judge(cellar, "haze", [Fact("colour", "white")])
    with_more = judge(cellar, "haze", [Fact("colour", "white"), Fact("heated", 5.0)])
    assert with_more.weighings["haze"].chances == alone.weighings["haze"].chances
