"""Somebody who can answer little is shown the way to the result, and is never kept from it."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from at_the_table import CELLAR, Listed
from diagnose.casebook.store import new_case, open_case
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Outcome, Talk
from diagnose.present.console import Page
from rich.console import Console


def talk(folder: Path, *lines: str) -> tuple[Outcome, str]:
    """How the questions end when these lines are typed, and what the screen shows."""
    screen = io.StringIO()
    with open_case(new_case(folder, "Invented", ("haze",), "metric", CELLAR.base), CELLAR.base) as record:
        page = Page(Console(file=screen, width=100, color_system=None))
        outcome = Talk(page, Listed(lines), Consultation(CELLAR, record), {}).questions()
    return outcome, " ".join(screen.getvalue().split())


def test_after_many_answers_not_known_the_way_to_the_result_is_shown(tmp_path: Path) -> None:
    """The fifth *skip* in a row brings the word that ends the questions; an answer in between starts anew."""
    assert "type enough" not in talk(tmp_path, *["skip"] * 4)[1]
    assert "type enough" in talk(tmp_path, *["skip"] * 5)[1]
    assert (
        "type enough" not in talk(tmp_path, "skip", "skip", "skip", "skip", "none_of_these", *["skip"] * 4)[1]
    )


@pytest.mark.parametrize(
    "words",
    ["enough", "That is all.", "that's all I can do today", "THATS ALL I CAN DO TODAY!", "that is all"],
)
def test_a_person_may_say_that_this_is_all_for_today(tmp_path: Path, words: str) -> None:
    """The questions end with the result, in the words a person would use."""
    assert talk(tmp_path, "white", words)[0] == "finished"
