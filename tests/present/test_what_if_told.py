"""What if an answer were another, and which answers would turn the advice; nobody may take it for the case."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from a_page import read
from diagnose.casebook.store import load_case
from diagnose.engine.facts import Value
from diagnose.explain.turns import Among, Move, Target, Tried, Turn, Turns
from diagnose.explain.what_if import Turned, WhatIf, what_if
from diagnose.present.told import Length
from diagnose.present.what_if import show_turns, show_what_if
from diagnose.shipped import shipped_folder
from made_bases import base_of, cause, choice, fix, number, yes_no

if TYPE_CHECKING:
    from conftest import Worked

WARM_SHELF, CIDER = "haze/demonstration", "haze/sweetened_cider_wakes_up"
NO_CHANGE: dict[str, Value | None] = {"wine_colour": "white"}
NO_TEST: dict[str, Value | None] = {"heat_test_eye": "unchanged"}
RED: dict[str, Value | None] = {"heat_test_eye": None, "wine_colour": "red"}
WORKING: dict[str, Value | None] = {"gas": "lively"}
STILL: dict[str, Value | None] = {"gas": "none"}


def supposed(worked: Worked, case: str, changes: dict[str, Value | None]) -> WhatIf:
    """A worked case with other answers."""
    found, state = load_case(shipped_folder("cases") / f"{case}.yaml", worked.base)
    answers = {fact.name: fact.value for fact in state.facts()}
    return what_if(worked.cellar, found.topics, answers, changes)


TOLD: list[tuple[str, dict[str, Value | None], Length, tuple[str, ...]]] = [
    (
        WARM_SHELF,
        NO_CHANGE,
        "sentence",
        ("If all stays as it is: the first cause and the first step stay as they are.",),
    ),
    (WARM_SHELF, NO_CHANGE, "full", ("Only supposed: the case stays as it is. Nothing moves.",)),
    (
        WARM_SHELF,
        NO_TEST,
        "sentence",
        ("If heat test read by eye: no difference from the twin: nothing would be advised yet.",),
    ),
    (
        WARM_SHELF,
        RED,
        "sentence",
        (
            "If nothing were known of heat test read by eye, and colour of the wine: red: Cold haze of colour and "
            "tannin would be first, and not protein haze; the first step would be: chill it and let it settle.",
        ),
    ),
    (
        WARM_SHELF,
        RED,
        "full",
        (
            "What if nothing were known of heat test read by eye, and colour of the wine: red",
            "First cause - Haze and deposits: Protein haze → Cold haze of colour and tannin",
            "First step - Take the protein out with bentonite → Chill it and let it settle",
            "- Protein haze: 95 % → 44 % (confirmed → possible)",
        ),
    ),
    (
        WARM_SHELF,
        WORKING,
        "paragraph",
        (
            "the first step would be: make a working wine safe and let it finish. Chances: Yeast at work,",
            "and 6 more.",
            "Gates: Gate of gas: passed → failed. Most telling question: Additions since fermentation → ",
        ),
    ),
    (
        CIDER,
        STILL,
        "paragraph",
        (
            "Answers that do not fit: comes: No gas comes, and the density is falling. Sugar that is used makes gas.",
        ),
    ),
]


@pytest.mark.parametrize(("case", "changes", "length", "said"), TOLD)
def test_what_would_move(
    worked: Worked, case: str, changes: dict[str, Value | None], length: Length, said: tuple[str, ...]
) -> None:
    """What is supposed is named first, then what would be first and what would be done; or that nothing moves."""
    found = supposed(worked, case, changes)
    whole = read(lambda page: show_what_if(page, worked.base, found, "metric", length))
    assert not [part for part in said if part not in whole], whole
    assert ".." not in whole and ".;" not in whole


def test_a_new_danger_is_told_before_those_that_go(worked: Worked) -> None:
    """With the test read the other way twelve cautions go and the one of the gas comes: a paragraph tells that one."""
    found = supposed(worked, WARM_SHELF, NO_TEST)
    whole = read(lambda page: show_what_if(page, worked.base, found, "metric", "paragraph"))
    cautions = whole.split("Cautions: ")[1]
    assert cautions.startswith("comes: Gas from a working wine has no smell")


def test_another_trouble_that_opens_or_closes_is_told(worked: Worked) -> None:
    """A second trouble that would be looked into too, or no longer, is said; it is no change of the first cause."""
    nothing = WhatIf((), (), (), None, (), (), (), (), (), None)
    opens, closes = Turned("cold", None, "unknown"), Turned("heat", "unknown", None)
    both = WhatIf((), (opens, closes), *((), None, (), (), (), (), ()), None)
    whole = read(lambda page: show_what_if(page, worked.base, both, "metric", "sentence"))
    names = worked.base.topics["cold"].name, worked.base.topics["heat"].name
    assert whole == (
        f"If all stays as it is: {names[0]} would be looked into too; {names[1]} would not be looked into."
    )
    assert nothing.moves_nothing and not both.moves_nothing


BASE = base_of(
    yes_no("bubbles"),
    choice("colour", "white", "red"),
    number("heated", {"low": None, "high": 20}),
    {**cause("protein"), "name": "Protein haze"},
    {**cause("yeast"), "name": "Yeast at work"},
    {**fix("clay"), "name": "Fine with clay"},
    {**fix("wait"), "name": "Wait"},
)


def turns(target: Target, among: Among, first: str | None, *sets: Turn, tried: tuple[Tried, ...]) -> Turns:
    """Sets of answers that turn what is first."""
    return Turns(target, among, first, sets, tried)


BUBBLES, WARM = Move("bubbles", "yes"), Move("heated", 60.0, 20.0, None)
ALL, SOME = Tried(1, 12, 12), Tried(2, 1200, 400)
TURNED: list[tuple[Turns, str]] = [
    (
        turns("cause", "open", "protein", tried=(ALL,)),
        "The first cause, protein haze, stands firm: no single answer still to come turns it.",
    ),
    (
        turns("cause", "given", "protein", tried=(ALL, Tried(2, 30, 30))),
        "The first cause, protein haze, stands firm: there is no set of up to 2 answers given that turns it.",
    ),
    (
        turns("fix", "open", "clay", tried=(ALL, SOME)),
        "The first step, fine with clay, stands firm: no set was found of up to 2 answers still to come that turns it.",
    ),
    (
        turns("fix", "open", None, Turn((BUBBLES,), "wait"), tried=(ALL,)),
        "The first step would turn with one answer still to come.",
    ),
    (
        turns("cause", "open", "protein", Turn((BUBBLES, WARM), "yeast"), tried=(ALL, SOME)),
        "The first cause, protein haze, would turn with two answers together still to come.",
    ),
    (
        turns("cause", "given", "protein", Turn((BUBBLES,), "yeast"), tried=(ALL,)),
        "The first cause, protein haze, would turn with one wrong answer, in 1 way over 1 question.",
    ),
    (
        turns(
            "fix",
            "given",
            "clay",
            *(Turn((BUBBLES, move), None) for move in (WARM, Move("colour", None))),
            tried=(ALL,),
        ),
        "The first step, fine with clay, would turn with two wrong answers, in 2 ways over 3 questions.",
    ),
]


@pytest.mark.parametrize(("found", "said"), TURNED)
def test_how_firm_it_stands(found: Turns, said: str) -> None:
    """How many answers it takes is said in one sentence, and whether every set of them was tried."""
    assert read(lambda page: show_turns(page, BASE, found, "metric", "sentence")) == said
    whole = read(lambda page: show_turns(page, BASE, found, "metric", "full"))
    assert said in whole
    assert ("400 of 1,200 pairs, most promising first" in whole) == (SOME in found.tried)
    assert "Searched: all 12 single answers" in whole


def test_each_set_is_told_with_what_it_stands_for() -> None:
    """A number stands for its stretch, an answer taken away is not known after all, and only some sets are listed."""
    moves = (
        Move("colour", "red"),
        Move("colour", None),
        WARM,
        Move("heated", 10.0, None, 20.0),
        Move("heated", 30.0, 20.0, 40.0),
        Move("heated", 50.0),
    )
    found = turns("fix", "open", "clay", *(Turn((BUBBLES, move), None) for move in moves), tried=(ALL, SOME))
    full = read(lambda page: show_turns(page, BASE, found, "metric", "full"))
    assert full.startswith("Still to come: what would put another step first")
    for said in (
        "bubbles: yes; and colour: red → nothing advised",
        "colour: not known after all",
        "heated: 20 NTU or more",
        "heated: below 20 NTU",
        "heated: 20 NTU to 40 NTU",
        "heated: 50 NTU →",
    ):
        assert said in full
    short = read(lambda page: show_turns(page, BASE, found, "metric", "paragraph"), plain=True)
    assert "and 3 more" in short and "below 20 NTU" not in short
