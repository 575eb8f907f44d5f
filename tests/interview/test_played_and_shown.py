"""Consultations that nobody types: counted for a rule base, and shown as a demonstration."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
from at_the_table import Listed
from diagnose.casebook.models import TourStop
from diagnose.engine.facts import Fact
from diagnose.interview.first_time import ask_first_settings
from diagnose.interview.guided import Guided
from diagnose.interview.lines import AFTER, ASKING, Scripted
from diagnose.interview.played import MOST, questions_asked
from diagnose.judgement.judge import Cellar
from diagnose.present.console import Page
from rich.console import Console

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))
from made_bases import base_of, cause, fix, says, shared_pages, yes_no


def opening_with(count: int) -> Cellar:
    """A rule base that opens with so many questions, of which the first tells something."""
    topic = next(page for page in shared_pages() if "topic" in page)
    names = [f"look_{number}" for number in range(count)]
    steps = [{"observe": name} for name in names]
    return Cellar(
        base_of(
            {**topic, "opening": steps},
            *(yes_no(name) for name in names),
            cause("k", says("look_0", yes="for"), fixes={"cure": "fully"}),
            fix("cure"),
        )
    )


@pytest.mark.parametrize(("there_are", "counted"), [(1, 1), (5, 5), (MOST + 1, MOST)])
def test_the_questions_of_a_visit_are_counted_up_to_the_most(there_are: int, counted: int) -> None:
    """A rule base that asks without end still gives a count, and one that asks five gives five."""
    assert questions_asked(opening_with(there_are), ["haze"], []) == counted


def test_what_the_facts_tell_is_answered_and_not_skipped() -> None:
    """Who knows the first look answers it; it counts as a question all the same."""
    assert questions_asked(opening_with(2), ["haze"], [Fact("look_0", "yes")]) == 2


def guided(*typed: str, stops: tuple[TourStop, ...] = (), there: bool = True) -> tuple[Guided, io.StringIO]:
    """A demonstration of one answer and one line after the result, and its screen."""
    screen = io.StringIO()
    page = Page(Console(file=screen, width=100, color_system=None))
    script = Scripted(page.console, {"film": ["yes"]}, ["why mould"], lambda: "film")
    return Guided(page, script, Listed(typed) if there else None, stops), screen


def test_a_demonstration_ends_with_its_last_line() -> None:
    """Each line is shown as if typed; after the last there is none, and nothing more is shown."""
    lines, screen = guided()
    assert [lines.read(ASKING), lines.read(ASKING)] == ["yes", "skip"]
    assert [lines.read(AFTER), lines.read(AFTER)] == ["why mould", None]
    assert screen.getvalue() == "> yes\n> skip\nnext> why mould\n"


TELLS = TourStop.model_validate({"at": "film", "before": "yes", "title": "The film", "says": "Look at it."})


@pytest.mark.parametrize(
    ("typed", "read"), [(["stop"], "stop"), (["  QUIT "], "stop"), ([], "stop"), ([""], "yes")]
)
def test_a_tour_is_left_at_any_stop(typed: list[str], read: str) -> None:
    """Stop, or a window that is closed, leaves the tour for good; Enter goes on."""
    lines, screen = guided(*typed, stops=(TELLS,))
    assert lines.read(ASKING) == read
    assert "Tour 1 of 1 · The film" in screen.getvalue() and "Look at it." in screen.getvalue()
    assert lines.read(AFTER) == ("stop" if read == "stop" else "why mould")


def test_a_tour_without_anybody_there_does_not_wait() -> None:
    """Shown into a file, the tour tells what stands on the screen and goes on by itself."""
    lines, screen = guided(stops=(TELLS,), there=False)
    assert lines.read(ASKING) == "yes" and "Look at it." in screen.getvalue()


LAWS = {"eu": "European Union", "us": "United States", "australia": "Australia"}


@pytest.mark.parametrize(
    ("lines", "chosen"),
    [
        (("", ""), {"units": "metric", "law": "australia"}),
        (("2", "3"), {"units": "us", "law": "us"}),
        (("us", "united"), {"units": "us", "law": "us"}),
        (("skip", "dunno"), {}),
        (("imperial", "9", "0", "metric", "mars", "austr"), {"units": "metric", "law": "australia"}),
    ],
)
def test_units_and_law_are_chosen_once_by_number_or_word(
    lines: tuple[str, ...], chosen: dict[str, str]
) -> None:
    """A number, a word or its beginning chooses; what is none of them is asked again, and skip leaves the usual."""
    screen = io.StringIO()
    page = Page(Console(file=screen, width=100, color_system=None))
    assert ask_first_settings(page, Listed(lines), LAWS) == chosen
    said = " ".join(screen.getvalue().split())
    refused = [typed for typed in ("imperial", "9", "0", "mars") if typed in lines]
    for typed in refused:
        assert f"'{typed}' is not one of them. Type a number from 1 to" in said
    assert said.count("is not one of them") == len(refused)
