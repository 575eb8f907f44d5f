"""The first question of a consultation: which trouble it is about, as a number, a name or in a person's own words."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator
from io import StringIO
from pathlib import Path
from types import SimpleNamespace

import pytest
import yaml
from diagnose.interview.begin import Opening, ask_topic
from diagnose.interview.form import Stopped
from diagnose.interview.lines import Typed
from diagnose.knowledge.models.vocabulary import Topic
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.console import Page, make_console
from terminal import Terminal

TOPICS = {
    name: Topic.model_construct(topic=name, name=title, complaint=complaint)
    for name, title, complaint in (
        ("haze", "Haze and deposits", "My wine is cloudy."),
        ("stuck", "A ferment that stands still", "It stopped too soon."),
    )
}
HERE = Path(__file__).parent


def asked(typed: str, topics: dict[str, Topic] = TOPICS) -> tuple[Opening, str]:
    """What comes of what was typed where there is no vocabulary, and the screen."""
    out = StringIO()
    page = Page(make_console(out, 80))
    base = SimpleNamespace(topics=topics, heard={}, small_words={}, observations={})
    opening = ask_topic(page, Typed(page.console, StringIO(typed)), base)  # type: ignore[arg-type]
    return opening, out.getvalue()


@pytest.mark.parametrize(
    "typed", ["2\n", "stuck\n", "A ferment\n", "a ferment that\n", "7\nnonsense\n2\n", "?\nwhy\n2\n"]
)
def test_number_word_or_beginning_will_do(typed: str) -> None:
    """A slip is asked again; help does not lose the place."""
    opening, screen = asked(typed)
    assert opening == Opening(("stuck",), {})
    assert "My wine is cloudy." in screen


def test_one_subject_needs_no_question() -> None:
    """Where there is no choice nothing is asked."""
    assert asked("", {"haze": TOPICS["haze"]}) == (Opening(("haze",), {}), "")


@pytest.mark.parametrize("typed", ["stop\n", ""])
def test_leaving_at_once_is_allowed(typed: str) -> None:
    """Nothing has been kept yet, and nothing is lost."""
    with pytest.raises(Stopped):
        asked(typed)


# ---------------------------------------------------------------- own words


@pytest.fixture(scope="module")
def shipped() -> RuleBase:
    """The rules that come along."""
    return read_rule_base([HERE.parents[1] / "rules"])


def told(base: RuleBase, *typed: str) -> tuple[Opening, str]:
    """What comes of what was typed with the shipped vocabulary, and the screen as one line."""
    out = StringIO()
    page = Page(make_console(out, 80))
    opening = ask_topic(
        page, Typed(page.console, StringIO("".join(f"{line}\n" for line in typed))), base, "us"
    )
    return opening, " ".join(out.getvalue().split())


def test_words_are_shown_back_and_kept_once_confirmed(shipped: RuleBase) -> None:
    """What was heard is a short list; yes keeps all of it."""
    opening, screen = told(shipped, "ferment stuck at 1.012, temp 68, 5 gal carboy", "yes")
    assert "1 Subject: A ferment that is stuck" in screen and "Density now: 1.012" in screen
    assert opening.topics == ("stuck",)
    assert {name: opening.findings[name] for name in ("gravity_now", "wine_is_in")} == {
        "gravity_now": 1.012,
        "wine_is_in": "vessel",
    }
    assert opening.findings["cellar_temperature"] == pytest.approx(20)


def test_lines_are_dropped_by_number(shipped: RuleBase) -> None:
    """A line that was misheard is dropped; the rest stays."""
    opening, _ = told(shipped, "cloudy red wine, pH 3.6", "3")
    assert opening == Opening(("haze",), {"wine_colour": "red"})


def test_none_drops_everything_and_asks_again(shipped: RuleBase) -> None:
    """Nothing is assumed: what is not confirmed is gone, and the question stands as before."""
    opening, screen = told(shipped, "cloudy red wine", "none", "7")
    assert opening == Opening(("stuck",), {})
    assert "Nothing of that is kept" in screen


def test_findings_without_a_subject_leave_the_question_open(shipped: RuleBase) -> None:
    """Readings alone name no subject: they are kept, and the subject is asked for."""
    opening, screen = told(shipped, "pH 3.6", "yes", "haze")
    assert opening == Opening(("haze",), {"ph": 3.6})
    assert "which subject comes nearest" in screen


def test_what_was_not_said_is_not_a_no(shipped: RuleBase) -> None:
    """Where everything that fits is to be ticked, the person is asked what else does; skipping leaves it unasked."""
    said = "white film on top and flakes"
    assert told(shipped, said, "yes", "")[0].findings["looks"] == frozenset({"film_on_top", "flakes"})
    assert told(shipped, said, "yes", "1")[0].findings["looks"] == frozenset(
        {"film_on_top", "flakes", "even_veil"}
    )
    assert "looks" not in told(shipped, said, "yes", "skip")[0].findings


def test_nonsense_is_asked_again_with_a_reason(shipped: RuleBase) -> None:
    """Words that nothing is heard in are not guessed at."""
    opening, screen = told(shipped, "qwertz uiop", "pH 12", "1")
    assert opening.topics == ("cold",)
    assert "Nothing that these rules know was heard in 'qwertz uiop'." in screen
    assert "cannot be right for pH" in screen


@pytest.mark.parametrize("key", ["stop", ""])
def test_leaving_while_confirming_keeps_nothing(key: str, shipped: RuleBase) -> None:
    """Whoever leaves before confirming has said nothing."""
    with pytest.raises(Stopped):
        told(shipped, "cloudy", *([key] if key else []))


# ---------------------------------------------------------------- the real command


def answers_kept(home: Path) -> dict[str, object]:
    """The answers in the only case that was kept."""
    (file,) = (home / "cases").glob("*.yaml")
    events = yaml.safe_load(file.read_text(encoding="utf-8"))["events"] or []
    return {event["about"]: event["value"] for event in events if event["did"] == "answered"}


def piped(environment: dict[str, str], *lines: str) -> str:
    """The real command without a subject, with these lines from a pipe."""
    done = subprocess.run(
        [sys.executable, "-m", "diagnose"],
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        timeout=120,
        env=environment,
    )
    assert done.returncode in (0, 3), done.stderr
    assert done.stderr == ""
    return done.stdout


def test_piped_words_become_answers(environment: dict[str, str], home: Path) -> None:
    """The first line of a pipe may be the complaint; confirmed findings stand in the case file as answers."""
    screen = piped(
        environment, "my elderberry wine won't clear, pH 3.6", "yes", "free so2 20 ppm, ta 6.1 g/L", "stop"
    )
    assert "Kept: Free sulfur dioxide: 20 mg/L" in screen
    assert max(len(line) for line in screen.splitlines()) <= 100
    expected = {"made_from": "other_fruit", "ph": 3.6, "free_so2": 20, "titratable_acidity": 6.1}
    assert answers_kept(home) == expected


def test_back_takes_a_heard_answer_back(environment: dict[str, str], home: Path) -> None:
    """An answer that was heard is an answer like any other."""
    screen = piped(environment, "cloudy, pH 3.6", "yes", "back", "stop")
    assert "What is the pH?" in " ".join(screen.split())
    (file,) = (home / "cases").glob("*.yaml")
    assert '"did": "took_back", "about": "ph"' in file.read_text(encoding="utf-8")


Open = Callable[..., Terminal]


@pytest.fixture
def window(environment: dict[str, str]) -> Iterator[Open]:
    """Opens the command without a subject in a terminal, and leaves none running."""
    opened: list[Terminal] = []

    def open_window(columns: int) -> Terminal:
        opened.append(Terminal(environment, "--units", "us", columns=columns, subject=None))
        return opened[-1]

    yield open_window
    for one in opened:
        one.end()


@pytest.mark.parametrize("columns", [80, 120])
def test_own_words_at_a_terminal(window: Open, columns: int, home: Path) -> None:
    """A person tells the trouble, drops a line, pastes a note of readings and leaves; the screen keeps its width."""
    session = window(columns)
    seen = session.read_until("> ")
    assert "What brings you here?" in seen
    session.type("?")
    seen += (help_ := session.read_until("> "))
    assert "in a sentence or two" in " ".join(help_.split())
    session.type("popped its corks, pH 3.6, it is red wine")
    seen += (heard := session.read_until("> "))
    assert "Subject: A ferment that will not stop" in heard and "Colour of the wine: Red" in heard
    session.type("why")
    seen += session.read_until("> ")
    session.type("2")
    seen += (ticks := session.read_until("> "))
    assert "Heard: 6. What else fits?" in " ".join(ticks.split())
    session.type("")
    seen += session.read_until("> ")
    session.type("1.012, 68 F, 5 gal carboy")
    seen += (note := session.read_until("> "))
    assert "This is what was heard" in note
    session.type("yes")
    seen += (kept := session.read_until("> "))
    assert "Kept: Density now: 1.012" in kept
    session.type("stop")
    seen += session.read_rest()
    session.wait()
    kept_answers = answers_kept(home)
    assert "wine_colour" not in kept_answers
    assert kept_answers["ph"] == 3.6 and kept_answers["runaway_sign"] == ["bottles"]
    assert kept_answers["gravity_now"] == 1.012 and kept_answers["vessel_volume"] == pytest.approx(
        18.927, rel=1e-4
    )
    assert max(len(line) for line in seen.splitlines()) <= columns
