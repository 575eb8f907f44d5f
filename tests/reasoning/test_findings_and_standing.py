from __future__ import annotations

import math

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
    base = base_of(
        choice("look", "hazy", "clear", nothing="clear"),
        cause("k", says("look", hazy="for", clear="against")),
        cause("j", says("look", hazy="excludes")),
    )
    said = [
        Evidence("k", 0, "r", "look", "hazy", "for", "look"),
        Evidence("j", 0, "r", "look", "hazy", "excludes", "look"),
        Evidence("elsewhere", 0, "r", "look", "hazy", "for", "look"),
        Evidence("k", 0, "r", "look", "clear", "against", "light"),
    ]
    found = findings(base, said, ["k", "j"])
    assert [(item.key, item.answer, item.nothing) for item in found] == [
        ("look", "clear", True),
        ("look", "hazy", False),
    ]
    assert [(row.cause, row.about) for row in found[1].rows] == [("j", "look"), ("k", "look")]
    assert findings(base, reversed(said), ["k", "j"]) == found


def decibans(normally: dict[str, str], **told: str) -> dict[str, float]:
    """What each answer that a page tells of says about its cause."""
    base = base_of(choice("look", "hazy", "clear", normally=normally), cause("k", says("look", **told)))
    said = [Evidence("k", 0, "r", "look", answer, word, "look") for answer, word in told.items()]
    return {item.answer: item.rows[0].decibans for item in findings(base, said, ["k"])}


def by_slip(ratio: float) -> float:
    """The decibans of a ratio when three answers in a hundred are slips."""
    return 10 * math.log10(0.97 * ratio + 0.03)


def test_a_word_raises_the_odds_of_an_answer_against_the_others() -> None:
    """An answer hardly ever met is met as many times more often as its word says; one that is common, not much."""
    rare = decibans({"hazy": "hardly_ever", "clear": "usual"}, hazy="for")["hazy"]
    common = decibans({"hazy": "usual", "clear": "hardly_ever"}, hazy="for")["hazy"]
    # Of 61 sound wines 1 is hazy, or 60 are; with the cause the odds are 10 ** 0.7 times those.
    times = 10**0.7
    assert rare == pytest.approx(by_slip(times / (1 / 61 * times + 60 / 61)), abs=1e-9)
    assert common == pytest.approx(by_slip(times / (60 / 61 * times + 1 / 61)), abs=1e-9)
    assert 6.5 < rare < 7
    assert 0 < common < 0.1


def test_answers_of_one_page_share_one_whole_with_a_cause_too() -> None:
    """What makes one answer more frequent makes the others rarer; the chances with the cause add up to one."""
    normally = {"hazy": "seldom", "clear": "often"}
    told = decibans(normally, hazy="strongly_for", clear="against")
    without_slips = {answer: (10 ** (value / 10) - 0.03) / 0.97 for answer, value in told.items()}
    assert 3 / 33 * without_slips["hazy"] + 30 / 33 * without_slips["clear"] == pytest.approx(1)


def test_no_single_answer_settles_a_case() -> None:
    """Since an answer may be a slip, even one that excludes a cause leaves it a thirtieth of its odds."""
    assert decibans({"hazy": "sometimes", "clear": "sometimes"}, hazy="excludes")["hazy"] > 10 * math.log10(
        0.03
    )


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
    told = [
        says("a", yes="for", no="for"),
        says("b", yes="for", no="for"),
        says("c", x="for", y="for"),
        says("m", l="for"),
    ]
    pages = [yes_no("a"), yes_no("b", nothing="yes"), choice("c", "x", "y"), number("m", {"l": None})]
    base = base_of(*pages, cause("k", *told))
    marked = {
        (name, answer): findings(base, [Evidence("k", row, "r", name, answer, "for", name)], ["k"])[0].nothing
        for row, name in enumerate(("a", "b", "c", "m"))
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
