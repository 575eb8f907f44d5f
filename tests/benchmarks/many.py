"""The shipped rules many times over: copies of every page under new names, in one rule base.

There are two ways to grow. With `topics` each copy brings its own topics, as when new subjects are written. With
`causes` the copied causes join the topics that are there, as when more causes of one trouble are known.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from diagnose.knowledge.load import rule_files
from diagnose.knowledge.models.kinds import KINDS
from diagnose.knowledge.rule_base import KIND_FIELDS, RuleBase
from diagnose.knowledge.yaml_reader import read_file
from diagnose.shipped import shipped_folder

SHARED = ("rule_base", "words", "source", "limit", "instrument")
"""Kinds of page of which one copy serves all."""

NOT_NAMES = frozenset(
    {"quantity", "calculator", "kind", "group", "effort", "hands_on", "waiting", "unit", "behaves"}
)
"""Keys whose value is a word of the program and never the name of a page."""

CONDITIONS = frozenset({"when", "ask_when", "only_if", "offer_when"})
"""Keys that hold a condition."""

COPY = re.compile(r"_x\d+$")
"""How the name of a copy ends."""

Grow = Literal["topics", "causes"]


def many(base: RuleBase, times: int, grow: Grow) -> RuleBase:
    """The rule base with so many copies of its pages, the first under the old names."""
    items = _items()
    pages: dict[str, dict[str, Any]] = {name: dict(getattr(base, name)) for name in KIND_FIELDS.values()}
    places = dict(base.places)
    names = {item[kind] for kind, item in items} - {
        word for table in base.words.values() for word in table.values
    }
    if grow == "causes":
        names -= set(base.topics)
    for copy in range(2, times + 1):
        renamed = {name: f"{name}_x{copy}" for name in names}
        for kind, item in items:
            if grow == "causes" and kind == "topic":
                continue
            twin = _twin(item, renamed)
            pages[KIND_FIELDS[kind]][twin[kind]] = KINDS[kind].model_validate(twin)
            places[kind, twin[kind]] = base.places[kind, item[kind]]
    return dataclasses.replace(base, places=places, **pages)  # type: ignore[arg-type]


def _items() -> list[tuple[str, dict[str, Any]]]:
    found = []
    for file in rule_files([Path(shipped_folder("rules"))]):
        value = read_file(file).value
        for item in value if isinstance(value, list) else [value]:
            if item and (kind := next(iter(item))) not in SHARED:
                found.append((kind, item))
    return found


def _twin(value: Any, renamed: Mapping[str, str], key: str = "", asks: bool = False) -> Any:
    """A value with every name of a page changed, wherever it stands; `asks` is true inside a condition.

    Only there are the keys names of facts. Elsewhere they are keys of the rule language.
    """
    if isinstance(value, dict):
        return {
            (_name(inner, renamed) if asks else inner): _twin(
                part, renamed, inner, asks or inner in CONDITIONS
            )
            for inner, part in value.items()
        }
    if isinstance(value, list):
        return [_twin(part, renamed, key, asks) for part in value]
    return _name(value, renamed) if isinstance(value, str) and key not in NOT_NAMES else value


def _name(word: str, renamed: Mapping[str, str]) -> str:
    before, point, name = word.rpartition(".")
    return f"{before}{point}{renamed[name]}" if name in renamed and " " not in word else word
