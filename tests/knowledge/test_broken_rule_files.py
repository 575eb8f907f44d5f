"""One mistake a file: each message is kept beside its file in `broken/`, and compared letter by letter.

To renew a message after a wording was changed on purpose, run the test, read what it shows, and write it into
the `.txt` file by hand; a message that nobody has read is not checked.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from rule_folders import BROKEN, SOUND, assert_well_said, folder_with, problems_of

FILES = sorted(BROKEN.glob("*.yaml"))
MANY = {"alias_bomb": 10}  # each of its ten anchors is named once


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place of its own for each test, so that messages show short names."""
    monkeypatch.chdir(tmp_path)
    return Path()


def test_the_sound_rule_base_is_sound() -> None:
    """The base that every broken page is added to has no mistake of its own, so each message is the page's."""
    assert problems_of(SOUND) == ()


def test_every_broken_page_has_its_message_and_every_message_its_page() -> None:
    """No message is left behind when a page goes, and no page goes unread."""
    assert len(FILES) >= 35
    assert {file.stem for file in FILES} == {file.stem for file in BROKEN.glob("*.txt")}


@pytest.mark.parametrize("page", FILES, ids=lambda page: page.stem)
def test_a_mentor_is_told_where_what_and_the_mend(page: Path, here: Path) -> None:
    """One slip gives one message, with its line, a caret under the word, and what would put it right."""
    problems = problems_of(folder_with(here, {page.name: page.read_bytes()}))
    assert len(problems) == MANY.get(page.stem, 1)
    for problem in problems:
        assert_well_said(problem)
        assert problem.text
    told = "\n".join(map(str, problems)) + "\n"
    assert told == page.with_suffix(".txt").read_text(encoding="utf-8")


def test_whether_a_cause_was_weighed_at_all_may_be_asked(here: Path) -> None:
    """A rule may wait until something is concluded of a cause: only that it be unknown cannot be asked."""
    page = (BROKEN / "concluded_asked_to_be_unknown_in_not.yaml").read_text(encoding="utf-8")
    asked = page.replace("not: {known: cause.protein_haze}", "known: cause.protein_haze")
    assert asked != page
    assert problems_of(folder_with(here, {"page.yaml": asked})) == ()


@pytest.mark.parametrize(
    ("page", "underlined"),
    [
        ("unknown_strength", "againts"),
        ("unknown_answer", "maybe"),
        ("unknown_answer_in_test", "maybe"),
        ("typo_in_key", "harm"),
        ("typo_in_nested_key", "at_lest"),
        ("calculator_parameter_unknown", "unheated"),
        ("number_test_on_a_word", "at_least"),
        ("capital_in_answer", "Yes"),
        ("bad_calculator_key", "Unheated NTU"),
        ("duplicate_key", "harms"),
        ("tag_plain", "!person"),
        ("bands_not_rising", "3.0"),
        ("number_circle", "one"),
    ],
)
def test_the_carets_stand_under_the_wrong_word(page: str, underlined: str, here: Path) -> None:
    """The word that must be changed is underlined, and no other, also inside brackets and for keys."""
    (problem,) = problems_of(folder_with(here, {"page.yaml": (BROKEN / f"{page}.yaml").read_bytes()}))
    start = problem.place.column - 1
    assert problem.text[start : start + problem.place.width] == underlined


@pytest.mark.parametrize("page", ["unknown_strength", "missing_colon", "typo_in_key", "tab_indent", "anchor"])
def test_windows_files_give_the_same_message(page: str, here: Path) -> None:
    """Line endings and the mark that Windows editors put first do not move a message."""
    text = (BROKEN / f"{page}.yaml").read_text(encoding="utf-8")
    windows = b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode()
    problems = problems_of(folder_with(here, {f"{page}.yaml": windows}))
    assert "\n".join(map(str, problems)) + "\n" == (BROKEN / f"{page}.txt").read_text(encoding="utf-8")
