"""A line that asks what a word means is answered where it was typed; one that only begins so is an answer."""

from __future__ import annotations

import io

import pytest
from at_the_table import CELLAR, Listed
from diagnose.interview.begin import ask_topic
from diagnose.interview.form import Field, fill_in
from diagnose.interview.lines import Explaining
from diagnose.knowledge.glossary import hard_words_in, word_meant
from diagnose.present.console import Page, make_console


@pytest.fixture
def screen() -> io.StringIO:
    """What is shown."""
    return io.StringIO()


def test_a_complaint_that_begins_like_a_question_is_heard(screen: io.StringIO) -> None:
    """`What is wrong with ...` asks for no word; `what is haze` does, and the complaint is still asked for."""
    lines = Listed(["what is haze", "what is wrong with my wine, it is hazy", "yes"])
    opening = ask_topic(Page(make_console(screen)), lines, CELLAR.base)
    assert opening.topics[0] == "haze" and "Cloudiness from matter too fine" in screen.getvalue()


def test_a_form_waits_on_after_a_word(screen: io.StringIO) -> None:
    """In the middle of a bench trial a word is no answer, and nothing is lost."""
    page = Page(make_console(screen))
    field = Field("dose", "Which dose?", "Read it.", "It counts.", float)
    lines = Explaining(page, CELLAR.base, Listed(["What's a slurry?", "2"]))
    assert fill_in(page, lines, [field]) == {"dose": 2.0}
    assert "A stirred mix of powder and water." in screen.getvalue()


@pytest.mark.parametrize("word", CELLAR.base.glossary.values(), ids=lambda word: word.word)
def test_every_spelling_leads_to_its_word(word) -> None:  # type: ignore[no-untyped-def]
    """With and without capitals, an article, or an s; the name that the Tab key types too."""
    for says in (word.word, *word.called):
        for typed in (says, says.upper(), f"the {says}", f" {says} "):
            assert word_meant(CELLAR.base, typed) is word


def test_a_short_form_is_seen_only_with_its_capitals() -> None:
    """`pH` and `YAN` are words of the trade; nobody is told what `must` means in `it must be cold`."""
    said = [
        word.word for word in hard_words_in(CELLAR.base, "Was YAN read, by the lees? It must be. Yan did.")
    ]
    assert said == ["yan", "lees"]
