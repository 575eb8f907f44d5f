"""What a person types once the result is shown: every key does what its line says, and nothing is lost by a slip."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from at_the_table import CELLAR, Listed, after_the_result
from diagnose.casebook.store import load_case, new_case, open_case
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Outcome, Talk
from diagnose.present.console import Page
from rich.console import Console

CASES = Path(__file__).resolve().parents[2] / "cases"
KEYS = "Now: why NAME"


def ended(folder: Path, *lines: str) -> Outcome:
    """How the conversation ends when these lines are typed after the result."""
    path = new_case(folder, "Invented", ("haze",), "metric", CELLAR.base)
    with open_case(path, CELLAR.base) as record:
        page = Page(Console(file=io.StringIO(), width=100, color_system=None))
        return Talk(page, Listed(lines), Consultation(CELLAR, record), {}).after()


def test_help_shows_the_keys_again_and_an_empty_line_nothing(tmp_path: Path) -> None:
    """Enter alone is no mistake; `?` brings the line of keys, and so does a word that is none."""
    assert after_the_result(tmp_path / "a", "", " ", "stop")[0].count(KEYS) == 1
    assert after_the_result(tmp_path / "b", "?", "help", "stop")[0].count(KEYS) == 3
    screen, _ = after_the_result(tmp_path / "c", "filter it", "stop")
    assert "'filter it' is not one of the keys here." in screen and screen.count(KEYS) == 2


def test_going_back_after_the_result_asks_the_last_question_again(tmp_path: Path) -> None:
    """The colour was a slip: it is asked again, answered anew, and the result comes again."""
    screen, answers = after_the_result(
        tmp_path, "back", "red", "enough", "stop", answers={"wine_colour": "white"}
    )
    assert "What colour is the wine?" in screen and answers == {"wine_colour": "red"}
    assert "What to do, in this order" in screen


def test_going_back_with_nothing_answered_is_said(tmp_path: Path) -> None:
    """A case that has no answer yet has nothing to take back."""
    screen, _ = after_the_result(tmp_path, "back", "stop")
    assert "Nothing has been answered; there is nothing to go back to." in screen


def test_the_first_question_has_nothing_before_it(tmp_path: Path) -> None:
    """Going back at the very first question keeps it open, and says why nothing happens."""
    screen, answers = after_the_result(tmp_path, "more", "back", "white", "enough", "stop")
    assert "This is the first question; there is nothing to go back to." in screen
    assert answers == {"wine_colour": "white"}


def test_more_asks_first_what_was_put_off(tmp_path: Path) -> None:
    """The heat test was put off; `more` asks for it before anything else, and then shows the result anew."""
    path = new_case(tmp_path, "Invented", ("haze",), "metric", CELLAR.base)
    screen = io.StringIO()
    with open_case(path, CELLAR.base) as record:
        record.record("answered", "wine_colour", "white")
        record.record("put_off", "heat_test_eye")
        page = Page(Console(file=screen, width=100, color_system=None))
        lines = Listed(["more", "much_hazier", "enough", "stop"])
        assert Talk(page, lines, Consultation(CELLAR, record), {}).after() == "stopped"
        assert record.state.answers["heat_test_eye"] == "much_hazier"
    said = " ".join(screen.getvalue().split())
    assert said.index("After the heat test") < said.index("What to do, in this order")
    assert "you put this off" in said


def test_stopping_in_the_middle_of_more_ends_the_conversation(tmp_path: Path) -> None:
    """`stop` at a question means stop, and no second `stop` is needed."""
    assert ended(tmp_path, "more", "stop", "result") == "stopped"


@pytest.mark.parametrize(
    "lines", [["read heat_test"], ["trial bentonite"], ["steps bentonite"], ["result"], []], ids=str
)
def test_lines_that_break_off_end_the_conversation(tmp_path: Path, lines: list[str]) -> None:
    """A pipe that ends, or a closed terminal, is an end wherever it comes, and is told from a person's `stop`."""
    assert ended(tmp_path, *lines) == "ended"


def test_a_result_of_a_test_is_brought_and_counts(tmp_path: Path) -> None:
    """Who heated the wine between two visits types `read heat_test`; what was seen is kept and weighed at once."""
    screen, answers = after_the_result(
        tmp_path, "read heat_test", "much_hazier", *["skip"] * 4, "stop", answers={"wine_colour": "white"}
    )
    assert answers["heat_test_eye"] == "much_hazier" and "What to do, in this order" in screen


def test_a_test_that_is_not_surely_meant_is_asked_back(tmp_path: Path) -> None:
    """`read jar` could be several tests: they are named, and nothing is asked."""
    screen, answers = after_the_result(tmp_path, "read jar", "read no such test", "stop")
    assert screen.count("Which one?") == 2 and "fed_jar_test" in screen and answers == {}


def test_a_test_answered_already_is_said_to_be_so(tmp_path: Path) -> None:
    """Its result stands; to change it the person goes back."""
    screen, _ = after_the_result(
        tmp_path,
        "read peroxide_test",
        "stop",
        answers={"looks": frozenset({"even_veil"}), "peroxide_test": "clears"},
    )
    assert "That has been answered already; `back` takes the last answer back." in screen


def test_a_test_that_would_tell_nothing_yet_is_not_called_answered(tmp_path: Path) -> None:
    """Peroxide is asked of a hazy or dark wine alone: before that is known, nobody is told that it was answered."""
    screen, _ = after_the_result(tmp_path, "read peroxide_test", "stop")
    assert "With what is known so far its result would tell nothing." in screen
    assert "answered already" not in screen


def test_how_a_test_is_done_is_shown_from_its_page(tmp_path: Path) -> None:
    """`test heat_test` shows the steps with their cautions; half a name that fits several is asked back."""
    screen, _ = after_the_result(tmp_path, "test heat_test", "test jar", "stop")
    for step in CELLAR.base.tests["heat_test"].steps:
        assert " ".join(step.do.split()) in screen
    assert "Which one?" in screen and "warm_jar_test" in screen


def test_steps_without_a_name_are_those_of_the_plan(tmp_path: Path) -> None:
    """Clay comes first for this wine, so `steps` alone means clay; the volume may stay unknown."""
    _, state = load_case(CASES / "haze" / "fine_filter_then_hazy.yaml", CELLAR.base)
    known = {name: value for name, value in state.answers.items() if name != "vessel_volume"}
    screen, _ = after_the_result(tmp_path, "steps", "skip", "stop", answers=known)
    assert "The volume is not known, so the amounts stay blank." in screen
    assert "Weigh ______ of dry clay" in screen


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("what if colour", "'colour' supposes nothing; write name=answer, such as ph=3.4."),
        ("what if zzzz=3", "zzzz"),
        ("what if ph=acid", "ph: "),
        ("what if wine_colour=green", "Known: white, rose, red."),
        ("what if without zzzz", "zzzz"),
    ],
)
def test_a_supposition_that_cannot_be_is_told_and_supposes_nothing(
    tmp_path: Path, typed: str, says: str
) -> None:
    """No equals sign, no such question, or no such answer: the sentence names it, and the case stays as it is."""
    screen, answers = after_the_result(tmp_path, typed, "stop", answers={"wine_colour": "white"})
    assert says in screen and answers == {"wine_colour": "white"}
