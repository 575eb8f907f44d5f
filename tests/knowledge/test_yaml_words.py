"""What a word or a number in a rule file becomes, and how hostile files are refused."""

from __future__ import annotations

import time
import tracemalloc
from typing import Any

import pytest
from diagnose.bounds import DEEPEST, RULE_FILE
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.yaml_reader import MOST_REFUSED, read_text
from hypothesis import given
from hypothesis import strategies as st
from rule_folders import BROKEN, assert_well_said


def refused(text: str) -> RuleFilesWrong:
    """The mistakes of a text; fails if it has none."""
    with pytest.raises(RuleFilesWrong) as caught:
        read_text(text, "rules/page.yaml")
    for problem in caught.value.problems:
        assert_well_said(problem)
    return caught.value


WORDS = """yes no on off y n Yes NO On ~ 3:1 12:30 012 08 0o12 0x1F 1_000 1. .5 +3 2024-01-02 .nan .inf -.inf
    1,5 True FALSE NULL Null 1e 1e3e3 -01 --1 1.2.3 1e3.5 ="""


@pytest.mark.parametrize("word", WORDS.split())
def test_words_stay_words(word: str) -> None:
    """Answers, ratios, times and dates are what a person wrote, not what YAML 1.1 makes of them."""
    assert read_text(f"a: {word}\n", "f").value == {"a": word}
    assert read_text(f"[{word!r}]\n", "f").value == [word]
    if "," not in word:
        assert read_text(f"{{{word}: 1}}\n", "f").value == {word: 1}


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("0", 0),
        ("7", 7),
        ("-20", -20),
        ("3.5", 3.5),
        ("-0.5", -0.5),
        ("1e3", 1000.0),
        ("1E3", 1000.0),
        ("1e-2", 0.01),
        ("1.5e+2", 150.0),
        ("0.0", 0.0),
        ("true", True),
        ("false", False),
        ("null", None),
        ("", None),
        ("'12'", "12"),
        ('"true"', "true"),
        ("999999999999999", 999999999999999),
        ("9999999999999999", "9999999999999999"),  # past any number of a cellar; never a slow or huge integer
    ],
)
def test_plain_numbers_are_numbers(written: str, value: Any) -> None:
    """Numbers are decimal, with a point; quotes make words of them; true, false and null are kept apart."""
    read = read_text(f"a: {written}\n", "f").value["a"]
    assert read == value
    assert type(read) is type(value)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_number_is_read_back_as_it_was_written(number: float) -> None:
    """No figure changes on its way from a file, whatever its size or sign."""
    read = read_text(f"a: {number!r}\n", "f").value["a"]
    assert read == number
    assert isinstance(read, float)


@given(st.integers(-(10**15) + 1, 10**15 - 1))
def test_every_whole_number_is_read_back(number: int) -> None:
    """Whole numbers are never taken for octal, for times or for words."""
    assert read_text(f"- {number}\n", "f").value == [number]


@given(
    st.text(
        st.characters(min_codepoint=0x20, max_codepoint=0x2FFF, exclude_characters="\x7f\x85\u2028\u2029")
    )
)
def test_quoted_words_are_read_back_as_they_were_written(words: str) -> None:
    """What stands in quotes stays as it is, unless it holds signs that cannot be seen, which are refused."""
    quoted = "'" + words.replace("'", "''") + "'"
    if any(0x7F <= ord(sign) < 0xA0 for sign in words):
        assert "invisible character" in str(refused(f"a: {quoted}\n"))
    else:
        assert read_text(f"a: {quoted}\n", "f").value == {"a": words}


def test_places_are_those_of_the_written_words() -> None:
    """Every key and value knows its line and column, counted from one, also past letters with accents."""
    document = read_text("- trüb: {é: [a,  bb]}\n  'x y': >\n    long\n", "f")
    assert document.value == [{"trüb": {"é": ["a", "bb"]}, "x y": "long\n"}]
    at = {path: (place.line, place.column, place.width) for path, place in document.values.items()}
    assert at[0, "trüb", "é", 1] == (1, 18, 2)
    assert at[0, "trüb", "é"] == (1, 13, 8)
    assert at[0, "x y"] == (2, 10, 1)
    keys = {path: (place.line, place.column, place.width) for path, place in document.keys.items()}
    assert keys == {(0, "trüb"): (1, 3, 4), (0, "trüb", "é"): (1, 10, 1), (0, "x y"): (2, 3, 5)}


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "{? "])
def test_two_thousand_levels_are_refused_at_once(opening: str) -> None:
    """A file nested beyond sense is refused at the level where sense ends, without using up the machine."""
    began = time.perf_counter()
    wrong = refused(opening * 2000)
    assert time.perf_counter() - began < 1
    assert "nested" in wrong.problems[-1].what


def test_nesting_up_to_the_limit_is_read() -> None:
    """The limit is where it says it is."""
    assert read_text("[" * DEEPEST + "]" * DEEPEST, "f").value is not None
    refused("[" * (DEEPEST + 1) + "]" * (DEEPEST + 1))


def test_an_alias_bomb_is_refused_before_it_unfolds() -> None:
    """Three hundred bytes that stand for a billion words cost no more time and memory than three hundred bytes."""
    text = (BROKEN / "alias_bomb.yaml").read_text(encoding="utf-8")
    tracemalloc.start()
    try:
        began = time.perf_counter()
        str(refused(text))
        assert time.perf_counter() - began < 1
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize(
    "text",
    [
        "a: [" + ", ".join(f"&x{n} y" for n in range(40_000)) + "]\n",
        "{" + ", ".join(["a: 1"] * 60_000) + "}\n",
        "a: " + "x" * (RULE_FILE.size - 10) + ": y: z\n",
        "- &a [*a]\n" * 40_000,
        "--- a\n" * 60_000,
        "\x07" * RULE_FILE.size,
    ],
    ids=["anchors", "keys", "one long line", "loops", "documents", "bells"],
)
def test_a_file_full_of_mistakes_gives_a_short_list(text: str) -> None:
    """The wrong file in the folder does not flood the screen."""
    began = time.perf_counter()
    wrong = refused(text)
    assert len(wrong.problems) <= MOST_REFUSED
    assert len(str(wrong)) < 20_000
    assert time.perf_counter() - began < 5


def test_control_signs_never_reach_the_screen() -> None:
    """A file cannot move the cursor or colour the screen through a message, not even by an escape in quotes."""
    told = str(refused('"\\e[31m\\u0007 x": 1\n"\\e[31m\\u0007 x": 2\n'))
    assert told.replace("\n", "").isprintable()


def test_mistakes_before_a_break_are_not_lost() -> None:
    """An anchor and, further down, a bracket left open are told together."""
    wrong = refused("a: &x b\nc: [d\n")
    assert [problem.place.line for problem in wrong.problems] == [1, 2]
