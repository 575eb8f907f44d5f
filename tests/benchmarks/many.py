"""The shipped rules many times over: copies of every page under new names, in one rule base.

There are three ways to grow. With `topics` each copy brings its own topics, as when new subjects are written. With
`causes` the copied causes join the topics that are there, each with questions of its own. With `rows` they join them
and speak through the questions that are there, so that one answer speaks of all of them, and all are weighed together.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml
from diagnose.knowledge.load import rule_files
from diagnose.knowledge.models.kinds import KINDS
from diagnose.knowledge.rule_base import KIND_FIELDS, RuleBase
from diagnose.knowledge.yaml_reader import read_file
from diagnose.shipped import shipped_folder

SHARED = ("rule_base", "words", "source", "limit", "instrument", "gates", "small_words", "wording")
"""Kinds of page of which one copy serves all."""

BESIDE = ("topic",)
"""Kinds that are not copied where the causes join the topics that are there."""

OBSERVED = (*BESIDE, "observe", "state", "derive", "test", "heard", "clash", "tracked", "word")
"""Kinds that are not copied where the causes speak through the questions that are there."""

NOT_NAMES = frozenset(
    {"quantity", "calculator", "kind", "group", "effort", "hands_on", "waiting", "unit", "behaves"}
    | {"name", "answers", "is", "criterion", "limit_of"}
)
"""Keys whose value is never the name of a page: words of the program, answers, and names within a page."""

CONDITIONS = frozenset({"when", "ask_when", "only_if", "offer_when"})
"""Keys that hold a condition."""

ANSWERED = frozenset({"findings", "answers"})
"""Keys of a mapping to answers."""

NOT_FACTS = frozenset({"all", "any", "not", "known", "unknown"})
"""Keys of a condition that are not facts; under `known` and `unknown` stand names of facts, else answers."""

NEVER_NAMED = ("heard", "word", "rule", "loss", "accepted", "order", "apart", "foreseen")
"""Kinds whose pages no other page names; their names are often words that mean something else elsewhere."""

KEPT = ("dose_kept_as", "strength_kept_as")
"""Keys of the questions that keep what the trial of a fix found; no two fixes may share them."""

COPY = re.compile(r"_x\d+$")
"""How the name of a copy ends."""

Grow = Literal["topics", "causes", "rows"]
Item = tuple[Path, str, dict[str, Any]]
"""A page as it is written, with its file and its kind."""

_LEFT: Mapping[Grow, tuple[str, ...]] = {"topics": (), "causes": BESIDE, "rows": OBSERVED}


def many(base: RuleBase, times: int, grow: Grow) -> RuleBase:
    """The rule base with so many copies of its pages, the first under the old names; nothing is read or checked."""
    pages: dict[str, dict[str, Any]] = {name: dict(getattr(base, name)) for name in KIND_FIELDS.values()}
    places = dict(base.places)
    for _, _, kind, twin in copies(times, grow):
        pages[KIND_FIELDS[kind]][twin[kind]] = KINDS[kind].model_validate(twin)
        places[kind, twin[kind]] = base.places[kind, COPY.sub("", twin[kind])]
    return dataclasses.replace(base, places=places, **pages)  # type: ignore[arg-type]


def write_many(folder: Path, times: int, grow: Grow) -> None:
    """The same as rule files: those that ship, and for each file one of each copy."""
    shipped = Path(shipped_folder("rules"))
    written: dict[Path, list[dict[str, Any]]] = {}
    for file, copy, _, twin in copies(times, grow):
        name = file.relative_to(shipped)
        written.setdefault(folder / f"x{copy}" / name, []).append(twin)
    for file in rule_files([shipped]):
        target = folder / "x1" / file.relative_to(shipped)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(file.read_bytes())
    for target, twins in written.items():
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(
            yaml.dump(twins, Dumper=_DUMPER, allow_unicode=True, sort_keys=False, width=120), encoding="utf-8"
        )


_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def copies(times: int, grow: Grow) -> Iterator[tuple[Path, int, str, dict[str, Any]]]:
    """Each page of each copy but the first: its file, the number of the copy, its kind, and what is written."""
    items, left = as_written(), _LEFT[grow]
    words = {word for _, kind, item in items if kind == "words" for word in item["values"]}
    kept = {name for _, _, item in items for name in _kept(item)}
    ours = [
        (file, kind, item)
        for file, kind, item in items
        if kind not in SHARED and (kind not in left or (item[kind] in kept and kind == "observe"))
    ]
    names = {item[kind] for _, kind, item in ours if kind not in NEVER_NAMED} - words
    for copy in range(2, times + 1):
        renamed = {name: f"{name}_x{copy}" for name in names}
        for file, kind, item in ours:
            twin = {**_twin(item, renamed), kind: f"{item[kind]}_x{copy}"}
            yield file, copy, kind, _said_apart(kind, twin, copy)


@cache
def as_written() -> tuple[Item, ...]:
    """Every page that ships, as it stands in its file."""
    found: list[Item] = []
    for file in rule_files([Path(shipped_folder("rules"))]):
        value = read_file(file).value
        found += (
            (file, next(iter(item)), item) for item in (value if isinstance(value, list) else [value]) if item
        )
    return tuple(found)


def _kept(value: Any) -> Iterator[str]:
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in inside:
        if key in KEPT:
            yield inner
        yield from _kept(inner)


def _said_apart(kind: str, twin: dict[str, Any], copy: int) -> dict[str, Any]:
    """People must be able to say which copy they mean: no spelling on two pages, no lone number for two questions."""
    for key in ("phrases", "called"):
        if kind in ("heard", "word") and key in twin:
            twin[key] = [f"{says} x{copy}" for says in twin[key]]
    if kind == "heard":
        twin.pop("alone", None)
    return twin


def _twin(value: Any, renamed: Mapping[str, str], key: str = "", asks: bool = False) -> Any:
    """A value with every name of a page changed, wherever it stands; `asks` is true inside a condition.

    Only there, and where words are heard, are the keys names of facts. Elsewhere they are keys of the rule language.
    """
    if isinstance(value, dict):
        keys_are_facts = asks or key == "findings"
        return {
            (_name(inner, renamed) if keys_are_facts and inner not in NOT_FACTS else inner): _twin(
                part,
                renamed,
                "answers" if key in ANSWERED and inner != "observation" else inner,
                asks or inner in CONDITIONS,
            )
            for inner, part in value.items()
        }
    if isinstance(value, list):
        return [_twin(part, renamed, key, asks) for part in value]
    named = key in NOT_FACTS if asks else key not in NOT_NAMES
    return _name(value, renamed) if isinstance(value, str) and named else value


def _name(word: str, renamed: Mapping[str, str]) -> str:
    before, point, name = word.rpartition(".")
    return f"{before}{point}{renamed[name]}" if name in renamed and " " not in word else word
