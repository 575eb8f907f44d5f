"""The name that was probably meant."""

from __future__ import annotations

import time

import pytest
from diagnose.knowledge.problems import LONGEST, MOST_LISTED, nearest, quoted, slip
from hypothesis import given
from hypothesis import strategies as st

TRADE = ("bentonite", "gelatin", "heat_test", "hot_glass", "pectin_haze", "protein_haze", "strongly_against")


@given(
    word=st.sampled_from(TRADE), at=st.integers(0, 40), how=st.sampled_from(["lost", "doubled", "swapped"])
)
def test_one_slip_in_a_name_leads_back_to_it(word: str, at: int, how: str) -> None:
    """A letter lost, doubled or swapped with the next still finds the name, whichever letter it is."""
    at %= len(word) - 1
    slipped = {
        "lost": word[:at] + word[at + 1 :],
        "doubled": word[: at + 1] + word[at:],
        "swapped": word[:at] + word[at + 1] + word[at] + word[at + 2 :],
    }[how]
    assert nearest(slipped, TRADE).startswith(f"Did you mean '{word}'?")


def test_capitals_do_not_hide_the_name() -> None:
    """A name in capitals is still the name."""
    assert nearest("BENTONITE", TRADE).startswith("Did you mean 'bentonite'?")


def test_when_nothing_is_near_the_known_names_are_told() -> None:
    """Without a likely name the mentor gets the list, or the head of a long one, or is told there is none."""
    assert nearest("zzz", ["b", "a"]) == "Known: a, b."
    many = [f"word_{number:02}" for number in range(MOST_LISTED + 1)]
    assert nearest("zzz", many) == f"Known are, among 16: {', '.join(many[:MOST_LISTED])}, …"
    assert nearest("wrod_07", many) == "Did you mean 'word_07'?"
    assert "None is written" in nearest("zzz", [])


def test_a_word_as_long_as_a_file_costs_nothing() -> None:
    """Half a megabyte in the place of a name is shortened, not compared letter by letter."""
    began = time.perf_counter()
    word = "bentonit" * 60_000
    assert nearest(word, TRADE)
    assert len(quoted(word)) <= LONGEST + 3
    assert slip(word) == ""
    assert time.perf_counter() - began < 1


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("3,5", "3.5"),
        (".5", "0.5"),
        ("-.5", "-0.5"),
        ("5.", "5"),
        ("+5", "5"),
        ("007", "7"),
        ("a\u00a0b", "space bar"),
        ("“a”", "typographic"),
        (True, "yes or no"),
    ],
)
def test_slips_that_are_hard_to_see_have_their_own_mend(written: object, hint: str) -> None:
    """A decimal comma, a non-breaking space or a curly quote is named for what it is."""
    assert hint in slip(written)


@pytest.mark.parametrize(
    "written", ["bentonite", "3.5", "0.5", "0", "-1", "1,000,000", "3,x", "", 3, None, []]
)
def test_ordinary_words_have_no_slip(written: object) -> None:
    """No mend is invented for a word that has nothing odd about it."""
    assert slip(written) == ""
