"""A whole consultation at a real terminal: mistyping, asking back, leaving and coming back another day."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from terminal import Open, answer_all, terminals

WARM_WHITE = {
    "What colour is the wine": "1",
    "What is the wine made from": "1",
    "Where is the wine now": "1",
    "What do you see in the wine": "1",
    "smell of, beyond wine": "8",
    "notice in the mouth": "none of these",
    "Was the wine ever clear": "2",
    "days or weeks before the haze": "1",
    "how much gas": "1",
    "stirred up": "no",
}


@pytest.fixture
def terminal(environment: dict[str, str]) -> Iterator[Open]:
    """Opens the command in a terminal, and leaves none running."""
    with terminals(environment) as opens:
        yield opens


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_no_line_is_wider_than_the_terminal(terminal: Open, columns: int) -> None:
    """Screens fit 60, 80 and 120 columns."""
    session = terminal(columns=columns)
    screen = answer_all(session, WARM_WHITE)
    session.type("stop")
    session.read_rest()
    session.wait()
    assert max(len(line) for line in screen.splitlines()) <= columns


def test_a_warm_white_ends_in_protein_and_a_locked_bentonite(terminal: Open) -> None:
    """The typical story leads to protein haze; bentonite stays locked until a heat test, and says so."""
    session = terminal()
    screen = answer_all(session, WARM_WHITE)
    assert "Protein haze" in screen and "Test before you treat" in screen
    session.type("steps bentonite")
    assert "Locked" in session.read_until("next> ")
    session.type("why protein_haze")
    why = session.read_until("next> ")
    assert "Speaks for it" in why and "Nobody has looked yet" in why
    session.type("stop")
    session.read_rest()
    assert session.wait() in (0, 3)


def test_mistakes_are_asked_again_and_back_undoes(terminal: Open) -> None:
    """A wrong answer is explained and asked again; `back` takes the last answer back."""
    session = terminal()
    session.read_until("> ")
    session.type("purple")
    assert "not one of the answers" in session.read_until("> ")
    session.type("?")
    assert "How to find out" in session.read_until("> ")
    session.type("why")
    assert "Why this question" in session.read_until("> ")
    session.type("red")
    session.read_until("> ")
    session.type("back")
    assert "What colour is the wine" in session.read_until("> ")
    session.type("white")
    assert "Kept: White" in session.read_until("> ")
    session.type("stop")
    assert "diagnose continue" in session.read_rest()
    assert session.wait() == 3


def test_coming_back_days_later_with_a_result(terminal: Open, home: Path) -> None:
    """What was put off is asked first on coming back, and the answers given are still there."""
    session = terminal()
    session.read_until("> ")
    session.type("white")
    session.read_until("> ")
    session.type("later")
    session.read_until("> ")
    session.type("stop")
    session.read_rest()
    session.wait()
    again = terminal("continue")
    screen = again.read_until("> ")
    assert "you put this off" in screen and "made from" in screen
    again.type("grapes")
    assert "Where is the wine now" in again.read_until("> ")
    again.type("stop")
    again.read_rest()
    again.wait()
    (kept,) = (home / "cases").glob("*.yaml")
    assert '"wine_colour", "value": "white"' in kept.read_text()


def test_ctrl_c_keeps_everything(terminal: Open, home: Path) -> None:
    """Ctrl-C ends with one sentence and status 130; the answers are on disk."""
    session = terminal()
    session.read_until("> ")
    session.type("rose")
    session.read_until("> ")
    screen = session.interrupt()
    assert "Everything answered is kept" in screen and "Traceback" not in screen
    assert session.wait() == 130
    (kept,) = (home / "cases").glob("*.yaml")
    assert '"value": "rose"' in kept.read_text()


def test_closed_terminal_loses_nothing(terminal: Open, home: Path) -> None:
    """When the window is closed in the middle, every acknowledged answer is on disk."""
    session = terminal()
    session.read_until("> ")
    session.type("red")
    assert "Kept: Red" in session.read_until("> ")
    session.close()
    assert session.wait() != 0
    (kept,) = (home / "cases").glob("*.yaml")
    text = kept.read_text()
    assert '"value": "red"' in text and text.endswith("\n")


def test_one_case_in_two_terminals_is_refused(terminal: Open) -> None:
    """A second terminal on the same case is told so, and does not touch it."""
    first = terminal()
    first.read_until("> ")
    second = terminal("continue")
    said = second.read_rest()
    assert "open in another terminal" in said
    assert second.wait() == 1
    first.type("stop")
    first.read_rest()
    first.wait()


def test_units_of_the_person_are_used(terminal: Open) -> None:
    """With US units a number is shown in gallons and degrees Fahrenheit, and `38 F` is read."""
    session = terminal("--units", "us")
    answers = {**WARM_WHITE, "temperature": "38 F"}
    screen = answer_all(session, answers)
    session.type("stop")
    session.read_rest()
    session.wait()
    if "temperature" in screen:
        assert "°F" in screen


SWEET_BOTTLES_WITH_BUBBLES = {
    "What colour is the wine": "1",
    "What is the wine made from": "2",
    "Where is the wine now": "2",
    "What do you see in the wine": "1 11",
    "smell of, beyond wine": "3",
    "notice in the mouth": "1 4",
    "Was the wine ever clear": "2",
    "days or weeks before the haze": "11 12",
}


def test_bottles_that_may_burst_are_warned_of_at_once_and_not_opened(terminal: Open) -> None:
    """Sweet bottles with bubbles: the danger is said at the answer that shows it, first in the result, and no test
    that opens a bottle is asked for or listed before they are safe."""
    session = terminal()
    screen = answer_all(session, SWEET_BOTTLES_WITH_BUBBLES)
    asked, _, result = screen.partition("What is probably wrong")
    assert "can burst without warning" in " ".join(asked.split())
    after_the_danger = asked[asked.index("can burst") :]
    assert "This takes a test" not in after_the_danger
    assert "Test before you treat" not in result
    assert result.index("Mind") < result.index("What to do, in this order")
    dangers = result[result.index("Mind") : result.index("What to do, in this order")]
    assert "Strong alcohol" not in dangers and "scalds" not in dangers, "tests that wait bring no warning"
    assert "Make bottles under pressure safe" in result
