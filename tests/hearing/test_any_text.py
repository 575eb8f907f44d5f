"""Whatever is typed, listening stays calm, quick and honest."""

from __future__ import annotations

import time

from diagnose.casebook.answers import read_answer
from diagnose.hearing.hear import Ear
from diagnose.hearing.words import LONGEST
from hypothesis import given, settings
from hypothesis import strategies as st
from rates import ear, shipped

WORDS = sorted(
    {word for entry in shipped().heard.values() for phrase in entry.phrases for word in phrase.split()}
)
PHRASED = st.lists(
    st.sampled_from(
        [*WORDS, "not", "no", "never", "or", "but", ",", ".", "1.012", "20 ppm", "pH", "3,5", "1,000", "-"]
    ),
    max_size=40,
).map(" ".join)
ANY = st.one_of(st.text(max_size=300), PHRASED)


@settings(max_examples=300)
@given(text=ANY)
def test_all_that_is_heard_exists(text: str) -> None:
    """Any text is heard without a fault, and what is heard are subjects, questions and answers that exist."""
    base = shipped()
    for heard in (ear().hear(text, "metric"), ear().note(text, "us")):
        assert set(heard.topics) <= set(base.topics)
        assert len(set(heard.topics)) == len(heard.topics)
        assert len({one.observe for one in heard.findings}) == len(heard.findings)
        for finding in heard.findings:
            written = sorted(finding.value) if isinstance(finding.value, frozenset) else finding.value
            assert read_answer(base.observations[finding.observe], written, "metric") == finding.value
            assert 0 < finding.score <= 100
        assert all(remark.isprintable() for remark in heard.remarks)


@settings(max_examples=50)
@given(text=ANY)
def test_the_same_words_are_heard_the_same(text: str) -> None:
    """Another ear hears the same, in the same order."""
    assert Ear(shipped()).hear(text, "metric") == ear().hear(text, "metric")


@settings(max_examples=100)
@given(text=PHRASED, sign=st.characters(categories=["Cc", "Cf"]))
def test_control_signs_are_harmless(text: str, sign: str) -> None:
    """Control signs are no words, and none of them reaches the screen."""
    heard = ear().hear(f"{sign}{text}{sign}", "metric")
    assert sign not in "".join((*heard.remarks, *(one.words for one in heard.findings)))


def test_a_long_text_is_cut_and_told() -> None:
    """Of a very long text the first part is read, and the person is told so."""
    heard = ear().hear("my wine is cloudy. " * 1000, "metric")
    assert heard.topics == ("haze",)
    assert heard.remarks == (f"Only the first {LONGEST:,} characters were read.",)


def test_the_longest_text_takes_a_moment() -> None:
    """The worst text that is read, all slips and numbers, is heard within two seconds on a slow machine."""
    text = " ".join(f"{word[:-1]}x {number}.5 ppm" for number, word in enumerate(WORDS * 3))[:LONGEST]
    began = time.perf_counter()
    ear().hear(text, "metric")
    assert time.perf_counter() - began < 2
