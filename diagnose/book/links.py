"""Names that lead to their pages, and conditions as sentences in which each fact leads to its page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from diagnose.engine.truth import Branch, branches
from diagnose.knowledge.conditions import Condition
from diagnose.knowledge.models.facts import Observation, State
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.words import branch_clauses, cause_name, fact_name, first_down, observable_name

from .told import Parts, Piece, Pieces, Ways

_PAGES = {"cause": "causes", "test": "tests", "fix": "fixes", "caution": "cautions", "topic": "topics"}
"""Kinds of pages that a fact can be about, with their place in the rule base."""

_OF_A_FINDING = ("band", "question")


def anchor(kind: str, name: str) -> str:
    """The place of a page in the book. Ids hold no hyphen, so that two never share a place."""
    return f"{kind}-{name}".replace("_", "-")


class Linker:
    """Knows where each page stands. On a sheet by itself no name leads anywhere."""

    def __init__(self, base: RuleBase, linked: bool = True) -> None:
        self.base, self.linked = base, linked

    def to(self, kind: str, name: str) -> str:
        """The anchor of a page."""
        return anchor(kind, name) if self.linked else ""

    def causes(self, names: Iterable[str]) -> Pieces:
        """Causes by name."""
        return tuple(Piece(self.base.causes[name].name, self.to("cause", name)) for name in names)

    def tests(self, names: Iterable[str]) -> Pieces:
        """Tests by name."""
        return tuple(Piece(self.base.tests[name].name, self.to("test", name)) for name in names)

    def fixes(self, names: Iterable[str]) -> Pieces:
        """Fixes by name."""
        return tuple(Piece(self.base.fixes[name].name, self.to("fix", name)) for name in names)

    def facts(self, names: Iterable[str]) -> Pieces:
        """Facts by name: findings, or pages that rules say something of."""
        return tuple(Piece(fact_name(self.base, name), self._fact(name)) for name in names)

    def finding(self, name: str) -> Piece:
        """A question, a state or a number."""
        return Piece(observable_name(self.base, name), self._fact(name))

    def cause(self, name: str) -> Piece:
        """A cause, the unknown one included."""
        known = name in self.base.causes
        return Piece(cause_name(self.base, name), self.to("cause", name) if known else "")

    def _fact(self, name: str) -> str:
        kind, _, page = name.partition(".")
        if page and kind in _PAGES:
            return self.to(kind, page) if page in getattr(self.base, _PAGES[kind]) else ""
        observable = self.base.observables.get(page if kind in _OF_A_FINDING and page else name)
        if observable is None:
            return ""
        is_asked = isinstance(observable, Observation)
        return self.to(
            "question" if is_asked else "state" if isinstance(observable, State) else "number", observable.id
        )

    def parts(self, condition: Condition | None) -> Parts:
        """A condition in parts that must all hold: what stands alone, then each choice among several ways."""
        if condition is None:
            return ()
        alone, choices = Branch(), []
        for part in _parts(condition):
            ways = branches(part)
            if len(ways) == 1:
                alone = alone + ways[0]
            else:
                choices.append(self._ways(ways))
        return ((self._way(alone),), *choices) if alone != Branch() else tuple(choices)

    def sentence(self, condition: Condition) -> Pieces:
        """A condition in one sentence, word for word as `condition_words` has it."""
        return joined(self._ways(branches(condition)), "; or ")

    def _ways(self, ways: Iterable[Branch]) -> Ways:
        return tuple(map(self._way, ways))

    def _way(self, branch: Branch) -> Pieces:
        said: list[Pieces] = []
        for name, words in branch_clauses(self.base, branch):
            called = fact_name(self.base, name)
            head = next((head for head in (called, first_down(called)) if words.startswith(head)), "")
            said.append((Piece(head, self._fact(name)), Piece(words[len(head) :])))
        return joined(said, ", and ")


def joined(parts: Sequence[Pieces], between: str) -> Pieces:
    """Texts one after the other, with something between them."""
    found: list[Piece] = []
    for number, part in enumerate(parts):
        if number:
            found.append(Piece(between))
        found.extend(part)
    return tuple(found)


def _parts(condition: Condition) -> Iterator[Condition]:
    """Conditions that together say what this one says, each choice by itself."""
    nothing: dict[str, Any] = {"facts": {}, "all_": (), "any_": (), "not_": None, "known": (), "unknown": ()}
    for key in ("facts", "known", "unknown", "any_", "not_"):
        if getattr(condition, key):
            yield condition.model_copy(update=nothing | {key: getattr(condition, key)})
    for inner in condition.all_:
        yield from _parts(inner)
