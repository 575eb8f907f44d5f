from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.casebook.store import load_case, open_case
from diagnose.knowledge.problems import RuleFilesWrong
from kept_cases import BASE, WINE, kept, state_of

GONE = (
    '- {"at": "2026-10-12T10:00:00+00:00", "did": "answered", "about": "asked_once", "value": "yes"}\n'
    '- {"at": "2026-10-12T10:01:00+00:00", "did": "answered", "about": "colour", "value": "no_such_colour"}\n'
    '- {"at": "2026-10-12T10:02:00+00:00", "did": "skipped", "about": "skipped_once"}\n'
    '- {"at": "2026-10-12T10:03:00+00:00", "did": "read", "about": "measured_once", "value": 3.0}\n'
    '- {"at": "2026-10-12T10:04:00+00:00", "did": "done", "about": "fix_of_once"}\n'
    '- {"at": "2026-10-12T10:05:00+00:00", "did": "trial_planned", "data": {"fix": "fix_of_once"}}\n'
)
"""One line of each kind that names what these rules do not know."""


def case_of(folder: Path, edition: str) -> Path:
    """A case of some answers, then lines that these rules do not know, begun under an edition of the rules."""
    path = kept(folder, *WINE)
    text = path.read_text(encoding="utf-8") + GONE
    path.write_text(text.replace(BASE.edition, edition), encoding="utf-8")
    return path


def test_what_newer_rules_no_longer_ask_is_told_kept_and_not_counted(tmp_path: Path) -> None:
    """A case outlives its rules: it opens, each thing set aside is named once, and the file keeps every byte."""
    path = case_of(tmp_path / "then", "earlier 0.1.0")
    raw = path.read_bytes()
    with open_case(path, BASE) as record:
        told = " ".join(record.notices)
        assert state_of(record.state) == {
            **state_of(load_case(kept(tmp_path / "now", *WINE), BASE)[1]),
            "answered_on": record.state.answered_on,
        }
    assert path.read_bytes() == raw
    assert "begun under the rules earlier 0.1.0" in told and "stays in the file and does not count" in told
    for name in ("asked_once", "no_such_colour", "skipped_once", "measured_once", "fix_of_once"):
        assert f"'{name}'" in told
    assert len(record.state.set_aside) == GONE.count("\n") + 1, "the planned trial lacks two things"


def test_the_same_lines_under_the_same_rules_are_mistakes(tmp_path: Path) -> None:
    """Where the rules have not changed a strange name is a slip of somebody's hand, and is refused with its line."""
    path = case_of(tmp_path, BASE.edition)
    with pytest.raises(RuleFilesWrong) as wrong:
        load_case(path, BASE)
    assert len({problem.place.line for problem in wrong.value.problems}) == GONE.count("\n")
