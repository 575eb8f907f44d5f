"""Plain values as a person would write them in a rule file."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping, Sequence
from typing import Any

from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.yaml_reader import read_text

WIDEST = 110
"""Columns of a rule file."""


def written(item: Mapping[str, Any], entry: bool = False) -> str:
    """The lines of an item; with `- ` first where it is the `entry` of a list."""
    lines = _lines(item)
    return "\n".join(
        ("  " if entry and at else "- " if entry else "") + line for at, line in enumerate(lines)
    )


def in_line(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {in_line(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "[" + ", ".join(map(in_line, value)) + "]"
    if isinstance(value, str):
        return value if _reads(f"k: [{value}]") == {"k": [value]} else json.dumps(value, ensure_ascii=False)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _lines(item: Mapping[str, Any]) -> list[str]:
    found: list[str] = []
    for key, value in item.items():
        if isinstance(value, str):
            found += _text(key, value)
        elif isinstance(value, int | float) or (
            len(f"{key}: {in_line(value)}") <= WIDEST - 30 and _flat(value)
        ):
            found.append(f"{key}: {in_line(value)}")
        else:
            found += [f"{key}:", *(f"  {line}" for line in _inner(value))]
    return found


def _inner(value: Mapping[str, Any] | Sequence[Any]) -> list[str]:
    if isinstance(value, Mapping):
        return _lines(value)
    found: list[str] = []
    for entry in value:
        if isinstance(entry, Mapping):
            found += written(entry, entry=True).splitlines()
        else:
            found += [f"- {line}" if not at else line for at, line in enumerate(_sentence(str(entry)))]
    return found


def _flat(value: Any) -> bool:
    """Whether it reads well in brackets: words and numbers, and no sentence."""
    inner = value.values() if isinstance(value, Mapping) else value
    return all(
        _flat(one) if isinstance(one, list | tuple | Mapping) else " " not in str(one) for one in inner
    )


def _text(key: str, value: str) -> list[str]:
    first, *more = _sentence(value, len(key) + 2)
    return [f"{key}: {first}", *more]


def _sentence(value: str, before: int = 2) -> list[str]:
    """A text on one line, or folded over several that are moved in by two."""
    value = " ".join(value.split())
    if before + len(value) <= WIDEST - 6:
        plain = _reads(f"k: {value}") == {"k": value}
        return [value if plain else json.dumps(value, ensure_ascii=False)]
    return [">-", *(f"  {line}" for line in textwrap.wrap(value, WIDEST - 10, break_on_hyphens=False))]


def _reads(text: str) -> Any:
    """What a rule file with this text holds; nothing where it is none."""
    try:
        return read_text(text, "").value
    except RuleFilesWrong:
        return None
