"""Sentences of amateurs, and what is heard in them."""

from __future__ import annotations

from typing import Any

import pytest
from diagnose.hearing.hear import Ear
from diagnose.knowledge.rule_base import RuleBase
from rates import LOTS, read, tried

KNOWN_MISSES = {
    "sentences": {
        "stuck fermentaton, stinks of rotten eggs",
    },
    "sentences_later": set(),
    "sentences_unseen": {
        "There's a thin white layer floating on my rhubarb wine",
        "will my white wine go cloudy in warm weather after bottling",
        "dropped a thermometer in the must and it broke",
    },
}
"""Sentences whose subject is not the first one heard."""

WHOLE = {"sentences": 84, "sentences_later": 46, "sentences_unseen": 49}
"""Sentences of which subject and findings are heard as meant, no more and no less."""


@pytest.mark.parametrize("lot", LOTS)
def test_the_subject_comes_first(lot: str) -> None:
    """The subject of every sentence is heard, but for the misses that are listed; no miss is listed that is none."""
    assert {one.says for one in tried(lot) if not one.subject} == KNOWN_MISSES[lot]


@pytest.mark.parametrize("lot", LOTS)
def test_the_rate_is_the_one_told(lot: str) -> None:
    """As many sentences are heard exactly as meant as the page of validation says."""
    assert sum(one.whole for one in tried(lot)) == WHOLE[lot]


def test_there_are_enough_of_each_subject(base: RuleBase) -> None:
    """Each subject is tried with five sentences or more in the lot that the vocabulary has not seen."""
    for topic in base.topics:
        assert sum(topic in row["topic"] for row in read("sentences_unseen")) >= 5, topic
    assert sum(len(read(lot)) for lot in LOTS) >= 200


def test_every_subject_has_a_vocabulary(base: RuleBase) -> None:
    """Fifteen entries or more speak of each subject."""
    for topic in base.topics:
        entries = [entry for entry in base.heard.values() if topic in entry.topics]
        assert len(entries) >= 15, topic


@pytest.mark.parametrize("row", read("turned"), ids=lambda row: row["says"][:40])
def test_what_is_denied_is_not_heard(row: dict[str, Any], listening: Ear) -> None:
    """`No bubbles`, `not fizzy` and `never cleared` are not heard as their opposite."""
    heard = listening.hear(row["says"], "metric")
    for name, answer in row.get("never", {}).items():
        for finding in heard.findings:
            value = finding.value if isinstance(finding.value, frozenset) else {finding.value}
            assert finding.observe != name or answer not in value, finding
    assert not set(row.get("never_topics", ())) & set(heard.topics)
    assert set(row.get("holds", ())) <= set(heard.topics)
    if "topic" in row:
        assert heard.topics[:1] == (row["topic"],)


@pytest.mark.parametrize(
    ("says", "found"),
    [
        ("never added pectic enzyme in the must", {"pectic_enzyme_used": "no"}),
        ("nobody got sick", {"somebody_ill": "no"}),
        ("no rotten grapes", {"rotten_fruit": "no"}),
    ],
)
def test_a_denial_can_say_something(says: str, found: dict[str, str], listening: Ear) -> None:
    """Where the opposite is an answer of its own, a denied phrase is heard as that."""
    heard = listening.hear(says, "metric")
    assert {one.observe: one.value for one in heard.findings} == found


@pytest.mark.parametrize("wrong", ["fermentaton", "fermentatoin", "fermnetation", "fermetation"])
def test_slips_of_spelling_do_not_matter(wrong: str, listening: Ear) -> None:
    """A slip of one or two letters in a long word is read over."""
    assert "stuck" in listening.hear(f"stuck {wrong}", "metric").topics


@pytest.mark.parametrize("word", ["house", "finding", "clean", "stick"])
def test_other_words_are_not_slips(word: str, listening: Ear) -> None:
    """A sound word that is one letter from a telling one is not taken for it."""
    heard = listening.hear(f"there is a {word}", "metric")
    assert not heard.findings


def test_two_answers_to_one_question_are_not_taken(listening: Ear) -> None:
    """A wine cannot be white and red: neither is taken, and it is said."""
    heard = listening.hear("cloudy red wine and cloudy white wine", "metric")
    assert "wine_colour" not in {one.observe for one in heard.findings}
    assert any("Two answers for Colour of the wine" in remark for remark in heard.remarks)


@pytest.mark.parametrize("first", ["bottles exploding", "antifreeze got in", "got sick"])
def test_what_can_hurt_comes_first(first: str, base: RuleBase, listening: Ear) -> None:
    """However much else is said, what can hurt people is the first subject."""
    alone = listening.hear(first, "metric").topics[0]
    said = f"cloudy, won't clear, milky, flakes, hazy, crystals, film on top, turned brown, {first}"
    assert listening.hear(said, "metric").topics[0] == alone
