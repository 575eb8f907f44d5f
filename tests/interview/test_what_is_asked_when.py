"""The order of a conversation: what takes days first, then what tells most, one sign against the favourite."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from diagnose.casebook.store import new_case, open_case
from diagnose.interview.session import Consultation
from diagnose.judgement.judge import Cellar, judge, state_of
from diagnose.reasoning.questions import effects_of

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))
from made_bases import Page, base_of, bench_test, cause, fix, says, yes_no

Begin = Callable[..., Consultation]


@pytest.fixture
def consultation(tmp_path: Path) -> Iterator[Begin]:
    """Begins a new case over a small invented rule base."""
    with ExitStack() as stack:

        def begin(*pages: Page) -> Consultation:
            base = base_of(*pages)
            path = new_case(tmp_path, "Invented", ("haze",), "metric", base)
            return Consultation(Cellar(base), stack.enter_context(open_case(path, base)))

        yield begin


def conversation(talk: Consultation, answers: dict[str, str]) -> list[tuple[str, str]]:
    """What is asked, in order, with why it comes then; what has no answer is skipped, `later` puts it off."""
    found = []
    while question := talk.next_question():
        name = question.observation.observe
        found.append((name, question.reason))
        if answers.get(name) == "later":
            talk.put_off(question)
        elif name in answers:
            talk.answer(question, answers[name])
        else:
            talk.skip(question)
    return found


def two_causes(*evidence: Any, other: tuple[Any, ...] = ()) -> list[Page]:
    """Two equally common causes."""
    return [
        cause("k", *evidence, fixes={"cure_k": "fully"}),
        cause("j", *other, fixes={"cure_j": "fully"}),
        fix("cure_k"),
        fix("cure_j"),
    ]


def test_a_telling_test_of_days_is_set_going_first_and_the_rest_goes_on(
    consultation: Callable[..., Consultation],
) -> None:
    """The slow test that tells most is asked about before the looks, so that it can run meanwhile; only one is."""
    pages = [
        yes_no("stays_clear"),
        yes_no("also_slow"),
        yes_no("film"),
        bench_test("cold_hold", "stays_clear", hands_on="minutes", waiting="days"),
        bench_test("other_hold", "also_slow", hands_on="minutes", waiting="days"),
        *two_causes(
            says("stays_clear", yes="confirms", no="excludes"),
            says("also_slow", yes="strongly_for", no="strongly_against"),
            says("film", yes="for", no="against"),
        ),
    ]
    asked = conversation(consultation(*pages), {"stays_clear": "later"})
    assert asked[0] == ("stays_clear", "start_early")
    assert [reason for _, reason in asked].count("start_early") == 1
    assert "film" in [name for name, _ in asked]


def test_a_sign_against_the_favourite_is_asked_once_before_it_is_believed(
    consultation: Callable[..., Consultation],
) -> None:
    """When one cause looks likely on signs for it alone, a cheap look that could speak against it comes next."""
    pages = [
        yes_no("for_it"),
        yes_no("against_it"),
        yes_no("against_it_too"),
        *two_causes(
            says("for_it", yes="confirms"),
            says("against_it", yes="against"),
            says("against_it_too", yes="against"),
        ),
    ]
    asked = conversation(consultation(*pages), {"for_it": "yes", "against_it": "no"})
    reasons = [reason for _, reason in asked]
    assert reasons.count("against") <= 1
    assert {"against_it", "against_it_too"} & {name for name, _ in asked}


def test_questions_of_one_place_come_together(consultation: Begin) -> None:
    """Of two questions worth nearly the same, the one that is answered where the person stands comes first."""
    tell = {"yes": "strongly_for", "no": "strongly_against"}
    pages = [
        yes_no("a_look", group="look"),
        yes_no("b_meter", group="meter"),
        yes_no("c_look", group="look"),
        *two_causes(says("a_look", **tell), says("b_meter", **tell), says("c_look", **tell)),
    ]
    talk = consultation(*pages)
    order = [name for name, _ in conversation(talk, {})]
    assert order.index("c_look") < order.index("b_meter")


def test_telling_apart_causes_that_one_cure_helps_is_worth_nothing() -> None:
    """A look that only tells one cause from the other gains nothing where both are treated alike."""

    def gain(second_cure: str) -> float:
        pages = [
            yes_no("film"),
            cause("k", says("film", yes="for", no="against"), fixes={"cure_k": "fully"}, how_common="common"),
            cause(
                "j", says("film", yes="against", no="for"), fixes={second_cure: "fully"}, how_common="common"
            ),
            fix("cure_k"),
            fix("cure_j"),
        ]
        cellar = Cellar(base_of(*pages))
        found = effects_of(state_of(cellar, judge(cellar, "haze", [])), cellar.base.observations["film"])
        assert found is not None
        return found.gain

    assert gain("cure_k") < 0.2 * gain("cure_j")


def test_nothing_that_can_be_asked_ends_truthfully(consultation: Begin) -> None:
    """Rules without questions, and a person who knows nothing, end without a verdict that nobody can give."""
    bare = consultation(*two_causes())
    assert conversation(bare, {}) == []
    assert not bare.judged.trace.evidence
    silent = consultation(yes_no("film"), *two_causes(says("film", yes="for", no="against")))
    assert conversation(silent, {}) == [("film", "telling")]
    assert not silent.judged.trace.evidence


def test_when_every_known_cause_is_ruled_out_the_unknown_one_stands_first(
    consultation: Callable[..., Consultation],
) -> None:
    """What fits none of the pages is called by its name: something these rules do not know."""
    pages = [
        yes_no("film"),
        *two_causes(says("film", yes="excludes"), other=(says("film", yes="excludes"),)),
    ]
    talk = consultation(*pages)
    conversation(talk, {"film": "yes"})
    assert talk.judged.first.cause == "unknown"
    assert talk.judged.first.word == "likely"
