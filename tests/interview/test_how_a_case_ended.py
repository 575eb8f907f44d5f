"""Closing a case: what is known already is taken with Enter, and what is mistyped is asked again."""

from __future__ import annotations

import io

import pytest
from at_the_table import CELLAR, Listed
from diagnose.interview.closing import LONGEST_LESSON, Ending, ask_ending
from diagnose.interview.form import Stopped
from diagnose.present.console import Page
from rich.console import Console

SO_FAR = Ending("solved", {"haze": "protein_haze"}, "bentonite", None)
"""A protein haze that clay took out, as the case tells it so far."""


def told(*lines: str, so_far: Ending = SO_FAR) -> tuple[Ending, str]:
    """The ending as it is told in these lines, and the screen."""
    screen = io.StringIO()
    page = Page(Console(file=screen, width=300, color_system=None))
    return ask_ending(page, Listed(lines), CELLAR.base, so_far), " ".join(screen.getvalue().split())


def test_enter_alone_takes_what_the_case_knows() -> None:
    """Four times Enter: solved, by the likely cause and the treatment done last, with no lesson."""
    ending, screen = told("", "", "", "")
    assert ending == SO_FAR
    assert "Enter alone takes solved." in screen and "Enter alone takes bentonite." in screen


def test_the_person_knows_better() -> None:
    """It was yeast after all, time helped, and the lesson is kept as it was typed, in one line."""
    ending, _ = told("Not solved", "yeast_not_settled", "wait_and_rack", "Wait  a week\tfirst.")
    assert ending.how == "not_solved" and ending.fix == "wait_and_rack"
    assert ending.causes == {"haze": "yeast_not_settled"}
    assert ending.lesson == "Wait a week first."


@pytest.mark.parametrize("word", ["nothing", "Nothing.", "skip", "don't know"])
def test_not_knowing_is_an_ending_too(word: str) -> None:
    """Nobody is made to name a cause, a treatment or a lesson."""
    ending, _ = told("given-up", word, word, word)
    assert ending == Ending("given_up", {}, None, None)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (["drunk"], "'drunk' is none of: solved, not solved, given up."),
        (["", "gremlins"], "No cause is surely meant by 'gremlins'. Near: "),
        (["", "haze"], "No cause is surely meant by 'haze'. Near: "),
        (["", "", "magic"], "No treatment is surely meant by 'magic'. Near: "),
        (["", "", "", "x" * (LONGEST_LESSON + 1)], "This has 2001 letters; 2000 are the most."),
    ],
)
def test_what_is_mistyped_is_asked_again(lines: list[str], says: str) -> None:
    """No such ending, a cause or treatment that nobody can surely mean, a lesson as long as a letter."""
    ending, screen = told(*lines, *[""] * 4)
    assert says in screen and ending == SO_FAR


def test_going_back_changes_an_answer_before() -> None:
    """Solved was too soon: back from the lesson to the first question, and each is asked again."""
    ending, screen = told("", "", "", "back", "back", "back", "not solved", "", "", "")
    assert ending.how == "not_solved" and screen.count("How did it end") == 2


def test_leaving_in_the_middle_closes_nothing() -> None:
    """A person who stops, or whose lines end, has told no ending."""
    for lines in (["", "stop"], ["", ""]):
        with pytest.raises(Stopped):
            told(*lines)
