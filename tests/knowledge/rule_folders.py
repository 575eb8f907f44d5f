"""Rule folders for tests: the sound invented base of this directory, whole or with pages of a test's own."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

from diagnose.knowledge.problems import Problem, RuleFilesWrong
from diagnose.knowledge.read import read_rule_base

HERE = Path(__file__).parent
SOUND = HERE / "sound"
BROKEN = HERE / "broken"


def folder_with(at: Path, pages: Mapping[str, str | bytes], without: str = "") -> Path:
    """A folder `rules` holding the sound files, but the one named `without`, and the pages given."""
    rules = at / "rules"
    shutil.copytree(SOUND, rules, dirs_exist_ok=True)
    if without:
        (rules / without).unlink()
    for name, text in pages.items():
        (rules / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return rules


def problems_of(folder: Path) -> tuple[Problem, ...]:
    """Every mistake the loader finds in a folder; none if it is sound."""
    try:
        read_rule_base([folder])
    except RuleFilesWrong as wrong:
        return wrong.problems
    return ()


LEAKS = (
    "input should",
    "should have",
    "should match",
    "should be a valid",
    "instance of",
    "value error",
    "tuple",
    "dictionary",
    "constrained",
    "nonetype",
    "while parsing",
    "while scanning",
    "expected",
    "token",
    "~",
)
"""Words of the libraries underneath, which mean nothing to a mentor."""


def assert_well_said(problem: Problem) -> None:
    """A mistake has a place inside its file, says what is wrong in our words, and offers a mend."""
    place = problem.place
    assert place.file
    assert place.line >= 1
    assert place.column >= 1
    assert place.width >= 1
    assert place.column <= len(problem.text) + 1, f"the caret stands beyond the line: {problem}"
    assert problem.what.endswith((".", "?")), problem.what
    assert problem.mend.rstrip().endswith((".", "?", "…", "'').")), problem.mend
    told = problem.what.lower()
    for word in re.findall(r"'[^']*'|`[^`]*`", told):
        told = told.replace(word, "")
    assert not [leak for leak in LEAKS if leak in told], problem.what
    first, *rest = str(problem).split("\n")
    assert first.startswith(f"{place.file}:{place.line}:{place.column}: ")
    if problem.text:
        shown, carets = rest[0], rest[1]
        assert len(carets) <= len(shown) + 1
        assert set(carets.partition("| ")[2]) <= {" ", "^"}
