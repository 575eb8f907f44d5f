"""Answers typed at another question: by the name of theirs, or as a note of readings in one line."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path

import pytest
from at_the_table import CELLAR, Listed
from diagnose.casebook.store import new_case, open_case
from diagnose.engine.facts import Value
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Talk
from diagnose.present.console import Page
from rich.console import Console


def talked(folder: Path, *lines: str, topic: str = "haze") -> tuple[str, Mapping[str, Value], str]:
    """The screen, the answers kept, and how it ended, when these lines are typed from the first question on."""
    screen = io.StringIO()
    with open_case(new_case(folder, "Invented", (topic,), "us", CELLAR.base), CELLAR.base) as record:
        page = Page(Console(file=screen, width=100, color_system=None))
        how = Talk(page, Listed(lines), Consultation(CELLAR, record), {}).questions()
        return " ".join(screen.getvalue().split()), dict(record.state.answers), how


def test_a_named_reading_is_kept_and_the_question_stays(tmp_path: Path) -> None:
    """`ph: 3.5` at the question of the colour is kept as pH; the colour is still asked, once."""
    screen, answers, _ = talked(tmp_path, "ph: 3.5", "red")
    assert answers == {"ph": 3.5, "wine_colour": "red"}
    assert "Kept: pH: 3.50" in screen
    assert screen.count("What colour is the wine?") == 1


def test_a_note_of_named_readings_is_kept_in_one_line(tmp_path: Path) -> None:
    """A pasted line of named figures is several answers."""
    _, answers, _ = talked(tmp_path, "pH 3.6, free SO2 20 ppm, TA 6.1 g/L, gravity 1.012")
    assert answers == {"ph": 3.6, "free_so2": 20, "titratable_acidity": 6.1, "gravity_now": 1.012}


def test_figures_without_names_are_confirmed_first(tmp_path: Path) -> None:
    """`1.012` and `68 F` may be misread, so they are shown before they are kept."""
    screen, answers, _ = talked(tmp_path, "1.012, 68 F", "2", "red")
    assert answers == {"gravity_now": 1.012, "wine_colour": "red"}
    assert "Is that right?" in screen


def test_nothing_confirmed_nothing_kept(tmp_path: Path) -> None:
    """None drops the note, and so does not knowing; the question is still open."""
    for drops in ("none", "skip"):
        assert talked(tmp_path / drops, "1.012, 68 F", drops, "red")[1] == {"wine_colour": "red"}


def test_another_question_is_answered_by_name(tmp_path: Path) -> None:
    """A question that takes words can be named as well, by its short name or another."""
    assert talked(tmp_path, "sweetness: dry", "made from: honey", "what it is made from honey")[1] == {
        "sweetness": "dry",
        "made_from": "honey",
    }


def test_the_open_question_may_be_named_too(tmp_path: Path) -> None:
    """`colour red` at the question of the colour answers it."""
    screen, answers, _ = talked(tmp_path, "colour red")
    assert answers == {"wine_colour": "red"}
    assert "What is the wine made from" in screen


def test_a_correction_says_what_it_was(tmp_path: Path) -> None:
    """A figure given before is replaced, and the old one is told."""
    screen, answers, _ = talked(tmp_path, "ph 3.5", "ph 3.7")
    assert answers == {"ph": 3.7}
    assert "Kept: pH: 3.70 (was 3.50)" in screen


def test_a_figure_that_two_questions_claim_is_asked_about(tmp_path: Path) -> None:
    """At the question of the first density `gravity 1.040` may be meant for either, so the person decides."""
    screen, answers, _ = talked(tmp_path, "1", "1", "skip", "gravity 1.040", "yes", "1.090", topic="stuck")
    assert "What was the density (specific gravity) before" in screen and "Is that right?" in screen
    assert answers["gravity_now"] == 1.04 and answers["start_gravity"] == 1.09


@pytest.mark.parametrize("typed", ["purple", "12", "1.012", "none of it", "ph", "gravity"])
def test_other_words_are_refused_as_before(typed: str, tmp_path: Path) -> None:
    """What names no other question is a wrong answer to this one."""
    screen, answers, _ = talked(tmp_path, typed)
    assert answers == {} and ("is not one of the answers" in screen or "There is no answer" in screen)


def test_an_impossible_value_is_refused_with_its_reason(tmp_path: Path) -> None:
    """A named figure that cannot be is not kept, and the person is told why."""
    screen, answers, _ = talked(tmp_path, "ph 12", "red")
    assert answers == {"wine_colour": "red"}
    assert "12.00 cannot be right for pH" in screen


def test_leaving_while_confirming_ends_the_questions(tmp_path: Path) -> None:
    """Stop means stop, also in the middle of a list."""
    assert talked(tmp_path, "1.012, 68 F", "stop")[1:] == ({}, "stopped")
    assert talked(tmp_path, "1.012, 68 F")[1:] == ({}, "ended")
