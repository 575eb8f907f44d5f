"""The guided tour: in a pipe it goes through, at a terminal it waits, and its words stand in the case file."""

from __future__ import annotations

import yaml
from diagnose.shipped import shipped_folder
from terminal import Terminal

CASE = shipped_folder("cases") / "haze" / "demonstration.yaml"
STOPS = yaml.safe_load(CASE.read_text(encoding="utf-8"))["demonstration"]["tour"]["stops"]


def flat(text: str) -> str:
    """The text as one line."""
    return " ".join(text.split())


def test_in_a_pipe_every_stop_is_told_in_its_order_without_waiting(run, home) -> None:
    """Each stop comes where the file puts it, the screens it speaks of are above it, and nothing is kept."""
    done = run("demo", "--tour")
    assert done.returncode == 0, done.stderr
    text = flat(done.stdout)
    at = 0
    for number, stop in enumerate(STOPS, 1):
        head = f"Tour {number} of {len(STOPS)} · {stop['title']}"
        assert head in text[at:], stop["title"]
        at = text.index(head, at)
        assert flat(stop["says"]) in text[at:] and f"> {stop['before']}" in text[at:]
    above = {
        stop["title"]: before
        for stop, before in zip(STOPS, text.split("Tour ")[1:], strict=False)
        for before in [text[: text.index(f"· {stop['title']} {flat(stop['says'])[:20]}")]]
    }
    assert "What colour is the wine" in above["A question"]
    assert above["How to find out"].rstrip().rpartition("> ?")[2].startswith(" How to find out")
    assert "What each answer would change" in above["Why"]
    assert "Locked until a test confirms it" in above["The result"]
    assert "confirmed" in above["The plan"].rpartition("What is probably wrong")[2]
    assert "Bench trial" in above["The trial"] and "control" in above["The trial"]
    assert f"will be kept in {home / 'cases'}" in text and not (home / "cases").exists()
    assert "Enter goes on" not in text


def test_at_a_terminal_it_waits_for_enter_and_stop_leaves(environment: dict[str, str]) -> None:
    """Enter shows the next screen; `stop` ends the tour at once, and that is no mistake."""
    session = Terminal(environment, "demo", "--tour", columns=60)
    try:
        wait = "Enter goes on, stop leaves: "
        first = session.read_until(wait)
        session.type("")
        second = session.read_until(wait)
        assert "Tour 1 of" in first and "Tour 2 of" in second and "Tour 2 of" not in first
        assert max(len(line) for line in (first + second).splitlines()) <= 60
        session.type("stop")
        assert "Tour" not in session.read_rest(), "nothing more is shown of it"
        assert session.wait() == 0
    finally:
        session.end()


def test_the_plain_demonstration_knows_nothing_of_the_tour(run) -> None:
    """It plays as ever: no stops, no slip of the finger, and it ends in a plan."""
    said = run("demo").stdout
    assert "Tour" not in said and "> back" not in said and "What to do, in this order" in said
