"""No word of the trade without its explanation a line away: at any prompt, outside, and in a cellar's own words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ready_start import Run

PECTIN = "pectin: The gelling matter of fruit."


def test_a_word_is_explained_and_the_question_stays_open(run: Run) -> None:
    """Asked in any usual way, at the question and again at the result; the next answer still answers the question."""
    lines = [
        "white",
        "What is the pectin?",
        "what does YAN mean",
        "what are lees",
        "grapes",
        "enough",
        "what is pectin",
    ]
    screen = run(lines=lines).stdout
    words = " ".join(screen.split())
    assert words.count(PECTIN) == 2
    assert "YAN: The nitrogen in a must" in words and "lees: The sediment" in words
    assert words.index("what are lees") < words.index("Kept: Grapes")


def test_the_question_says_that_its_word_is_explained(run: Run) -> None:
    """Who meets pectin for the first time is told what to type."""
    words = " ".join(run(lines=["white"]).stdout.split())
    assert "Type: what is pectin" in words


def test_a_word_nearly_right_finds_its_neighbour(run: Run) -> None:
    """At the question as well as outside."""
    assert "It has turbidity." in run(lines=["what is turbidty"]).stdout
    outside = run("glossary", "turbidty")
    assert outside.returncode == 2 and "It has turbidity." in outside.stderr


def test_outside_every_word_is_listed_and_each_can_be_asked(run: Run) -> None:
    """One word, or all of them."""
    one = run("glossary", "ntu")
    assert one.returncode == 0 and "NTU: A unit of turbidity, read with a meter." in one.stdout
    assert "pectin: The gelling matter of fruit." in " ".join(run("glossary").stdout.split())


def test_a_mentor_adds_a_word(run: Run, home: Path) -> None:
    """A page in the cellar's own folder is a word of the glossary."""
    own = home / "own"
    own.mkdir()
    (own / "base.yaml").write_text("rule_base: ours\nversion: 0.1.0\nabout: Our cellar.\n", encoding="utf-8")
    (own / "words.yaml").write_text("word: toast\ncalled: [toast]\nmeans: Burnt oak.\n", encoding="utf-8")
    assert "toast: Burnt oak." in run("--own", str(own), "glossary", "toast").stdout
