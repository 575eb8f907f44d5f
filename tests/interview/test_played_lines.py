"""Lines that nobody types: a script with a guide beside it, and a consultation played to count its questions."""

from __future__ import annotations

import io

import pytest
from at_the_table import CELLAR, Listed
from diagnose.casebook.models import TourStop
from diagnose.engine.facts import Fact
from diagnose.interview import played
from diagnose.interview.guided import Guided
from diagnose.interview.lines import AFTER, ASKING, Scripted
from diagnose.present.console import Page, make_console


def guided(screen: io.StringIO, person: Listed | None) -> Guided:
    """A script of one answer and one line after the result, with a stop before each."""
    page = Page(make_console(screen))
    script = Scripted(page.console, {"wine_colour": ["white"]}, ["why"], lambda: "wine_colour")
    stops = [
        TourStop(at="wine_colour", before="white", title="The colour", says="It comes first."),
        TourStop(at="result", before="why", title="The reasons", says="They can be asked for."),
    ]
    return Guided(page, script, person, stops)


def test_a_script_is_shown_as_if_typed_and_ends_by_itself() -> None:
    """What nobody scripted is skipped; after the last line there are no more, and nothing is shown for it."""
    screen = io.StringIO()
    lines = guided(screen, None)
    assert [lines.read(ASKING), lines.read(ASKING)] == ["white", "skip"]
    assert [lines.read(AFTER), lines.read(AFTER)] == ["why", None]
    assert "> white" in screen.getvalue() and "None" not in screen.getvalue()
    assert "Tour 1 of 2 · The colour" in screen.getvalue()


@pytest.mark.parametrize("typed", [["stop"], ["QUIT"], []], ids=str)
def test_whoever_leaves_the_tour_ends_the_script(typed: list[str]) -> None:
    """A stop is waited at; leaving there, or a closed terminal, shows no more of the script."""
    screen = io.StringIO()
    lines = guided(screen, Listed(typed))
    assert [lines.read(ASKING), lines.read(ASKING)] == ["stop", "stop"]
    assert lines.left and "> white" not in screen.getvalue()


def test_questions_are_counted_up_to_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """A consultation is counted to its end; rules that led it round in a circle would not hold the count up."""
    known = [Fact("wine_colour", "white")]
    whole = played.questions_asked(CELLAR, ["haze"], known)
    assert 3 < whole < played.MOST
    monkeypatch.setattr(played, "MOST", 3)
    assert played.questions_asked(CELLAR, ["haze"], known) == 3
