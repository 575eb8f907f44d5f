"""The two questions of the first time, typed in every way that a newcomer might."""

from __future__ import annotations

import io
from collections.abc import Mapping

import pytest
from at_the_table import Listed
from diagnose.interview.first_time import ask_first_settings
from diagnose.knowledge.limits import USUAL_LAW
from diagnose.present.console import Page, make_console

LAWS = {"au": "Australia", "us": "United States", USUAL_LAW: "Usual elsewhere"}


def asked(*lines: str, laws: Mapping[str, str] = LAWS) -> tuple[Mapping[str, str], str]:
    """What is chosen, and the screen."""
    screen = io.StringIO()
    chosen = ask_first_settings(Page(make_console(screen)), Listed(lines), laws)
    return chosen, " ".join(screen.getvalue().split())


@pytest.mark.parametrize("typed", ["2", "us", "US", " US: ", "us: "])
def test_units_may_be_typed_as_number_word_or_beginning(typed: str) -> None:
    """All of them mean US units."""
    assert asked(typed, "skip")[0] == {"units": "us"}


def test_a_law_is_named_by_number_word_or_beginning() -> None:
    """The usual law stands first; the others follow by their short name."""
    assert asked("skip", "1")[0] == asked("skip", "usual")[0] == {"law": USUAL_LAW}
    assert asked("skip", "2")[0] == asked("skip", "aus")[0] == {"law": "au"}
    assert asked("skip", "3")[0] == asked("skip", "US")[0] == asked("skip", "united")[0] == {"law": "us"}


@pytest.mark.parametrize("typed", ["3", "0", "imperial", "99999999999999999999"])
def test_what_is_not_offered_is_asked_again(typed: str) -> None:
    """The sentence names what was typed and how many there are to choose from."""
    chosen, screen = asked(typed, "metric", "skip")
    assert "is not one of them. Type a number from 1 to 2, ? for help, or skip." in screen
    assert chosen == {"units": "metric"}


def test_one_law_is_no_choice() -> None:
    """Where the rules know the limits of one law alone, only the units are asked."""
    chosen, screen = asked("", laws={"us": "United States"})
    assert chosen == {"units": "metric"} and "Whose legal limits" not in screen
