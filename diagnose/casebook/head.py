"""The head of a case file changed in its text, so that everything else in it stays letter for letter."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from diagnose.bounds import CASE_FILE
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.yaml_reader import read_text
from diagnose.plain_text import without_controls

from .held import CannotKeep

LONGEST_NAME = 120
"""Letters in a title or in the name of a wine."""

_BOM = b"\xef\xbb\xbf"


def plain_name(text: str, what: str) -> str:
    """A title or the name of a wine, as it is kept. Raises CannotKeep for none, or one that is no name but a story."""
    name = " ".join(without_controls(text).split())
    if not name:
        raise CannotKeep(f"{what} cannot be empty; give it a few words.")
    if len(name) > LONGEST_NAME:
        raise CannotKeep(f"{what} has {len(name)} letters; {LONGEST_NAME} are the most.")
    return name


def as_line(value: Any) -> str:
    """A value as one line that is both JSON and YAML, in whatever words it came: both can read it again."""
    return without_controls(json.dumps(value, ensure_ascii=False))


def with_head(raw: bytes, changes: Mapping[str, Any], path: Path) -> bytes:
    """The bytes of a case file with these keys of its head set.

    Raises CannotKeep when the file is written in a way in which that cannot be done without touching anything else.
    """
    mark = _BOM if raw.startswith(_BOM) else b""
    text = raw[len(mark) :].decode("utf-8")
    before, changed = read_text(text, str(path), CASE_FILE).value, text
    for key, value in changes.items():
        changed = _with_key(changed, key, value)
    try:
        after = read_text(changed, str(path), CASE_FILE).value
    except RuleFilesWrong:
        after = None
    if after != {**before, **changes}:
        keys = ", ".join(f"`{key}:`" for key in changes)
        raise CannotKeep(f"{path} cannot be changed here; set {keys} in it by hand. It stays as it was.")
    return mark + changed.encode()


def _with_key(text: str, key: str, value: Any) -> str:
    lines = re.split("(?<=\n)", text)
    end = "\r\n" if lines[0].endswith("\r\n") else "\n"
    written = f"{key}: {as_line(value)}{end}"
    for at, line in enumerate(lines):
        if re.match(rf"{key} *:", line):
            # A value may go on in indented lines.
            after = at + 1
            while after < len(lines) and lines[after][:1] in (" ", "\t"):
                after += 1
            return "".join([*lines[:at], written, *lines[after:]])
    events = next((at for at, line in enumerate(lines) if line.startswith("events:")), len(lines))
    return "".join([*lines[:events], written, *lines[events:]])
