"""The list of what was heard: what may be typed under it, and that nothing counts before it is confirmed."""

from __future__ import annotations

from pathlib import Path

import pytest
from at_the_table import CELLAR, Listed
from diagnose.interview.carried import offer
from diagnose.interview.form import Stopped
from diagnose.present.console import Page, make_console
from test_answers_by_name import talked

UNSURE = "1.012, 68 F"
"""A density and a temperature that only their look tells: both are shown back before they count."""


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("?", "Numbers, such as 2 3, drop those lines and keep the rest."),
        ("how", "Numbers, such as 2 3, drop those lines and keep the rest."),
        ("why", "Words can be misread. Nothing counts before you have said that it is so."),
        ("later", "'later' is not a key here; yes, none, ? and stop are."),
        ("so far", "'so far' is not a key here; yes, none, ? and stop are."),
        ("maybe", "Type yes, none, or numbers from 1 to 2 to drop."),
        ("3", "Type yes, none, or numbers from 1 to 2 to drop."),
        ("0", "Type yes, none, or numbers from 1 to 2 to drop."),
        ("2 litres", "Type yes, none, or numbers from 1 to 2 to drop."),
    ],
)
def test_what_is_neither_yes_nor_a_line_of_the_list_is_told(tmp_path: Path, typed: str, says: str) -> None:
    """Help, the reason, a key of elsewhere or a number that is not there: the list stays, and nothing is kept yet."""
    screen, answers, how = talked(tmp_path, UNSURE, typed, "stop")
    assert says in screen and answers == {} and how == "stopped"


@pytest.mark.parametrize("typed", ["2", "drop 2", "not 2", "2,"])
def test_a_line_is_dropped_in_the_words_at_hand(tmp_path: Path, typed: str) -> None:
    """The temperature was of the room: its line is dropped, and the density stays."""
    assert talked(tmp_path, UNSURE, typed)[1] == {"gravity_now": 1.012}


def test_what_cannot_be_a_reading_is_said_beside_the_list(tmp_path: Path) -> None:
    """A pH of 99 is no pH: it stands in no line of the list, and the reason is under it."""
    screen, answers, _ = talked(tmp_path, f"{UNSURE}, pH 99", "yes")
    assert set(answers) == {"gravity_now", "cellar_temperature"}
    assert "99" in screen.split("This is what was heard:")[1].split("Is that right?")[0]


def test_lines_that_end_at_the_list_keep_nothing(tmp_path: Path) -> None:
    """Whoever closes the terminal there has confirmed nothing."""
    _, answers, how = talked(tmp_path, UNSURE)
    assert answers == {} and how == "ended"


def test_what_is_known_of_a_wine_is_taken_line_by_line(tmp_path: Path) -> None:
    """A new case of a known wine: its colour is taken over, a pH of last year is not; leaving takes nothing."""
    known = {"wine_colour": "white", "ph": 3.4}
    page = Page(make_console())
    assert offer(page, Listed(["2"]), CELLAR.base, known, "the 2024 white", "metric") == {
        "wine_colour": "white"
    }
    with pytest.raises(Stopped):
        offer(page, Listed(["stop"]), CELLAR.base, known, "the 2024 white", "metric")
