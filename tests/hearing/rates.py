"""How often a sentence is heard as its writer meant it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from diagnose.engine.facts import Value
from diagnose.hearing.hear import Ear
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase

HERE = Path(__file__).parent
LOTS = {
    "sentences": "written before the vocabulary",
    "sentences_later": "the vocabulary was widened with their help",
    "sentences_unseen": "written after the vocabulary, which was not changed for them",
}


@dataclass(frozen=True)
class Tried:
    """One sentence: whether its subject came first, and whether exactly the meant findings were heard as well."""

    says: str
    subject: bool
    whole: bool
    meant: int
    wrong: int
    """Findings heard that were not meant."""


@cache
def shipped() -> RuleBase:
    """The rules that come along."""
    return read_rule_base([HERE.parents[1] / "rules"])


@cache
def ear() -> Ear:
    """The ear of the shipped rules."""
    return Ear(shipped())


def read(name: str) -> list[dict[str, Any]]:
    """A file of sentences."""
    listed: list[dict[str, Any]] = yaml.safe_load((HERE / f"{name}.yaml").read_text(encoding="utf-8"))
    return listed


def tried(lot: str) -> Iterator[Tried]:
    """Every sentence of a lot."""
    for row in read(lot):
        heard = ear().hear(row["says"], "metric")
        first = row["topic"] if isinstance(row["topic"], list) else [row["topic"]]
        got = {one.observe: one.value for one in heard.findings}
        meant = row["findings"]
        right = {name for name, value in got.items() if name in meant and _same(value, meant[name])}
        subject = heard.topics[:1] != () and heard.topics[0] in first
        whole = subject and right == set(got) == set(meant)
        yield Tried(row["says"], subject, whole, len(meant), len(set(got) - right))


def _same(value: Value, meant: object) -> bool:
    if isinstance(value, frozenset):
        return isinstance(meant, list) and value == frozenset(meant)
    if isinstance(value, float):
        # Meant values stand in the file with as many digits as a person reads off.
        return isinstance(meant, int | float) and abs(value - meant) <= 0.005
    return value == meant


def rates() -> list[str]:
    """The figures as lines of a table."""
    lines = []
    for lot, how in LOTS.items():
        all_ = [*tried(lot)]
        subject, whole = sum(one.subject for one in all_), sum(one.whole for one in all_)
        meant, wrong = sum(one.meant for one in all_), sum(one.wrong for one in all_)
        lines.append(f"| `{lot}.yaml` | {how} | {len(all_)} | {subject} | {whole} | {meant} | {wrong} |")
    return lines
