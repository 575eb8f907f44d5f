"""The picture of a subject in the rule book."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from diagnose.book.picture import draw_topic
from diagnose.knowledge.read import read_rule_base
from rule_folders import SOUND


def test_a_subject_without_causes_has_no_empty_frame() -> None:
    """A mentor who has only begun a subject finds no picture there until its first cause is written."""
    base = read_rule_base([SOUND])
    assert draw_topic(base, "haze") is not None
    assert draw_topic(replace(base, causes=MappingProxyType({})), "haze") is None
