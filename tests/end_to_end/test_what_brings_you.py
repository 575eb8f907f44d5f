"""The first question of a consultation: which trouble it is about."""

from __future__ import annotations

from io import StringIO
from types import SimpleNamespace

import pytest
from diagnose.interview.begin import ask_topic
from diagnose.interview.form import Stopped
from diagnose.interview.lines import Typed
from diagnose.knowledge.models.vocabulary import Topic
from diagnose.present.console import Page, make_console

TOPICS = {
    name: Topic.model_construct(topic=name, name=title, complaint=complaint)
    for name, title, complaint in (
        ("haze", "Haze and deposits", "My wine is cloudy."),
        ("stuck", "A ferment that stands still", "It stopped too soon."),
    )
}


def asked(typed: str, topics: dict[str, Topic] = TOPICS) -> tuple[str, str]:
    """The topic that comes of what was typed, and the screen."""
    out = StringIO()
    page = Page(make_console(out, 80))
    topic = ask_topic(page, Typed(page.console, StringIO(typed)), SimpleNamespace(topics=topics))  # type: ignore[arg-type]
    return topic, out.getvalue()


@pytest.mark.parametrize(
    "typed", ["2\n", "stuck\n", "A ferment\n", "a ferment that\n", "7\nnonsense\n2\n", "?\nwhy\n2\n"]
)
def test_number_word_or_beginning_will_do(typed: str) -> None:
    """A slip is asked again; help does not lose the place."""
    topic, screen = asked(typed)
    assert topic == "stuck"
    assert "My wine is cloudy." in screen


def test_one_subject_needs_no_question() -> None:
    """Where there is no choice nothing is asked."""
    assert asked("", {"haze": TOPICS["haze"]}) == ("haze", "")


@pytest.mark.parametrize("typed", ["stop\n", ""])
def test_leaving_at_once_is_allowed(typed: str) -> None:
    """Nothing has been kept yet, and nothing is lost."""
    with pytest.raises(Stopped):
        asked(typed)
