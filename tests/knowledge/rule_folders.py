"""Rule folders for tests: the sound invented base of this directory, whole or with pages of a test's own."""

from __future__ import annotations

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
