"""One letter lost, added or changed in a good file: a good load or a mistake well told, never a traceback."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from hypothesis import example, given, settings
from hypothesis import strategies as st
from rule_folders import SOUND, assert_well_said, folder_with

PAGES = ("observations.yaml", "conclusions.yaml", "pages.yaml")
TEXTS = {name: (SOUND / name).read_text(encoding="utf-8") for name in (*PAGES, "words.yaml")}

# Signs with a meaning in YAML or in rule files come often; any other sign comes too.
SIGNS = st.one_of(
    st.sampled_from(
        list(" \n\t\r:-,.[]{}'\"#&*!|>%@`?\\~=<0159_aZ\u00a0\u2019\u201c\ufeff\u2028\x00\x07\x85")
    ),
    st.characters(exclude_categories=["Cs"]),
)


@pytest.fixture(scope="module")
def folder() -> Iterator[Path]:
    """One folder for all examples; each writes the one file it damages and puts it back."""
    with tempfile.TemporaryDirectory() as at:
        yield folder_with(Path(at), {})


def read_damaged(folder: Path, name: str, text: str) -> None:
    """Load the folder with one file changed, and check whatever comes of it."""
    file = folder / name
    file.write_bytes(text.encode())
    try:
        base = read_rule_base([folder])
    except RuleFilesWrong as wrong:
        assert wrong.problems
        for problem in wrong.problems:
            assert_well_said(problem)
    else:
        assert isinstance(base, RuleBase)
    finally:
        file.write_bytes(TEXTS[name].encode())


@settings(max_examples=250)
@given(
    name=st.sampled_from(sorted(TEXTS)),
    how=st.sampled_from(["lost", "added", "changed"]),
    where=st.floats(0, 1, exclude_max=True),
    sign=SIGNS,
)
@example(name="pages.yaml", how="changed", where=0.0, sign="\x00")
@example(name="words.yaml", how="added", where=0.0, sign="\ufeff")
def test_one_wrong_letter_never_ends_in_a_traceback(
    folder: Path, name: str, how: str, where: float, sign: str
) -> None:
    """Whatever key a wet finger hits, the mentor gets a place, a sentence and a mend."""
    text = TEXTS[name]
    at = int(where * len(text))
    put = "" if how == "lost" else sign
    read_damaged(folder, name, text[:at] + put + text[at if how == "added" else at + 1 :])


@settings(max_examples=60)
@given(name=st.sampled_from(sorted(TEXTS)), where=st.floats(0, 1), byte=st.integers(0, 255))
def test_one_wrong_byte_never_ends_in_a_traceback(folder: Path, name: str, where: float, byte: int) -> None:
    """A file half saved by another program is refused as calmly as a slip of the pen."""
    raw = TEXTS[name].encode()
    at = int(where * (len(raw) - 1))
    file = folder / name
    file.write_bytes(raw[:at] + bytes([byte]) + raw[at + 1 :])
    try:
        read_rule_base([folder])
    except RuleFilesWrong as wrong:
        for problem in wrong.problems:
            assert_well_said(problem)
    finally:
        file.write_bytes(raw)


@pytest.mark.parametrize("name", PAGES)
def test_a_line_lost_never_ends_in_a_traceback(folder: Path, name: str) -> None:
    """A line deleted by mistake is a mistake well told, or a page that still stands: each line is tried."""
    lines = TEXTS[name].splitlines(keepends=True)
    for number in range(0, len(lines), 2):
        read_damaged(folder, name, "".join(lines[:number] + lines[number + 1 :]))


# Values of every shape, put in the place of every value of a page.
SHAPES = (
    "",
    "true",
    "12",
    "1.5",
    "-1",
    "[]",
    "[a, b]",
    "[[a]]",
    "{}",
    "{a: b}",
    "Two words",
    "a__b",
    "'3,5'",
    "~",
)


@pytest.mark.parametrize("name", PAGES)
def test_a_value_of_another_shape_never_ends_in_a_traceback(folder: Path, name: str) -> None:
    """A list where a word belongs, a number where a list belongs: whatever the key, the mend is told."""
    lines = TEXTS[name].splitlines()
    for number, line in enumerate(lines):
        key, colon, _ = line.partition(": ")
        if colon and not line.startswith("#"):
            shape = SHAPES[number % len(SHAPES)]
            read_damaged(folder, name, "\n".join([*lines[:number], f"{key}: {shape}", *lines[number + 1 :]]))
